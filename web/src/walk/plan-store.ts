import { signal } from '@preact/signals';
import { useMemo } from 'preact/hooks';

import { client, read } from '../api';
import type { Daybook, Look, Lot, Plan, Plans, RoundRules } from '../contract.gen';
import { noteDown, recall } from '../local/notebook';
import { toProblem, type ApiProblem } from '../problem';
import { session } from '../session';
import { countedSince, type Count, type CountedFor } from './counted';
import type { Draft } from './draft';
import { draftsOf } from './draft-store';
import { walkOf, type HouseWalk } from './plan';
import { namesOf } from './round';
import { wholeRules } from './round-rules';

/** A house's plan, the looks that were known when it was asked for, and which question it answers. */
interface HeldPlan {
  plan: Plan;
  known: Look[];
  turn: number;
}

interface Held {
  site: string;
  person: string;
  week: string;
  organism_id: string | null;
  rules: RoundRules;
  /** The newest question answered. */
  turn: number;
  plans: HeldPlan[];
}

/** A question, numbered in the order of asking, and the daybook as it was known then. */
interface Question {
  turn: number;
  book: Daybook;
}

let asked = 0;

const held = signal<Held | null>(null);

/** Why the plans of a site did not come when they were last fetched; null when they did. */
export const planProblem = signal<ApiProblem | null>(null);

/** Houses whose plan is being fetched again, with the newest question for it. */
export const planning = signal<ReadonlyMap<string, number>>(new Map());

const key = 'benchtrail.walk.minutes';

interface Given {
  week: string;
  houses: Record<string, number>;
}

function kept(): Given | null {
  try {
    const value: unknown = JSON.parse(localStorage.getItem(key) ?? 'null');
    return typeof value === 'object' && value !== null && 'week' in value && 'houses' in value ? (value as Given) : null;
  } catch {
    return null;
  }
}

const given = signal<Given | null>(kept());

/** The minutes that a person says there are for a house this week; null for as many as the rules need. */
export function minutesGiven(week: string, houseId: string): number | null {
  return (given.value?.week === week ? given.value.houses[houseId] : null) ?? null;
}

/**
 * Holds the plans of every house of a site (`whole`), or of some beside those of the others.
 * An answer may come late: one to a newer question, or of a site gone to since, stays.
 */
function put({ turn, book }: Question, answer: Plans, plans: readonly Plan[], whole: boolean): void {
  const before = heldFor(book);
  const latest = before ?? held.peek();
  const overtaken = latest !== null && latest.turn > turn;
  if (overtaken && !before) return;
  const newer = before?.plans.filter((one) => one.turn > turn) ?? [];
  const has = (some: readonly Plan[], { house_id }: Plan): boolean => some.some((one) => one.house_id === house_id);
  const others = whole ? [] : (before?.plans.filter((one) => one.turn <= turn && !has(plans, one.plan)) ?? []);
  const fresh = plans.filter((plan) => !has(newer.map((one) => one.plan), plan));
  const { week, organism_id, rules } = overtaken ? latest : answer;
  held.value = {
    site: book.site.id,
    person: session.peek()?.person.id ?? '',
    week,
    organism_id,
    rules,
    turn: overtaken ? latest.turn : turn,
    plans: [...newer, ...others, ...fresh.map((plan) => ({ plan, known: book.looks.filter(({ house_id }) => house_id === plan.house_id), turn }))],
  };
  void noteDown(noteKey(book.site.id), held.peek());
}

const noteKey = (site: string): string => `plans ${session.peek()?.person.id ?? ''} ${site}`;

function isHeld(value: unknown): value is Held {
  return typeof value === 'object' && value !== null && 'plans' in value && 'rules' in value && 'week' in value;
}

/** Takes the plans of a daybook's week from the phone's notebook. */
export async function recallPlans(book: Daybook): Promise<void> {
  const note = await recall(noteKey(book.site.id), isHeld);
  if (note?.week !== book.week || heldFor(book)) return;
  // Its turn was counted by a page that is gone: whatever this one asks for is newer.
  held.value = { ...note, turn: 0, plans: note.plans.map((one) => ({ ...one, turn: 0 })) };
}

function heldFor({ site, week }: Pick<Daybook, 'site' | 'week'>): Held | null {
  const now = held.value;
  return now?.site === site.id && now.week === week && now.person === session.value?.person.id ? now : null;
}

interface Asked {
  house_id?: string;
  minutes?: number | null;
  abort?: AbortSignal | undefined;
}

async function ask(site_id: string, { house_id, minutes, abort }: Asked): Promise<Plans> {
  const query = { site_id, ...(house_id !== undefined && { house_id }), ...(typeof minutes === 'number' && { minutes }) };
  return await read(client.GET('/plans', { params: { query }, ...(abort && { signal: abort }) }));
}

