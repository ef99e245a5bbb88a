import type { Plan, PlanRule } from '../contract.gen';
import type { Count } from './counted';
import type { Asked } from './plan';

/** A rule by what this phone knows. */
export interface RuleNow extends PlanRule {
  /** Whether this phone can tell if it is met. */
  counted: boolean;
}

/** The shipment of a lot; undefined when it is not known. */
export type ShipmentOf = (lotId: string) => string | undefined;

type Planned = ReadonlyMap<string, readonly Asked[]>;

/** Blocks, cultivars or arrivals that were looked at. */
interface Seen {
  /** Those of the plan that the server had counted. */
  before: Set<string>;
  now: Set<string>;
  /** Looked at, but maybe none of those that the rule is about. */
  perhaps: Set<string>;
}

function seen(rule: PlanRule['rule'], planned: Planned, since: readonly Count[], shipmentOf: ShipmentOf): Seen {
  const of: Seen = { before: new Set(), now: new Set(), perhaps: new Set() };
  const key = (block_id: string, lot_id: string, cultivar_id: string): string | undefined => {
    if (rule === 'cultivars') return cultivar_id;
    return rule === 'arrivals' ? shipmentOf(lot_id) : block_id;
  };
  for (const [block_id, asked] of planned) {
    for (const { look, panel, done } of asked) {
      if (rule === 'panel' && !panel) continue;
      const it = key(block_id, look.lot_id, look.cultivar_id);
      if (it === undefined) {
        if (done > 0) of.perhaps.add(look.lot_id);
        continue;
      }
      if (look.done_plants > 0) of.before.add(it);
      if (done > 0) of.now.add(it);
    }
  }
  for (const { block_id, lot_id, cultivar_id, plants } of since) {
    const here = planned.get(block_id);
    if (plants <= 0 || here?.some(({ look }) => look.lot_id === lot_id)) continue;
    const certain = rule === 'block_share' || (rule === 'panel' && here?.some(({ panel }) => panel));
    if (rule === 'panel' && here && !certain) continue;
    (certain ? of.now : of.perhaps).add(key(block_id, lot_id, cultivar_id) ?? lot_id);
  }
  return of;
}

/** How many were looked at: at least those seen now, at most also those that the server counted beyond the plan. */
function number(rule: PlanRule, { before, now, perhaps }: Seen): RuleNow {
  const done = Math.max(rule.done, now.size);
  const most = now.size + Math.max(0, rule.done - before.size) + [...perhaps].filter((it) => !now.has(it)).length;
  const met = done >= rule.asked;
  return { ...rule, done, met, counted: met || most < rule.asked };
}

/** Met where every block that was visited has its least; which block the server found lacking is not known. */
function perBlock(rule: PlanRule, planned: Planned, since: readonly Count[]): RuleNow {
  const inBlock = new Map<string, number>();
  const add = (block_id: string, plants: number): void => void inBlock.set(block_id, (inBlock.get(block_id) ?? 0) + plants);
  for (const [block_id, asked] of planned) for (const { done } of asked) add(block_id, done);
  for (const { block_id, lot_id, plants } of since) {
    if (!planned.get(block_id)?.some(({ look }) => look.lot_id === lot_id)) add(block_id, plants);
  }
  const visited = [...inBlock.values()].filter((plants) => plants > 0);
  const fewest = Math.min(...visited, ...(rule.met ? [rule.done] : []));
  const met = visited.length > 0 && (rule.met || rule.done === 0) && fewest >= rule.asked;
  return met ? { ...rule, done: fewest, met, counted: true } : { ...rule, met: false, counted: false };
}

/**
 * The rules by what this phone knows. While that is no more than the server had counted,
 * as the server says. Plants of the house add up; of blocks, cultivars and arrivals the
 * plan shows only its own, and the others only within bounds. A plan walked to its end
 * meets every rule that it keeps.
 */
export function rulesNow({ rules }: Plan, planned: Planned, since: readonly Count[], finished: boolean, shipmentOf: ShipmentOf): RuleNow[] {
  return rules.map((rule) => {
    if (since.length === 0) return { ...rule, counted: true };
    if (rule.rule === 'crop_share') {
      const done = Math.max(0, rule.done + since.reduce((total, { plants }) => total + plants, 0));
      return { ...rule, done, met: done >= rule.asked, counted: true };
    }
    if (finished && rule.kept) return { ...rule, done: Math.max(rule.done, rule.planned), met: true, counted: true };
    if (rule.rule === 'plants_per_block') return perBlock(rule, planned, since);
    return number(rule, seen(rule.rule, planned, since, shipmentOf));
  });
}
