import type { Block, Cultivar, Daybook, House, Look, Lot, Organism, Placement, Section } from '../contract.gen';
import type { Asked, HouseWalk } from './plan';

/** A lot that stands in a block, with this week's looks at it. */
export interface Standing {
  lot_id: string;
  /** Undefined when the daybook does not carry the lot. */
  lot: Lot | undefined;
  plants: number;
  looks: Look[];
}

/** A block on the round. */
export interface Stop {
  block: Block;
  house: House;
  section: Section | undefined;
  standing: Standing[];
  /** Looks of this week at lots that do not stand here, or that are not known. */
  others: Look[];
  /** Whether a planned look was made here this week. */
  looked: boolean;
  /** What the plan asks for here: nothing where the block is not in it; undefined where the house has no plan. */
  asked: readonly Asked[] | undefined;
}

/** The blocks of one house in walking order. */
export interface HouseRound {
  house: House;
  stops: Stop[];
}

/** What the list is narrowed to; null is all. */
export interface Narrowing {
  section: string | null;
  house: string | null;
  left: boolean;
}

const byName = (a: { name: string }, b: { name: string }): number => a.name.localeCompare(b.name, undefined, { numeric: true });

function grouped<T>(items: readonly T[], keyOf: (item: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group) group.push(item);
    else groups.set(key, [item]);
  }
  return groups;
}

/** Whether a look enters the estimates: made on the round, and not withdrawn. */
export function counts(look: Look): boolean {
  return look.purpose !== 'on_purpose' && !look.withdrawn_because;
}

function standsNow({ from, to }: Placement, now: string): boolean {
  const moment = Date.parse(now);
  return Date.parse(from) <= moment && (to === undefined || to === null || moment < Date.parse(to));
}

/** The whole round of a site: houses by name, their blocks in walking order, what stands there, what is planned and what was seen this week. */
export function roundOf(book: Daybook, walks: ReadonlyMap<string, HouseWalk> = new Map()): HouseRound[] {
  const lots = new Map(book.lots.map((lot) => [lot.id, lot]));
  const sections = new Map(book.sections.map((section) => [section.id, section]));
  const blocks = grouped(book.blocks, (block) => block.house_id);
  const placements = grouped(
    book.placements.filter((placement) => standsNow(placement, book.now)),
    (placement) => placement.block_id,
  );
  const looks = grouped(
    book.looks.filter((look) => !look.withdrawn_because),
    (look) => look.block_id,
  );
  return book.houses.toSorted(byName).map((house) => ({
    house,
    stops: (blocks.get(house.id) ?? [])
      .toSorted((a, b) => a.position - b.position || byName(a, b))
      .map((block): Stop => {
        const here = looks.get(block.id) ?? [];
        const walk = walks.get(house.id);
        const standing = [...grouped(placements.get(block.id) ?? [], (placement) => placement.lot_id)].map(
          ([lot_id, parts]): Standing => ({
            lot_id,
            lot: lots.get(lot_id),
            plants: parts.reduce((sum, part) => sum + part.plants, 0),
            looks: here.filter((look) => look.lot_id === lot_id),
          }),
        );
        return {
          block,
          house,
          section: block.section_id ? sections.get(block.section_id) : undefined,
          standing: standing.toSorted((a, b) => b.plants - a.plants),
          others: here.filter((look) => !standing.some(({ lot_id }) => lot_id === look.lot_id)),
          looked: here.some(counts),
          asked: walk && (walk.asked.get(block.id) ?? []),
        };
      }),
  }));
}

/** Whether a block is on the round: in the plan, or where there is none, with plants in it. */
export function onRound({ asked, standing }: Stop): boolean {
  return asked ? asked.length > 0 : standing.length > 0;
}

/** Whether a block was walked: every planned lot, or where there is no plan, any. */
export function walked({ asked, looked }: Stop): boolean {
  return asked ? asked.every(({ done }) => done > 0) : looked;
}

