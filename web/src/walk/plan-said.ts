import type { PlanLook, PlanRule, RoundRules } from '../contract.gen';
import { format, words } from '../words';
import { boundsAt, type Enough } from './enough';
import type { CultivarStop } from './plan';
import type { Names } from './round';
import type { RuleNow } from './rules-now';

/** Whole minutes, rounded up so that the time is never too short. */
export function minutesText(minutes: number): string {
  return words.value.walk.plan.minutes(Math.ceil(minutes - 1e-9));
}

/** "every week · arrived 3 Aug with findings" */
export function reasonsText({ reasons, lot_id }: Pick<PlanLook, 'reasons' | 'lot_id'>, names: Pick<Names, 'lot'>): string {
  const { reason } = words.value.walk.plan;
  const on = names.lot(lot_id)?.arrived_on;
  const arrived = on === undefined ? words.value.common.unknown : format.value.date(on);
  const said = reasons
    .filter((one) => one !== 'arrival' || !reasons.includes('arrival_finding'))
    .map((one) => {
      const text = reason[one];
      return typeof text === 'function' ? text(arrived) : text;
    });
  return said.join(' · ');
}

/** The rule in words: "5 % of the plants". */
export function ruleText({ rule }: PlanRule, rules: Required<RoundRules>): string {
  const said = words.value.walk.plan.rule;
  const f = format.value;
  switch (rule) {
    case 'crop_share':
      return said.crop_share(f.percent(rules.crop_percent));
    case 'block_share':
      return said.block_share(f.percent(rules.blocks_percent));
    case 'plants_per_block':
      return said.plants_per_block(rules.plants_per_block_least, rules.plants_per_block_most);
    default:
      return said[rule];
  }
}

/** After the last block: which rules were met, which were not, and which this phone cannot tell. */
export function closingText(rules: readonly RuleNow[], by: Required<RoundRules>): string {
  const said = words.value.walk.plan;
  const list = (say: (rules: string) => string, some: readonly RuleNow[]): string[] =>
    some.length === 0 ? [] : [say(format.value.list(some.map((rule) => ruleText(rule, by))))];
  return [
    ...list(said.rulesMet, rules.filter(({ met }) => met)),
    ...list(said.rulesNotMet, rules.filter(({ met, counted }) => !met && counted)),
    ...list(said.rulesNotCounted, rules.filter(({ met, counted }) => !met && !counted)),
  ].join(' ');
}

/** "Plants 7, 34, 1002": without grouping, for the comma stands between them. */
export function positionsText(positions: readonly number[]): string {
  return words.value.walk.plan.plants(positions.join(', '));
}

/** "Enough: below the limit", "12 more could be enough" */
export function enoughText(is: Enough): string {
  const said = words.value.walk.plan.enough;
  switch (is.code) {
    case 'more':
      return is.more === null ? said.moreOpen : said.more(is.more);
    case 'plants':
      return said.plants(is.least, is.more);
    case 'blocks':
      return is.least === null ? said.blocksAny(is.blocks, is.left) : said.blocks(is.least, is.blocks, is.left);
    default:
      return said[is.code];
  }
}

/** Why it is enough or not, in one sentence with the counts that decide. */
export function whyText({ stop, plants, enough }: CultivarStop): string {
  const said = words.value.walk.plan.why;
  const f = format.value;
  const limit = f.percent(stop.limit?.percent ?? stop.action_percent);
  const { below, above } = boundsAt(stop, plants);
  switch (enough.code) {
    case 'no_limit':
      return said.no_limit;
    case 'blocks':
      return said.blocks;
    case 'plants':
      return said.plants(enough.least, limit);
    case 'below':
      return said.below(f.of(below ?? 0, plants), limit);
    case 'above':
      return said.above(f.of(above ?? 0, plants), limit);
    case 'more':
      if (below === null && above === null) return said.neither(limit);
      if (below === null) return said.onlyOver(f.of(above ?? 0, plants), limit);
      if (above === null) return said.onlyBelow(f.of(below, plants), limit);
      return said.between(plants, below, above, limit);
  }
}
