import type { Look, LookResult } from '../contract.gen';

/** What a look found of one organism. */
export function resultOf(look: Look, organismId: string | null): LookResult | undefined {
  return look.results.find((result) => result.organism_id === organismId);
}

/** Whether a look enters the shares: planned and not withdrawn. */
export function counts(look: Look): boolean {
  return look.purpose !== 'on_purpose' && !look.withdrawn_because;
}

/** Doubts of a look that no person has settled. */
export function openDoubts(look: Look): Look['doubts'] {
  return look.doubts.filter((doubt) => !doubt.settled);
}

/** Looks that count first; among them those in doubt, then by the lower end of the interval. */
export function looksInOrder(looks: readonly Look[], organismId: string | null): Look[] {
  const lower = (look: Look): number => resultOf(look, organismId)?.lower_percent ?? -1;
  return looks.toSorted(
    (a, b) =>
      Number(counts(b)) - Number(counts(a)) ||
      Number(openDoubts(b).length > 0) - Number(openDoubts(a).length > 0) ||
      lower(b) - lower(a) ||
      a.looked_at.localeCompare(b.looked_at),
  );
}
