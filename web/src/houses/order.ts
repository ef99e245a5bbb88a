import type { ComparedHouse, Rate } from '../contract.gen';
import type { Order } from './state';

function part({ percent, of }: Rate): number | null {
  return of > 0 && percent !== undefined ? percent : null;
}

/** What a house is sorted by, the lowest first; null stands last. */
function keyOf({ like, walked, lots, discarded, share }: ComparedHouse, order: Order): number | null {
  switch (order) {
    case 'more':
      return like.strata > 0 && share ? -(like.lower_percent ?? 0) : null;
    case 'rules':
      return walked.weeks > 0 ? walked.weeks_met / walked.weeks + (walked.crop_share_weeks + walked.block_share_weeks + walked.plants_per_block_weeks) / walked.weeks / 1000 : null;
    case 'lots':
      return part(lots.under);
    case 'lost':
      return discarded.of > 0 ? -(discarded.lower_percent ?? 0) : null;
    default:
      return 0;
  }
}

/** The houses in an order; what leaves open keeps the order by what is known. */
export function inOrder(houses: readonly ComparedHouse[], order: Order): ComparedHouse[] {
  if (order === 'known') return [...houses];
  const byName = (a: ComparedHouse, b: ComparedHouse): number =>
    a.site.localeCompare(b.site) || a.name.localeCompare(b.name, undefined, { numeric: true });
  if (order === 'name') return houses.toSorted(byName);
  return houses.toSorted((a, b) => {
    const [x, y] = [keyOf(a, order), keyOf(b, order)];
    if (x === null || y === null) return Number(x === null) - Number(y === null);
    return x - y;
  });
}
