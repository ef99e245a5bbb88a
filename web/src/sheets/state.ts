import { withQuery } from '../router';

/** What can be printed. */
export const kinds = ['plants', 'counts', 'map', 'signs'] as const;
export type Kind = (typeof kinds)[number];

/** What it is printed on. */
export const papers = ['a4', 'letter'] as const;
export type Paper = (typeof papers)[number];

/** What the page shows; all of it stands in the address. */
export interface SheetState {
  kind: Kind;
  /** Null: a blank sheet. */
  house: string | null;
  /** The site of that house; null with no house. */
  site: string | null;
  paper: Paper;
  /** Blocks beside each other on a map, 1 to 8. */
  across: number;
}

/** Reads the address. What does not fit is left out, never guessed. */
export function readState(query: URLSearchParams): SheetState {
  const across = Number(query.get('across'));
  return {
    kind: kinds.find((kind) => kind === query.get('kind')) ?? 'plants',
    house: query.get('house'),
    site: query.get('house') === null ? null : query.get('site'),
    paper: papers.find((paper) => paper === query.get('paper')) ?? 'a4',
    across: Number.isInteger(across) && across >= 1 && across <= 8 ? across : 4,
  };
}

/** The address of a state; what is usual is left out. */
export function addressOf({ kind, house, site, paper, across }: SheetState): string {
  return withQuery('/sheets', {
    ...(kind !== 'plants' && { kind }),
    ...(house !== null && { house }),
    ...(site !== null && { site }),
    ...(paper !== 'a4' && { paper }),
    ...(across !== 4 && { across: String(across) }),
  });
}
