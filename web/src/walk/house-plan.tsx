import type { Daybook, House, RoundRules } from '../contract.gen';
import { Button, Details, Tag } from '../parts';
import { format, words } from '../words';
import type { HouseWalk } from './plan';
import { PlanMinutes } from './plan-minutes';
import { closingText, enoughText, minutesText, ruleText, whyText } from './plan-said';
import type { Names } from './round';
import type { RuleNow } from './rules-now';

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
        <PlanMinutes book={book} house={house} walk={walk} />
      </div>
      {walk.visited === plan.blocks.length && plan.blocks.length > 0 ? (
        <p class="walk-closing">
          <b>{said.walked}</b> {closingText(walk.rules, rules)}
        </p>
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

function Rules({ walk, by }: { walk: HouseWalk; by: Required<RoundRules> }) {
  const { plan: said } = words.value.walk;
  const state = ({ met, kept, counted }: RuleNow): string => {
    if (met) return said.met;
    if (!kept) return said.givesWayShort;
    if (!counted) return said.notCounted;
    return walk.finished ? said.notMet : said.soFar;
  };
  return (
    <Details summary={said.rules(walk.rules.filter(({ met }) => met).length, walk.rules.length)}>
      <ul class="walk-rules">
        {walk.rules.map((rule) => (
          <li key={rule.rule}>
            <span>{ruleText(rule, by)}</span>
            <span>{rule.counted && format.value.of(rule.done, rule.asked)}</span>
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
        {walk.stops.map((at) => (
          <li key={at.stop.cultivar_id}>
            <b>{names.cultivar(at.stop.cultivar_id)?.name}</b>{' '}
            <span class="quiet">
              {[at.plants > 0 ? said.found(at.infested, at.plants) : words.value.walk.mark.noPlants, at.stop.limit && said.limit(format.value.percent(at.stop.limit.percent))].filter(Boolean).join(' · ')}
            </span>
            <span class="walk-line">
              {enoughText(at.enough)}. {whyText(at)}
            </span>
          </li>
        ))}
      </ul>
      <p class="quiet">{said.stopsNote}</p>
    </Details>
  );
}
