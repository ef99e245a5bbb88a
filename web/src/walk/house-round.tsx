import { useState } from 'preact/hooks';

import type { Daybook, RoundRules } from '../contract.gen';
import { Details } from '../parts';
import { Link } from '../router';
import { words } from '../words';
import { HousePlan } from './house-plan';
import type { HouseWalk } from './plan';
import { onRound, progressOf, type HouseRound, type Names, type Stop } from './round';
import { resultText, stopAddress } from './said';
import { StopRow } from './stop-row';

interface HouseProps {
  book: Daybook;
  /** The blocks shown. */
  round: HouseRound;
  /** The blocks that one walks, shown or not. */
  whole: HouseRound;
  names: Names;
  walk: HouseWalk | undefined;
  rules: Required<RoundRules> | undefined;
}

/** A house on the list: its plan, the blocks on the round in walking order, and below them all the others. */
export function House({ book, round, whole, names, walk, rules }: HouseProps) {
  const { today, plan } = words.value.walk;
  const [positions, setPositions] = useState(false);
  const { looked, all } = progressOf([whole]);
  const on = round.stops.filter(onRound);
  const besides = round.stops.filter((stop) => !onRound(stop) && stop.standing.length > 0);
  const empty = round.stops.filter((stop) => !onRound(stop) && stop.standing.length === 0);
  return (
    <section class="section">
      <header class="section-head">
        <h2>{round.house.name}</h2>
        {all > 0 && <p class="quiet">{walk ? plan.houseCount(looked, all) : today.houseCount(looked, all)}</p>}
      </header>
      {walk && rules && walk.plan.standing > 0 && (
        <HousePlan book={book} house={round.house} walk={walk} rules={rules} names={names} positions={positions} onPositions={setPositions} />
      )}
      {on.length > 0 && (
        <ol class="walk-stops">
          {on.map((stop) => (
            <StopRow key={stop.block.id} book={book} stop={stop} names={names} positions={positions} />
          ))}
        </ol>
      )}
      {besides.length > 0 && (
        <Details summary={plan.others(besides.length)}>
          <ol class="walk-stops">
            {besides.map((stop) => (
              <StopRow key={stop.block.id} book={book} stop={stop} names={names} />
            ))}
          </ol>
        </Details>
      )}
      {empty.length > 0 && <EmptyBlocks stops={empty} names={names} />}
    </section>
  );
}

function EmptyBlocks({ stops, names }: { stops: readonly Stop[]; names: Names }) {
  return (
    <Details summary={words.value.walk.today.nothingStands(stops.length)}>
      <ul class="walk-empty">
        {stops.map(({ block, others }) => (
          <li key={block.id}>
            <Link to={stopAddress(block.id)}>
              {block.name}
              {others.length > 0 && ` · ${resultText(others, null, names)}`}
            </Link>
          </li>
        ))}
      </ul>
    </Details>
  );
}
