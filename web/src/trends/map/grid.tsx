import type { HouseMap } from '../../contract.gen';
import { HatchPattern, percentTop, ShareCell, useHatch } from '../../marks';
import { Section, Tag } from '../../parts';
import { Link } from '../../router';
import { format, words } from '../../words';
import { mostOf } from '../scale';
import { tilesOf, useSteps } from '../steps';
import { blockText, spotText } from './answers';
import { sectionsOf, type BlockThen } from './blocks';
import { mapAddress, type MapState } from './state';

interface GridProps {
  state: MapState;
  blocks: readonly BlockThen[];
  found: HouseMap;
}

/** A block as a tile: its name, how much is infested and how well that is known, and what is near. */
function Tile({ state, then, max, hatch }: { state: MapState; then: BlockThen; max: number; hatch: string }) {
  const { map: say } = words.value;
  const speech = { words: words.value, format: format.value };
  const { block, week, over, beside, spots } = then;
  const open = state.block === block.block_id;
  return (
    <Link
      to={mapAddress({ ...state, block: open ? null : block.block_id, look: null })}
      class={`map-tile map-${then.state}${over ? ' map-over' : ''}`}
      aria-current={open ? 'true' : undefined}
    >
      <b>{block.name}</b>
      {week?.share && <ShareCell percent={week.share.infested_percent} lower={week.share.lower_percent} upper={week.share.upper_percent} max={max} hatch={hatch} />}
      {week?.share ? (
        <>
          <span>{format.value.of(week.share.infested_plants, week.share.plants_looked_at)}</span>
          <span class="map-bounds">{format.value.interval(week.share.infested_percent, week.share.lower_percent, week.share.upper_percent)}</span>
        </>
      ) : (
        <span>{blockText(then, speech)}</span>
      )}
      {over && <Tag strong>{say.over(format.value.percent(week?.limit_percent ?? 0))}</Tag>}
      {beside.length > 0 && <Tag>{say.beside(format.value.list(beside.map(({ name }) => name)))}</Tag>}
      {spots.map((spot) => (
        <span key={spot.look_id} class="map-spot">
          <svg viewBox="-6 -6 12 12" width="11" height="11" aria-hidden="true">
            <path d="M0 -5 L5 0 L0 5 L-5 0 Z" />
          </svg>
          {spotText(spot, speech)}
        </span>
      ))}
    </Link>
  );
}

function Legend({ max, hatch }: { max: number; hatch: string }) {
  const { legend } = words.value.map;
  return (
    <ul class="legend">
      <li>
        <span class="share-key">
          <ShareCell percent={max} lower={max} upper={max} max={max} hatch={hatch} />
        </span>
        {legend.share(format.value.percent(max))}
      </li>
      <li>
        <span class="share-key">
          <ShareCell percent={max / 2} lower={0} upper={42} max={max} hatch={hatch} />
        </span>
        {legend.known}
      </li>
      <li>{legend.outline}</li>
    </ul>
  );
}

/** The blocks of a house in walking order, section by section. */
export function Grid({ state, blocks, found }: GridProps) {
  const { map: say } = words.value;
  const hatch = useHatch();
  // one scale for all weeks, so that the weeks can be compared
  const max = percentTop([mostOf(found.blocks.flatMap(({ weeks }) => weeks.flatMap(({ share }) => share?.infested_percent ?? [])))]);
  const steps = useSteps<HTMLDivElement>(`${found.house_id} ${blocks.length}`, tilesOf);
  const sections = sectionsOf(blocks);
  return (
    <Section title={say.mapTitle} lead={say.mapLead}>
      <HatchPattern id={hatch} />
      <div class="map" {...steps}>
        {sections.map(({ name, blocks: of }) => (
          <section key={name} class="map-section">
            {(sections.length > 1 || name !== '') && <h3>{name === '' ? say.noSection : name}</h3>}
            <ol>
              {of.map((then) => (
                <li key={then.block.block_id}>
                  <Tile state={state} then={then} max={max} hatch={hatch} />
                </li>
              ))}
            </ol>
          </section>
        ))}
      </div>
      <Legend max={max} hatch={hatch} />
    </Section>
  );
}