/** The part of the round that someone walks; houses with nothing left in them are left out. */
export function narrowed(rounds: readonly HouseRound[], { section, house, left }: Narrowing): HouseRound[] {
  return rounds
    .filter((round) => house === null || round.house.id === house)
    .map((round) => ({
      ...round,
      stops: round.stops.filter((stop) => (section === null || stop.block.section_id === section) && !(left && walked(stop))),
    }))
    .filter(({ stops }) => stops.length > 0);
}

/** How many of the blocks on the round were looked at this week. */
export function progressOf(rounds: readonly HouseRound[]): { looked: number; all: number } {
  const planned = rounds.flatMap(({ stops }) => stops).filter(onRound);
  return { looked: planned.filter(walked).length, all: planned.length };
}

/** Whether there is a round, and nothing of it is left: not even a lot that no longer stands where it was planned. */
export function allWalked(rounds: readonly HouseRound[]): boolean {
  const { looked, all } = progressOf(rounds);
  return all > 0 && looked === all;
}

/** Houses with plants and no plan. */
export function withoutPlan(rounds: readonly HouseRound[]): House[] {
  return rounds.filter(({ stops }) => stops.some(({ asked, standing }) => !asked && standing.length > 0)).map(({ house }) => house);
}

/** Where to go on: a block, and the lot in it. */
export interface Next {
  stop: Stop;
  standing: Standing;
}

function leftIn({ asked, standing }: Stop): Standing | undefined {
  if (!asked) return standing.find(({ looks }) => !looks.some(counts));
  return standing.find(({ lot_id }) => asked.some(({ look, done }) => look.lot_id === lot_id && done === 0));
}

/**
 * What is left in walking order: first another lot of the same block, then the blocks
 * after it, then from the start again. With no block given, the first that is left.
 */
export function nextOf(rounds: readonly HouseRound[], blockId?: string): Next | null {
  const stops = rounds.flatMap((round) => round.stops);
  const at = Math.max(0, stops.findIndex(({ block }) => block.id === blockId));
  for (const stop of [...stops.slice(at), ...stops.slice(0, at)]) {
    if (walked(stop) && stop.block.id !== blockId) continue;
    const standing = leftIn(stop);
    if (standing) return { stop, standing };
  }
  return null;
}

/** Two counts over several looks at the same plants: added, never averaged. */
export function sumOf(looks: readonly Look[], organismId: string): { looked_at: number; infested: number } | null {
  const results = looks.filter(counts).flatMap((look) => look.results.filter((result) => result.organism_id === organismId));
  if (results.length === 0) return null;
  return {
    looked_at: results.reduce((sum, result) => sum + result.plants_looked_at, 0),
    infested: results.reduce((sum, result) => sum + result.infested_plants, 0),
  };
}

/** The names a daybook gives to ids. */
export interface Names {
  cultivar: (id: string | undefined) => Cultivar | undefined;
  lot: (id: string | null | undefined) => Lot | undefined;
  organism: (id: string | undefined) => Organism | undefined;
  /** The main pest of the lot's crop; with no lot, of the first crop there is. */
  mainOrganism: (lot: Lot | undefined) => string | null;
}

const namesKept = new WeakMap<Daybook, Names>();

/** Looks names up in a daybook; the same object for the same daybook, so that what is drawn with it is not drawn anew. */
export function namesOf(book: Daybook): Names {
  const names = namesKept.get(book) ?? readNames(book);
  namesKept.set(book, names);
  return names;
}

function readNames(book: Daybook): Names {
  const cultivars = new Map(book.cultivars.map((cultivar) => [cultivar.id, cultivar]));
  const lots = new Map(book.lots.map((lot) => [lot.id, lot]));
  const organisms = new Map(book.organisms.map((organism) => [organism.id, organism]));
  return {
    cultivar: (id) => (id === undefined ? undefined : cultivars.get(id)),
    lot: (id) => (id === undefined || id === null ? undefined : lots.get(id)),
    organism: (id) => (id === undefined ? undefined : organisms.get(id)),
    mainOrganism: (lot) => (book.crops.find((crop) => crop.id === lot?.crop_id) ?? book.crops[0])?.main_organism_id ?? null,
  };
}
