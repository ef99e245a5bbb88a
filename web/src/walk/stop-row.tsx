import type { Daybook } from '../contract.gen';
import { Pause, Tag } from '../parts';
import { Link } from '../router';
import { format, words } from '../words';
import { placeText } from './about-block';
import type { Asked } from './plan';
import { positionsText, reasonsText } from './plan-said';
import { counts, type Names, type Standing, type Stop } from './round';
import { lotName, resultText, stopAddress } from './said';
import { SecondLookTag } from './second-look-choice';

interface RowProps {
  book: Daybook;
  stop: Stop;
  names: Names;
  /** Shows which plants are to be looked at. */
  positions?: boolean;
}

/** One block of the list: what is planned in it, then what else stands there. */
export function StopRow({ book, stop, names, positions = false }: RowProps) {
  const { lot: lotWords, plan } = words.value.walk;
  const asked = stop.asked ?? [];
  const besides = stop.standing.filter(({ lot_id }) => !asked.some(({ look }) => look.lot_id === lot_id));
  return (
    <li class="walk-stop">
      <h3>
        {stop.block.name}
        <HotSpots stop={stop} />
      </h3>
      <ul>
        {asked.map((one) => (
          <AskedRow key={one.look.lot_id} book={book} asked={one} stop={stop} names={names} positions={positions} />
        ))}
        {besides.map((standing) => (
          <LotRow key={standing.lot_id} book={book} standing={standing} stop={stop} names={names} aside={asked.length > 0 ? plan.besides : null} />
        ))}
        {stop.others.length > 0 && (
          <li class="walk-looked">
            <Link to={stopAddress(stop.block.id)}>
              <b>{stop.others.some((look) => look.lot_id) ? lotWords.another : lotWords.notKnown}</b>
              <Pause />
              <span class="walk-result">{resultText(stop.others, null, names)}</span>
            </Link>
          </li>
        )}
      </ul>
    </li>
  );
}

/** Where hot spots were found in the block this week. */
function HotSpots({ stop: { standing, others } }: { stop: Stop }) {
  const { about } = words.value.walk;
  const places = new Set([...standing.flatMap(({ looks }) => looks), ...others].flatMap(({ hot_spot }) => hot_spot || []));
  return places.size === 0 ? null : <small class="walk-hot">{about.hotSpotAt(format.value.list([...places].map(placeText)))}</small>;
}

function AskedRow({ book, asked: { look, done }, stop, names, positions }: { book: Daybook; asked: Asked; stop: Stop; names: Names; positions: boolean }) {
  const { plan } = words.value.walk;
  const { lot_id, plants } = look;
  const lot = names.lot(lot_id);
  const standing = stop.standing.find((one) => one.lot_id === lot_id);
  const looks = standing?.looks ?? [];
  return (
    <li class={done > 0 ? 'walk-looked' : 'walk-left'}>
      <Link to={stopAddress(stop.block.id, lot_id)}>
        <b>
          {lotName(lot, names)} <SecondLookTag book={book} lotId={lot_id} />
        </b>
        <Pause />
        <span class="walk-reasons">{[plan.ask(plants, look.standing), reasonsText(look, names)].filter(Boolean).join(' · ')}</span>
        <Pause />
        <span class="walk-result">
          {done >= plants && <Tag>{plan.done}</Tag>} {looks.length > 0 || done === 0 ? resultText(looks, names.mainOrganism(lot), names) : words.value.walk.today.onPhone}
          {done > 0 && done < plants && ` · ${plan.moreHere(plants - done)}`}
          {!standing && ` · ${plan.gone}`}
        </span>
      </Link>
      {positions && <p class="walk-positions">{positionsText(look.positions)}</p>}
    </li>
  );
}

interface LotProps {
  book: Daybook;
  standing: Standing;
  stop: Stop;
  names: Names;
  /** Why it is not asked for, where others of the block are. */
  aside: string | null;
}

function LotRow({ book, standing: { lot_id, lot, plants, looks }, stop, names, aside }: LotProps) {
  const { lot: lotWords } = words.value.walk;
  const cultivar = names.cultivar(lot?.cultivar_id);
  return (
    <li class={looks.some(counts) ? 'walk-looked' : stop.asked ? 'walk-besides' : 'walk-left'}>
      <Link to={stopAddress(stop.block.id, lot_id)}>
        <b>
          {lotName(lot, names)} <SecondLookTag book={book} lotId={lot_id} />
        </b>
        <Pause />
        <span class="quiet">
          {[cultivar && lotWords.foliage[cultivar.foliage], words.value.common.plants(plants), aside].filter(Boolean).join(' · ')}
        </span>
        <Pause />
        {(!stop.asked || looks.length > 0) && <span class="walk-result">{resultText(looks, names.mainOrganism(lot), names)}</span>}
      </Link>
    </li>
  );
}
