import { commonName } from '../organism';
import { format, words } from '../words';
import { countsOf, type Draft, type Plant } from './draft';
import type { Names } from './round';
import { shapeOf, shapeText } from './shape';

type Finder = Pick<Names, 'organism'>;

/** "1 of 3", of each organism that is looked for. */
function countText(draft: Draft, names: Finder): string {
  const { mark } = words.value.walk;
  if (draft.plants.length === 0) return mark.noPlants;
  const said = draft.sought.map(({ organism_id }) => {
    const organism = names.organism(organism_id);
    const { infested, looked_at } = countsOf(draft, organism_id, organism?.infested_stages ?? []);
    const count = format.value.of(infested, looked_at);
    return draft.sought.length > 1 ? `${commonName(organism)} ${count}` : count;
  });
  return said.join(', ');
}

/** "seen", and of what where several organisms are looked for. */
function markText(plant: Plant, draft: Draft, names: Finder): string {
  const shape = shapeText(shapeOf(plant, names));
  const of = plant.found.map(({ organism_id }) => commonName(names.organism(organism_id)));
  return draft.sought.length > 1 && of.length > 0 ? `${shape}, ${format.value.list(of)}` : shape;
}

const sameMark = (a: Plant | undefined, b: Plant | undefined, names: Finder): boolean =>
  a !== undefined && b !== undefined && shapeOf(a, names) === shapeOf(b, names) && a.found.length === b.found.length;

/**
 * What is read aloud after a step: the plant, what was seen on it, the count. Null where no
 * plant was marked, changed or taken out; a sign says for itself whether it is noted.
 */
export function heardText(before: Draft, now: Draft, names: Finder): string | null {
  if (before.plants === now.plants || before.id !== now.id) return null;
  const { mark } = words.value.walk;
  const longer = Math.max(before.plants.length, now.plants.length);
  const fewer = now.plants.length < before.plants.length;
  for (let i = 0; i < longer; i++) {
    const plant = now.plants[i];
    if (fewer ? before.plants[i] === plant : sameMark(before.plants[i], plant, names)) continue;
    const what = fewer || !plant ? mark.takenOut(i + 1) : mark.plant(i + 1, markText(plant, now, names));
    return `${what}. ${countText(now, names)}.`;
  }
  return null;
}
