import type { HouseMap } from '../../contract.gen';
import { Answer, Button, Section } from '../../parts';
import { go, Link } from '../../router';
import { format, words } from '../../words';
import { Looks } from '../looks';
import type { Names } from '../names';
import { addressOf } from '../state';
import { blockText, spotText } from './answers';
import type { BlockThen } from './blocks';
import { mapAddress, type MapState } from './state';

interface OpenedProps {
  state: MapState;
  site: string;
  found: HouseMap;
  names: Names;
  then: BlockThen;
  week: string;
}

/** A block opened: what is known of it in that week, how it came to that, and its looks down to the plants. */
export function Opened({ state, site, found, names, then, week }: OpenedProps) {
  const { map: say } = words.value;
  const speech = { words: words.value, format: format.value };
  const { block, week: at, spots } = then;
  const narrowing = { ...state, site, house: found.house_id, cultivar: null, foliage: null };
  const closed = mapAddress({ ...state, block: null, look: null });
  return (
    <div class="opened">
      <Section
        title={say.blockTitle(`${found.house} · ${block.name}`, format.value.week(week))}
        actions={
          <Button kind="quiet" onClick={() => go(closed, { keepScroll: true })}>
            {say.close}
          </Button>
        }
      >
        <Answer small>{blockText(then, speech)}</Answer>
        {(at?.standing_plants ?? 0) > 0 && <p>{say.standing(at?.standing_plants ?? 0)}</p>}
        {spots.length > 0 && (
          <ul class="trend-limits">
            {spots.map((spot) => (
              <li key={spot.look_id}>
                <Link to={`/walk/looks/${spot.look_id}`} class="look-link">
                  {spotText(spot, speech)}
                </Link>
              </li>
            ))}
          </ul>
        )}
        {block.weeks.some(({ share }) => share) && (
          <p class="aside-print">
            <Link
              to={addressOf({ ...narrowing, by: 'block', arrived: null, interval: null, mixed: null, order: 'known', open: block.block_id, week: at?.share ? week : null, look: null })}
              class="look-link"
            >
              {say.inTrends(block.name)}
            </Link>
          </p>
        )}
      </Section>
      {at?.share && (
        <Looks
          by="block"
          group={block.block_id}
          week={week}
          counted={at.share}
          narrowing={narrowing}
          site={site}
          of={found}
          names={names}
          look={state.look}
          at={(look) => mapAddress({ ...state, look })}
          closed={closed}
        />
      )}
    </div>
  );
}
