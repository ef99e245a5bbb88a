import { words } from '../words';
import type { Plant } from './draft';
import { infested } from './infested';
import type { MarkShape } from './mark-icon';
import type { Names } from './round';

/** How a plant is drawn: nothing seen, seen and infested, or seen and not counted. */
export function shapeOf(plant: Plant, names: Pick<Names, 'organism'>): MarkShape {
  if (plant.found.length === 0) return 'none';
  const counts = plant.found.some(({ organism_id, signs }) => infested(true, signs, names.organism(organism_id)?.infested_stages ?? []));
  return counts ? 'seen' : 'not-counted';
}

/** What a mark says, in words. */
export function shapeText(shape: MarkShape): string {
  const { mark } = words.value.walk;
  return { none: mark.noneShort, seen: mark.seenShort, 'not-counted': mark.seenNotCounted }[shape];
}
