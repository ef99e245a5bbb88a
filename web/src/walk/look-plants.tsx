import type { Look, LookTarget, Sign } from '../contract.gen';
import { Section } from '../parts';
import { format, words } from '../words';
import { commonName } from '../organism';
import { infested, whyNotCounted } from './infested';
import { MarkIcon, type MarkShape } from './mark-icon';
import type { Names } from './round';
import { shapeText } from './shape';

/** The colour as it was written down, in the reader's language where it is a known word. */
function colourText(colour: string): string {
  const known: Record<string, string> = words.value.walk.sign.colours;
  return known[colour] ?? colour;
}

/** "pupa, old growth, parasitised (tan), few" */
function signText({ stage, place, state, colour, amount }: Sign): string {
  const said = words.value.walk.sign;
  return [
    said.at(said.stages[stage], said.places[place]),
    state && state !== 'alive' && said.states[state],
    colour && colourText(colour),
    amount && said.amounts[amount],
  ]
    .filter(Boolean)
    .join(', ');
}

/** What a look is made of: every plant with its mark, and the signs. */
export function LookPlants({ look, names }: { look: Look; names: Names }) {
  return (
    <>
      {look.targets.map((target) => (
        <TargetPlants key={target.organism_id} target={target} names={names} many={look.targets.length > 1} />
      ))}
    </>
  );
}

function TargetPlants({ target, names, many }: { target: LookTarget; names: Names; many: boolean }) {
  const { look: said, mark, sign, settings } = words.value.walk;
  const organism = names.organism(target.organism_id);
  const stages = organism?.infested_stages ?? [];
  const plants = target.plants ?? [];
  const title = plants.length > 0 ? said.plants : settings.tally;
  const noted = plants.flatMap((plant, i) => {
    const signs = plant.signs ?? [];
    return signs.length > 0 || plant.dense_leaf ? [{ i, plant, signs, why: whyNotCounted(signs, stages) }] : [];
  });
  return (
    <Section title={many ? `${title}: ${commonName(organism)}` : title}>
      {plants.length > 0 && (
        <ol class="walk-marks">
          {plants.map((plant, i) => {
            const shape: MarkShape = !plant.seen ? 'none' : infested(true, plant.signs ?? [], stages) ? 'seen' : 'not-counted';
            return (
              <li key={i} title={mark.plant(i + 1, shapeText(shape))}>
                <MarkIcon shape={shape} />
                <small aria-hidden="true">{i + 1}</small>
                <span class="aside-only">{mark.plant(i + 1, shapeText(shape))}</span>
              </li>
            );
          })}
        </ol>
      )}
      {noted.length > 0 && (
        <ul class="walk-signs">
          {noted.map(({ i, plant, signs, why }) => (
            <li key={i}>
              {mark.plant(i + 1, [...signs.map(signText), plant.dense_leaf && sign.dense.toLowerCase()].filter(Boolean).join('; '))}
              {why && <span class="walk-line quiet">{sign.notCounted[why]}</span>}
            </li>
          ))}
        </ul>
      )}
      {(target.signs ?? []).length > 0 && (
        <p>
          {said.signs}: {(target.signs ?? []).map(signText).join('; ')}
        </p>
      )}
      {(target.severity ?? []).length > 0 && (
        <p>
          {sign.severity}: {(target.severity ?? []).map((n, i) => `${i} ${sign.severityClass(i)}: ${format.value.count(n)}`).join(' · ')}
        </p>
      )}
      <p class="quiet">{target.signs_looked_for ? said.signsLooked : said.noSigns}</p>
    </Section>
  );
}
