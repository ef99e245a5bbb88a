import type { TrendAnswer, TrendGroup, TrendLimit } from '../contract.gen';

type Standing = TrendAnswer['code'];

/** Where an answer stands. With none found the limit is not near: too few plants were looked at to be sure. */
export function standingOf({ code, point }: Pick<TrendAnswer, 'code' | 'point'>): Standing {
  return code === 'too_close' && point?.infested_plants === 0 ? 'too_few' : code;
}

/** What needs a person first comes first. */
const rank: Record<Standing, number> = { above: 0, too_close: 1, too_few: 2, no_limit: 3, below: 4, no_looks: 5 };

function latest(group: TrendGroup): TrendGroup['points'][number] | undefined {
  return group.answer.point ?? group.points.at(-1);
}

/** The orders there are. */
export const orders = ['known', 'limit', 'name'] as const;

/** What comes first: the surest high shares, what stands nearest over its limit, or the first name. */
export type Order = (typeof orders)[number];

function byName(a: TrendGroup, b: TrendGroup): number {
  return a.label.localeCompare(b.label, undefined, { numeric: true });
}

/** By what is known: the lower end of the interval, so that a high share of few plants does not come before a sure one. */
function byKnown(a: TrendGroup, b: TrendGroup): number {
  return (latest(b)?.lower_percent ?? -1) - (latest(a)?.lower_percent ?? -1);
}

/**
 * Groups in an order: `known` by what is known alone; `limit` above the limit, too close to call, too few
 * plants, then the rest, and within each by what is known; `name` by name.
 */
export function inOrder(groups: readonly TrendGroup[], order: Order): TrendGroup[] {
  const standing = (a: TrendGroup, b: TrendGroup): number => rank[standingOf(a.answer)] - rank[standingOf(b.answer)];
  switch (order) {
    case 'known':
      return groups.toSorted((a, b) => byKnown(a, b) || byName(a, b));
    case 'limit':
      return groups.toSorted((a, b) => standing(a, b) || byKnown(a, b) || byName(a, b));
    case 'name':
      return groups.toSorted(byName);
  }
}

/** How many groups stand where. Groups of what is not known are not counted among the named ones. */
export interface Summary {
  total: number;
  counts: Record<Standing, number>;
  /** Named groups whose latest week has a plant with the organism. */
  found: number;
  /** The limit that all judged groups share in percent and dates; null when they differ or there is none. */
  limit: TrendLimit | null;
}

/** Whether a group stands for something known by name. */
export function isNamed({ key }: Pick<TrendGroup, 'key'>): boolean {
  return key !== '' && key !== 'several';
}

function same(a: TrendLimit, b: TrendLimit): boolean {
  return a.percent === b.percent && a.from_on === b.from_on && a.to_on === b.to_on;
}

/** Counts where the named groups stand. */
export function summarise(groups: readonly TrendGroup[]): Summary {
  const named = groups.filter(isNamed);
  const counts: Record<Standing, number> = { above: 0, too_close: 0, too_few: 0, no_limit: 0, below: 0, no_looks: 0 };
  for (const { answer } of named) counts[standingOf(answer)] += 1;
  const limits = named.flatMap(({ answer }) => answer.limit ?? []);
  const first = limits[0];
  return {
    total: named.length,
    counts,
    found: named.filter((group) => (latest(group)?.infested_plants ?? 0) > 0).length,
    limit: first && limits.every((limit) => same(limit, first)) ? first : null,
  };
}
