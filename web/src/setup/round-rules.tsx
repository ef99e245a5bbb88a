import type { RoundRules } from '../contract.gen';
import { Details, NumberField } from '../parts';
import { usualRules } from '../walk/round-rules';
import { format, words } from '../words';
import type { Fact } from './record/kind';

type Rule = keyof RoundRules;

interface Range {
  min: number;
  max: number;
  decimals: number;
}

/** The rules in the order of the form, with what the contract allows. */
const ranges: Record<Rule, Range> = {
  crop_percent: { min: 0.1, max: 100, decimals: 1 },
  blocks_percent: { min: 0.1, max: 100, decimals: 1 },
  plants_per_block_least: { min: 1, max: 200, decimals: 0 },
  plants_per_block_most: { min: 1, max: 200, decimals: 0 },
  seconds_per_plant: { min: 0.1, max: 600, decimals: 1 },
  minutes_per_block: { min: 0, max: 60, decimals: 1 },
};

const order = Object.keys(ranges) as Rule[];

/** The rules after one was typed or emptied; null when none is left. */
export function withRule(rules: RoundRules, rule: Rule, value: number | null): RoundRules | null {
  const others = Object.entries(rules).filter(([name]) => name !== rule);
  const next = value === null ? others : [...others, [rule, value]];
  return next.length === 0 ? null : (Object.fromEntries(next) as RoundRules);
}

function amount(rule: Rule, value: number): string {
  return `${format.value.number(value)}\u00a0${words.value.setup.rules.unit[rule]}`;
}

/** What is wrong with a rule before the server is asked. */
function fault(rules: RoundRules, rule: Rule): string | undefined {
  const { plants_per_block_least: least, plants_per_block_most: most } = rules;
  return rule === 'plants_per_block_most' && least !== undefined && most !== undefined && most < least ? words.value.setup.rules.mostBelowLeast : undefined;
}

/** What a week's round has to fulfil: each rule with the usual value and where that comes from. */
export function RoundRulesFields({ rules, onRules }: { rules: RoundRules; onRules: (rules: RoundRules | null) => void }) {
  const said = words.value.setup.rules;
  const own = order.filter((rule) => rules[rule] !== undefined).length;
  return (
    <Details summary={`${said.title}: ${own === 0 ? said.allUsual : said.own(own)}`}>
      <p>{said.lead}</p>
      <div class="form-row">
        {order.map((rule) => {
          const error = fault(rules, rule);
          return (
            <NumberField
              key={rule}
              label={said.name[rule]}
              hint={`${said.usually(amount(rule, usualRules[rule]))} ${said.source[rule]}`}
              pointer={`/round_rules/${rule}`}
              optional
              unit={said.unit[rule]}
              {...ranges[rule]}
              {...(error !== undefined && { error })}
              value={rules[rule] ?? null}
              onValue={(value) => onRules(withRule(rules, rule, value))}
            />
          );
        })}
      </div>
    </Details>
  );
}

/** The rules in words, to compare two versions of a site. */
export function rulesFacts(rules: RoundRules | null | undefined): Fact[] {
  const said = words.value.setup.rules;
  return order.map((rule) => {
    const value = rules?.[rule];
    return { term: said.name[rule], value: value === undefined ? said.usual(amount(rule, usualRules[rule])) : amount(rule, value) };
  });
}
