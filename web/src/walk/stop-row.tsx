import { Tag } from '../parts';
import { Link } from '../router';
import { words } from '../words';
import type { Asked } from './plan';
import { positionsText, reasonsText } from './plan-said';
import { counts, type Names, type Standing, type Stop } from './round';
import { lotName, resultText, stopAddress } from './said';

interface RowProps {
  stop: Stop;
  names: Names;
  /** Shows which plants are to be looked at. */
  positions?: boolean;
}

/** One block of the list: what is planned in it, then what else stands there. */
export function StopRow({ stop, names, positions = false }: RowProps) {
  const { lot: lotWords, plan } = words.value.walk;
  const asked = stop.asked ?? [];
  const besides = stop.standing.filter(({ lot_id }) => !asked.some(({ look }) => look.lot_id === lot_id));
  return (
    <li class="walk-stop">
      <h3>{stop.block.name}</h3>
      <ul>
        {asked.map((one) => (
          <AskedRow key={one.look.lot_id} asked={one} stop={stop} names={names} positions={positions} />
        ))}
        {besides.map((standing) => (
          <LotRow key={standing.lot_id} standing={standing} stop={stop} names={names} aside={asked.length > 0 ? plan.besides : null} />
        ))}
        {stop.others.length > 0 && (
          <li class="walk-looked">
            <Link to={stopAddress(stop.block.id)}>
              <b>{stop.others.some((look) => look.lot_id) ? lotWords.another : lotWords.notKnown}</b>
              <span class="walk-result">{resultText(stop.others, null, names)}</span>
            </Link>
          </li>
        )}
      </ul>
    </li>
  );
}

function AskedRow({ asked: { look, done }, stop, names, positions }: { asked: Asked; stop: Stop; names: Names; positions: boolean }) {
  const { plan } = words.value.walk;
  const { lot_id, plants } = look;
  const lot = names.lot(lot_id);
  const standing = stop.standing.find((one) => one.lot_id === lot_id);
  const looks = standing?.looks ?? [];
  return (
    <li class={done > 0 ? 'walk-looked' : 'walk-left'}>
      <Link to={stopAddress(stop.block.id, lot_id)}>
        <b>{lotName(lot, names)}</b>
        <span class="walk-reasons">{[plan.ask(plants, look.standing), reasonsText(look, names)].filter(Boolean).join(' · ')}</span>
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
  standing: Standing;
  stop: Stop;
  names: Names;
  /** Why it is not asked for, where others of the block are. */
  aside: string | null;
}

function LotRow({ standing: { lot_id, lot, plants, looks }, stop, names, aside }: LotProps) {
  const { lot: lotWords } = words.value.walk;
  const cultivar = names.cultivar(lot?.cultivar_id);
  return (
    <li class={looks.some(counts) ? 'walk-looked' : stop.asked ? 'walk-besides' : 'walk-left'}>
      <Link to={stopAddress(stop.block.id, lot_id)}>
        <b>{lotName(lot, names)}</b>
        <span class="quiet">
          {[cultivar && lotWords.foliage[cultivar.foliage], words.value.common.plants(plants), aside].filter(Boolean).join(' · ')}
        </span>
        {(!stop.asked || looks.length > 0) && <span class="walk-result">{resultText(looks, names.mainOrganism(lot), names)}</span>}
      </Link>
    </li>
  );
}
