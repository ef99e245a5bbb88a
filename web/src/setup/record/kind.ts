import type { ComponentChildren } from 'preact';

import type { Fault, Recorded } from '../../contract.gen';

/** What is typed before it is whole: every member may still be missing. */
export type Draft<Body> = { [K in keyof Body]?: Body[K] | null };

/** One member of a record in words, to compare two versions of it. */
export interface Fact {
  term: string;
  value: string;
}

/** What it takes to list, add and correct one kind of record. */
export interface Kind<Body extends object, Stored extends Body & Recorded> {
  /** The members that a person writes; the rest is the server's. */
  members: readonly (keyof Body)[];
  save: (id: string, body: Body, version?: number) => Promise<Stored>;
  fetch: (id: string) => Promise<Stored>;
  /** The fields of the form; `change` sets members of the draft. */
  fields: (draft: Draft<Body>, change: (part: Draft<Body>) => void, isNew: boolean) => ComponentChildren;
  facts: (draft: Draft<Body>) => readonly Fact[];
  /** What the page finds wrong by itself, where the server would let it through; said at the fields before anything is sent. */
  faults?: (draft: Draft<Body>) => readonly Omit<Fault, 'detail'>[];
  /** What takes a new record back, where the record can be withdrawn. */
  withdrawal?: Draft<Body>;
}

/** The members a person wrote, as the stored record has them now. */
export function draftOf<Body extends object, Stored extends Body & Recorded>(
  { members }: Pick<Kind<Body, Stored>, 'members'>,
  record: Stored,
): Draft<Body> {
  const draft: Draft<Body> = {};
  for (const member of members) draft[member] = record[member];
  return draft;
}

/** The draft as it is sent: what was left empty is left out, so that the server names what is missing. */
export function bodyOf<Body extends object>(draft: Draft<Body>): Body {
  const entries = Object.entries(draft).filter(([, value]) => value !== null && value !== undefined && value !== '');
  return Object.fromEntries(entries.map(([name, value]) => [name, typeof value === 'string' ? value.trim() : value])) as Body;
}

/**
 * What was typed, laid over what someone else saved meanwhile: members that were
 * changed here stay as typed, all others are taken as they are there now.
 */
export function rebase<Body extends object>(before: Draft<Body>, mine: Draft<Body>, theirs: Draft<Body>): Draft<Body> {
  const merged: Draft<Body> = { ...theirs };
  for (const member of Object.keys(mine) as (keyof Body)[]) {
    const touched = JSON.stringify(mine[member] ?? null) !== JSON.stringify(before[member] ?? null);
    if (touched) merged[member] = mine[member] ?? null;
  }
  return merged;
}

/** One member in two versions. */
export interface Difference {
  term: string;
  theirs: string;
  mine: string;
  differs: boolean;
}

/** Two versions side by side, member by member, what differs first. */
export function compare(theirs: readonly Fact[], mine: readonly Fact[]): Difference[] {
  const other = new Map(theirs.map(({ term, value }) => [term, value]));
  const terms = [...new Set([...mine, ...theirs].map(({ term }) => term))];
  const own = new Map(mine.map(({ term, value }) => [term, value]));
  return terms
    .map((term) => ({ term, theirs: other.get(term) ?? '', mine: own.get(term) ?? '' }))
    .map((row) => ({ ...row, differs: row.theirs !== row.mine }))
    .toSorted((a, b) => Number(b.differs) - Number(a.differs));
}
