import type { ArrivalCell, Arrivals, ArrivalWeek } from '../../contract.gen';
import { mondayOf } from '../../local/zone';
import { HatchPattern, ShareCell, useHatch } from '../../marks';
import { Section } from '../../parts';
import { Link } from '../../router';
import { format, words } from '../../words';
import { agesOf, darkest, rowOf, type AtAge } from './ages';
import { cellName } from './answers';
import { cellsOf, useSteps } from '../steps';
import { arrivalsAddress, type ArrivalsState } from './state';

interface HeatProps {
  state: ArrivalsState;
  found: Arrivals;
  /** The age at which arrivals are held against each other. */
  age: number | undefined;
}

interface CellProps {
  state: ArrivalsState;
  arrival: ArrivalWeek;
  cell: ArrivalCell;
  max: number;
  hatch: string;
}

function Cell({ state, arrival, cell, max, hatch }: CellProps) {
  const { point } = cell;
  const speech = { words: words.value, format: format.value };
  const open = state.open === arrival.key && state.week === point.week;
  return (
    <Link to={arrivalsAddress({ ...state, open: arrival.key, week: point.week, look: null })} class="heat-cell" aria-current={open ? 'true' : undefined}>
      <ShareCell percent={point.infested_percent} lower={point.lower_percent} upper={point.upper_percent} max={max} hatch={hatch} />
      <span class="aside-only">{cellName(arrival, cell, speech)}: </span>
      <span>{format.value.of(point.infested_plants, point.plants_looked_at)}</span>
      <span class="heat-bounds">
        {format.value.percent(point.infested_percent)} ({format.value.bounds(point.infested_percent, point.lower_percent, point.upper_percent)})
      </span>
      {point.looks_in_doubt > 0 && <span>{words.value.arrivals.inDoubt}</span>}
    </Link>
  );
}

function Row({ state, arrival, row, ages, age: chosen, max, hatch }: Omit<CellProps, 'cell'> & { row: readonly AtAge[]; ages: readonly number[]; age: number | undefined }) {
  const { arrivals: say } = words.value;
  const f = format.value;
  const week = f.week(arrival.week);
  return (
    <tr class={arrival.mixed ? 'heat-mixed' : undefined}>
      <th scope="row">
        {arrival.mixed ? say.mixedRow(week) : week}
        <small>
          {f.date(mondayOf(arrival.week))} · {say.lots(arrival.lots)}
        </small>
      </th>
      {row.map((at, i) => (
        <td key={ages[i]} class={ages[i] === chosen ? 'heat-chosen' : undefined}>
          {at === 'to_come' && <span class="aside-only">{say.toCome}</span>}
          {at === 'not_looked_at' && (
            <>
              <span aria-hidden="true">–</span>
              <span class="aside-only">{say.notLookedAt}</span>
            </>
          )}
          {typeof at !== 'string' && <Cell state={state} arrival={arrival} cell={at} max={max} hatch={hatch} />}
        </td>
      ))}
    </tr>
  );
}

function Legend({ max, hatch }: { max: number; hatch: string }) {
  const { legend } = words.value.arrivals;
  const items = [
    { text: legend.share(format.value.percent(max)), percent: max, lower: max, upper: max },
    { text: legend.known, percent: max / 2, lower: 0, upper: 42 },
    { text: legend.none, percent: 0, lower: 0, upper: 6 },
  ];
  return (
    <ul class="legend">
      {items.map(({ text, ...share }) => (
        <li key={text}>
          <span class="share-key">
            <ShareCell {...share} max={max} hatch={hatch} />
          </span>
          <span>{text}</span>
        </li>
      ))}
      <li>{legend.notLookedAt}</li>
    </ul>
  );
}

/** A map of arrival weeks and ages: each share with its counts and bounds, thin where little is known. */
export function Heat({ state, found, age }: HeatProps) {
  const { arrivals: say } = words.value;
  const hatch = useHatch();
  const ages = agesOf(found);
  const max = darkest(found);
  const steps = useSteps<HTMLTableElement>(`${found.weeks.length} ${ages.length}`, cellsOf);
  return (
    <Section title={say.mapTitle} lead={say.mapLead}>
      <HatchPattern id={hatch} />
      <div class="table-scroll heat" role="region" aria-label={say.mapTitle} tabIndex={0}>
        <table class="heat-table" {...steps}>
          <caption class="aside-only">
            {say.mapTitle}. {say.figures}
          </caption>
          <thead>
            <tr>
              <th scope="col">{say.arrived}</th>
              {ages.map((weeks) => (
                <th key={weeks} scope="col" class={weeks === age ? 'heat-chosen' : undefined}>
                  <Link to={arrivalsAddress({ ...state, age: weeks })} aria-current={weeks === age ? 'true' : undefined}>
                    {format.value.count(weeks)}
                    <span class="aside-only">: {say.compareAt(weeks)}</span>
                  </Link>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {found.weeks.map((arrival) => (
              <Row key={arrival.key} state={state} arrival={arrival} row={rowOf(arrival, ages, found.as_of)} ages={ages} age={age} max={max} hatch={hatch} />
            ))}
          </tbody>
        </table>
      </div>
      <p class="quiet">
        {say.weeksSince}. {say.figures}
      </p>
      <Legend max={max} hatch={hatch} />
    </Section>
  );
}
