import type { Plan, PlanBlock, PlanLook, PlanStop } from '../contract.gen';
import type { Count } from './counted';
import { enough, type Enough } from './enough';
import { rulesNow, type RuleNow, type ShipmentOf } from './rules-now';

/** Plants of one lot that the plan asks for in one block, and how many of them were looked at. */
export interface Asked {
  look: PlanLook;
  /** Whether the block is looked at every week. */
  panel: boolean;
  done: number;
}

/** A cultivar in a house: what was found of it, and whether that is enough. */
export interface CultivarStop {
  stop: PlanStop;
  plants: number;
  infested: number;
  enough: Enough;
}

/** A house's plan, with what was looked at so far by the server's count and this phone's. */
export interface HouseWalk {
  plan: Plan;
  /** By block; a block that is not here is not in the plan. */
  asked: ReadonlyMap<string, readonly Asked[]>;
  /** Planned blocks in which every planned lot was looked at, with however many plants. */
  visited: number;
  /** Every lot that the plan asks for has all its plants. */
  finished: boolean;
  rules: readonly RuleNow[];
  stops: readonly CultivarStop[];
}

const sum = (counts: readonly Count[], of: (count: Count) => number): number => counts.reduce((total, count) => total + of(count), 0);

function askedIn({ block_id, panel, looks }: PlanBlock, since: readonly Count[]): Asked[] {
  return looks.map((look) => {
    const more = since.filter((count) => count.block_id === block_id && count.lot_id === look.lot_id);
    return { look, panel, done: Math.max(0, look.done_plants + sum(more, ({ plants }) => plants)) };
  });
}

/**
 * Whether it is enough for one cultivar of a house, as the server works it out too: all
 * its plants in the house count, but in each planned block at least `perBlock` of them
 * have to be looked at first, or as many as the plan could give it there.
 */
export function cultivarStop(plan: Plan, stop: PlanStop, since: readonly Count[], perBlock: number): CultivarStop {
  const own = since.filter(({ cultivar_id }) => cultivar_id === stop.cultivar_id);
  const visits = plan.blocks.flatMap((block) => {
    const looks = block.looks.filter(({ cultivar_id }) => cultivar_id === stop.cultivar_id);
    if (looks.length === 0) return [];
    const here = own.filter(({ block_id }) => block_id === block.block_id);
    return {
      plants: looks.reduce((total, look) => total + look.done_plants, 0) + sum(here, ({ plants }) => plants),
      least: Math.min(perBlock, looks.reduce((total, { plants }) => total + plants, 0)),
    };
  });
  const plants = Math.max(0, stop.done_plants + sum(own, (count) => count.plants));
  const infested = Math.max(0, stop.done_infested + sum(own, (count) => count.infested));
  return { stop, plants, infested, enough: enough(stop, { plants, infested }, visits) };
}

/** Lays what was looked at over a plan. Without `shipmentOf`, arrivals are not counted on the phone. */
export function walkOf(plan: Plan, since: readonly Count[], perBlock: number, shipmentOf: ShipmentOf = () => undefined): HouseWalk {
  const asked = new Map(plan.blocks.map((block) => [block.block_id, askedIn(block, since)]));
  const finished = asked.size > 0 && [...asked.values()].every((here) => here.every(({ look, done }) => done >= look.plants));
  return {
    plan,
    asked,
    visited: [...asked.values()].filter((here) => here.every(({ done }) => done > 0)).length,
    finished,
    rules: rulesNow(plan, asked, since, finished, shipmentOf),
    stops: plan.stops.map((stop) => cultivarStop(plan, stop, since, perBlock)),
  };
}
