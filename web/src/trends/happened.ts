import type { Movement } from '../contract.gen';
import { dateAt } from '../local/zone';
import type { Speech } from './answers';

/** A day on the time axis with what was done on it. */
export interface Happened {
  on: string;
  /** What is written on the axis, and before the line under the chart. */
  number: number;
  text: string;
}

/** Something that was done, on a day at the site. Releases and applications become further ones. */
export interface Deed {
  on: string;
  text: string;
}

/** What was done, a day at a time, numbered in order. */
export function happened(deeds: readonly Deed[], { format }: Pick<Speech, 'format'>): Happened[] {
  const days = new Map<string, string[]>();
  for (const { on, text } of deeds.toSorted((a, b) => a.on.localeCompare(b.on))) days.set(on, [...(days.get(on) ?? []), text]);
  return [...days].map(([on, texts], i) => ({ on, number: i + 1, text: format.list([...new Set(texts)]) }));
}

type Moved = Pick<Movement, 'kind' | 'moved_at' | 'plants' | 'site_id' | 'withdrawn_because'>;

/** The movements of a lot as deeds, those that were withdrawn left out; plants of one kind and day are added up. */
export function movementDeeds(movements: readonly Moved[], zoneOf: (siteId: string) => string, { words }: Speech): Deed[] {
  const sums = new Map<string, { on: string; kind: Movement['kind']; plants: number }>();
  for (const { kind, moved_at, plants, site_id, withdrawn_because } of movements) {
    if (withdrawn_because) continue;
    const on = dateAt(moved_at, zoneOf(site_id));
    const sum = sums.get(`${on} ${kind}`);
    if (sum) sum.plants += plants;
    else sums.set(`${on} ${kind}`, { on, kind, plants });
  }
  return [...sums.values()].map(({ on, kind, plants }) => ({ on, text: words.trends.done[kind](plants) }));
}
