import { useEffect, useState } from 'preact/hooks';

import type { Daybook, House, PlanRule, RoundRules } from '../contract.gen';
import { Button, Details, Tag } from '../parts';
import { parseNumber } from '../parts/number-field';
import { format, words } from '../words';
import { heldBook } from './daybook-store';
import type { HouseWalk } from './plan';
import { enoughText, minutesText, ruleText } from './plan-said';
import { giveMinutes, minutesGiven, planAgain, planning } from './plan-store';
import type { Names } from './round';

interface HousePlanProps {
  book: Daybook;
  house: House;
  walk: HouseWalk;
  rules: Required<RoundRules>;
  names: Names;
  positions: boolean;
  onPositions: (shown: boolean) => void;
}

/** What a house's round asks for, how long it takes, which rule gives way, and for which cultivars it is enough. */
export function HousePlan({ book, house, walk, rules, names, positions, onPositions }: HousePlanProps) {
  const { plan: said } = words.value.walk;
  const { plan } = walk;
  return (
    <div class="walk-plan">
      <div class="walk-plan-head">
        <p>
          <b>{said.sum(plan.blocks.length, plan.plants, minutesText(plan.minutes))}</b>{' '}
          <span class="quiet">{said.ofHouse(plan.standing, plan.blocks_with_plants)}</span>
        </p>
        <Minutes book={book} house={house} walk={walk} />
      </div>
      {walk.visited === plan.blocks.length && plan.blocks.length > 0 ? (
        <Closing rules={walk.rules} by={rules} />
      ) : (
        walk.rules
          .filter(({ kept }) => !kept)
          .map((rule) => (
            <p key={rule.rule} class="walk-gives-way">
              {said.givesWay(ruleText(rule, rules), rule.planned, rule.asked, rule.minutes_more ? minutesText(rule.minutes_more) : '')}
            </p>
          ))
      )}
      <Rules walk={walk} by={rules} />
      <Stops walk={walk} names={names} />
      {plan.blocks.length > 0 && (
        <Button aria-pressed={positions} onClick={() => onPositions(!positions)}>
          {said.which}
        </Button>
      )}
    </div>
  );
}

/** The minutes there are: planned anew when they are changed. Empty is as many as the rules need. */
function Minutes({ book, house, walk }: { book: Daybook; house: House; walk: HouseWalk }) {
  const { plan: said } = words.value.walk;
  const given = minutesGiven(book.week, house.id);
  const [text, setText] = useState(given === null ? '' : String(given));
  useEffect(() => setText(given === null ? '' : String(given)), [given]);
  const busy = planning.value.has(house.id);
  const again = (): void => void planAgain(() => heldBook(book.site.id), house.id);
  const take = (): void => {
    const minutes = parseNumber(text, 1);
    if (minutes === undefined || minutes === given || (minutes !== null && (minutes <= 0 || minutes > 6000))) {
      setText(given === null ? '' : String(given));
      return;
    }
    giveMinutes(book.week, house.id, minutes);
    again();
  };
  const waits = !busy && given !== (walk.plan.minutes_given ?? null);
  return (
    <form
      class="walk-minutes"
      onSubmit={(event) => {
        event.preventDefault();
        take();
      }}
    >
      <label>
        <span aria-hidden="true">{said.thereAre}</span>
        <input
          class="input input-number"
          type="text"
          inputMode="decimal"
          autocomplete="off"
          enterkeyhint="done"
          aria-label={said.minutesIn(house.name)}
          placeholder={String(Math.ceil(walk.plan.minutes))}
          value={text}
          onInput={(event) => setText(event.currentTarget.value)}
          onBlur={take}
        />
        <span aria-hidden="true">{said.unit}</span>
      </label>
      <p role="status" class={busy || waits ? undefined : 'aside-only'}>
        {busy ? said.planning : waits ? said.notPlanned : ''}
      </p>
      {waits && <Button onClick={again}>{said.planAgain}</Button>}
    </form>
  );
}

/** After the last block: which rules were met, and which were not. */
function Closing({ rules, by }: { rules: readonly PlanRule[]; by: Required<RoundRules> }) {
  const { plan: said } = words.value.walk;
  const list = (some: readonly PlanRule[]): string => format.value.list(some.map((rule) => ruleText(rule, by)));
  const met = rules.filter((rule) => rule.met);
  const open = rules.filter((rule) => !rule.met);
  return (
    <p class="walk-closing">
      <b>{said.walked}</b> {met.length > 0 && said.rulesMet(list(met))} {open.length > 0 && said.rulesNotMet(list(open))}
    </p>
  );
}

function Rules({ walk, by }: { walk: HouseWalk; by: Required<RoundRules> }) {
  const { plan: said } = words.value.walk;
  const state = ({ met, kept }: PlanRule): string => {
    if (met) return said.met;
    if (!kept) return said.givesWayShort;
    return walk.finished ? said.notMet : said.soFar;
  };
  return (
    <Details summary={said.rules(walk.rules.filter(({ met }) => met).length, walk.rules.length)}>
      <ul class="walk-rules">
        {walk.rules.map((rule) => (
          <li key={rule.rule}>
            <span>{ruleText(rule, by)}</span>
            <span>{format.value.of(rule.done, rule.asked)}</span>
            <Tag strong={rule.met}>{state(rule)}</Tag>
          </li>
        ))}
      </ul>
    </Details>
  );
}

function Stops({ walk, names }: { walk: HouseWalk; names: Names }) {
  const { plan: said } = words.value.walk;
  if (walk.stops.length === 0) return null;
  const settled = walk.stops.filter(({ enough: { code } }) => code === 'below' || code === 'above').length;
  return (
    <Details summary={said.stops(settled, walk.stops.length)}>
      <ul class="walk-enough">
        {walk.stops.map(({ stop, plants, infested, enough }) => (
          <li key={stop.cultivar_id}>
            <b>{names.cultivar(stop.cultivar_id)?.name}</b>{' '}
            <span class="quiet">
              {[plants > 0 ? said.found(infested, plants) : words.value.walk.mark.noPlants, stop.limit && said.limit(format.value.percent(stop.limit.percent))].filter(Boolean).join(' · ')}
            </span>
            <span class="walk-line">{enoughText(enough)}</span>
          </li>
        ))}
      </ul>
      <p class="quiet">{said.stopsNote}</p>
    </Details>
  );
}
