import type { PlanStop } from '../contract.gen';

/** How many plants of a cultivar were looked at, and how many of them are infested. */
export interface Found {
  plants: number;
  infested: number;
}

/** A planned block of a cultivar: plants looked at there, and how many there have to be at least. */
export interface Visit {
  plants: number;
  least: number;
}

/** Whether the looking can stop for a cultivar in a house. Only information: one may always look on. */
export type Enough =
  | { code: 'no_limit' }
  /** Enough: the share is below the limit, or over it. */
  | { code: 'below' | 'above' }
  /** Not before every planned block has its plants; `least` is null where blocks ask for different numbers. */
  | { code: 'blocks'; blocks: number; left: number; least: number | null }
  /** Every planned block has its plants, but in all there are too few yet. */
  | { code: 'plants'; least: number; more: number }
  /** Neither line is met; the fewest further plants that could be enough, null where the table does not say. */
  | { code: 'more'; more: number | null };

type Table = Pick<PlanStop, 'lines' | 'below_at_maximum'>;

/** With how many infested it is below, and from how many on over; null where so many plants cannot mean it. */
export interface Bounds {
  below: number | null;
  above: number | null;
}

/**
 * The bounds at so many plants. Both lines only rise, so that where the table leaves plants
 * out the line before holds for below and the one after for above. A look may overshoot the
 * last line: the count that ends the test there is then taken in proportion.
 */
export function boundsAt({ lines, below_at_maximum: most }: Table, plants: number): Bounds {
  const last = lines.at(-1);
  if (last === undefined || plants < 1) return { below: null, above: null };
  if (plants >= last.plants && most !== undefined) {
    const below = Math.floor((most * plants) / last.plants);
    return { below, above: below + 1 };
  }
  return {
    below: lines.findLast((line) => line.plants <= plants)?.below_if_at_most ?? null,
    above: lines.find((line) => line.plants >= plants)?.above_if_at_least ?? null,
  };
}

/** What the table says of so many infested among so many plants; null while neither line is met. */
export function verdict(table: Table, { plants, infested }: Found): 'below' | 'above' | null {
  const { below, above } = boundsAt(table, plants);
  if (below !== null && infested <= below) return 'below';
  return above !== null && infested >= above ? 'above' : null;
}

/** The fewest further plants that could meet a line, were all of them free of it or all infested. */
function fewestMore({ lines, below_at_maximum: most }: Table, { plants, infested }: Found): number | null {
  const last = lines.at(-1);
  for (const { plants: at, below_if_at_most: below, above_if_at_least: above } of lines) {
    const more = at - plants;
    if (more < 1) continue;
    if ((below !== null && infested <= below) || (above !== null && infested + more >= above)) return more;
  }
  return last !== undefined && most !== undefined && last.plants > plants ? last.plants - plants : null;
}

/** Whether it is enough for a cultivar: its stop lines, under the plants and blocks that are asked for first. */
export function enough(stop: PlanStop, found: Found, visits: readonly Visit[]): Enough {
  if (stop.code === 'no_limit') return { code: 'no_limit' };
  const left = visits.filter(({ plants, least }) => plants < least).length;
  if (left > 0) {
    const [first, ...rest] = new Set(visits.map(({ least }) => least));
    return { code: 'blocks', blocks: visits.length, left, least: first !== undefined && rest.length === 0 ? first : null };
  }
  if (found.plants < stop.plants_least) return { code: 'plants', least: stop.plants_least, more: stop.plants_least - found.plants };
  const met = verdict(stop, found);
  return met === null ? { code: 'more', more: fewestMore(stop, found) } : { code: met };
}