/** The plan planned again for the minutes that a person gave before; as it came where there are none or that fails. */
async function asGiven(siteId: string, plan: Plan, abort: AbortSignal | undefined): Promise<Plan[]> {
  const minutes = minutesGiven(plan.week, plan.house_id);
  if (minutes === null) return [plan];
  try {
    return (await ask(siteId, { house_id: plan.house_id, minutes, abort })).plans;
  } catch {
    return [plan];
  }
}

/**
 * Fetches the plans of a site beside its daybook, which is asked for at the same time. A
 * walk is possible without them: when they do not come, what was held stays and the reason
 * is kept. Once aborted it changes nothing.
 */
export async function fetchPlans(siteId: string, daybook: Promise<Daybook>, abort?: AbortSignal): Promise<void> {
  const turn = ++asked;
  try {
    const answer = await ask(siteId, { abort });
    const plans = await Promise.all(answer.plans.map((plan) => asGiven(siteId, plan, abort)));
    const book = await daybook;
    if (abort?.aborted) return;
    put({ turn, book }, answer, plans.flat(), true);
    planProblem.value = null;
  } catch (thrown) {
    if (!abort?.aborted) planProblem.value = toProblem(thrown);
  }
}

/** Plans a house again: for the minutes given, or after a look there. `book` answers with the daybook as it then is, null once its site was left. */
export async function planAgain(book: () => Daybook | null, houseId: string): Promise<void> {
  const before = book();
  if (!before) return;
  const turn = ++asked;
  planning.value = new Map([...planning.peek(), [houseId, turn]]);
  try {
    const answer = await ask(before.site.id, { house_id: houseId, minutes: minutesGiven(before.week, houseId) });
    if (book()) put({ turn, book: before }, answer, answer.plans, false);
  } catch {
    // the plan before holds, and what was looked at since adds to it
  } finally {
    if (planning.peek().get(houseId) === turn) planning.value = new Map([...planning.peek()].filter(([id]) => id !== houseId));
  }
}

/** Says how many minutes there are for a house this week; null for as many as the rules need. */
export function giveMinutes(week: string, houseId: string, minutes: number | null): void {
  const now = given.peek();
  const others = Object.entries(now?.week === week ? now.houses : {}).filter(([id]) => id !== houseId);
  given.value = { week, houses: Object.fromEntries(minutes === null ? others : [...others, [houseId, minutes]]) };
  try {
    localStorage.setItem(key, JSON.stringify(given.peek()));
  } catch {
    // lasts as long as the page
  }
}

/** The rules of the round at a site, as its plans were made; undefined while there are none. */
export function rulesHeld(book: Daybook): Required<RoundRules> | undefined {
  const now = heldFor(book);
  return now ? wholeRules(now.rules) : undefined;
}

/** A house's plan, what its counts are of, and what this phone knows beyond the server's count. */
export interface PlanInHand {
  plan: Plan;
  /** Plants asked for in a block at least. */
  perBlock: number;
  of: CountedFor;
  since: Count[];
}

/** A house's plan with this phone's looks and drafts; the draft in hand, if any, is left to the caller. Null where there is none. */
function planInHand(book: Daybook, houseId: string, inHand?: Draft): PlanInHand | null {
  const now = heldFor(book);
  const own = now?.plans.find(({ plan }) => plan.house_id === houseId);
  if (!now || !own) return null;
  const of: CountedFor = { organism_id: now.organism_id ?? '', week: now.week, zone: book.site.time_zone, names: namesOf(book) };
  const blocks = new Set(book.blocks.filter(({ house_id }) => house_id === houseId).map(({ id }) => id));
  const drafts = draftsOf(session.peek()?.person.id ?? '').filter(({ id, block_id }) => id !== inHand?.id && blocks.has(block_id));
  const looks = book.looks.filter(({ house_id, id }) => house_id === houseId && id !== inHand?.id);
  return { plan: own.plan, perBlock: wholeRules(now.rules).plants_per_block_least, of, since: countedSince(looks, own.known, drafts, of) };
}

/** Holds on to a house's plan while plants are marked: it is read anew only when the plan or the daybook changes. */
export function usePlanInHand(book: Daybook, houseId: string, inHand?: Draft): PlanInHand | null {
  const plans = heldFor(book);
  return useMemo(() => planInHand(book, houseId, inHand), [book, plans, houseId, inHand?.id]);
}

/** What a lot came with; one that began here by a split or merge stands for itself. */
function arrivalOf(lot: Lot | undefined): string | undefined {
  return lot?.shipment_id ?? lot?.id;
}

/** Every house with a plan, as walked so far. */
export function walksOf(book: Daybook): ReadonlyMap<string, HouseWalk> {
  const inHand = heldFor(book)?.plans.flatMap(({ plan }) => planInHand(book, plan.house_id) ?? []) ?? [];
  return new Map(inHand.map(({ plan, perBlock, of, since }) => [plan.house_id, walkOf(plan, since, perBlock, (lotId) => arrivalOf(of.names.lot(lotId)))]));
}
