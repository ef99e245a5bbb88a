import { signal } from '@preact/signals';
import { useMemo } from 'preact/hooks';

import { client, read } from '../api';
import type { Daybook, Look, Plan, Plans, RoundRules } from '../contract.gen';
import { toProblem, type ApiProblem } from '../problem';
import { session } from '../session';
import { countedSince, type Count, type CountedFor } from './counted';
import type { Draft } from './draft';
import { draftsOf } from './draft-store';
import { walkOf, type HouseWalk } from './plan';
import { namesOf } from './round';
import { wholeRules } from './round-rules';

/** A house's plan, and the looks that its server had counted in it. */
interface HeldPlan {
  plan: Plan;
  known: Look[];
}

interface Held {
  site: string;
  person: string;
  week: string;
  organism_id: string | null;
  rules: RoundRules;
  plans: HeldPlan[];
}

const held = signal<Held | null>(null);

/** Why there is no plan, or not the one asked for; null while all is well. */
export const planProblem = signal<ApiProblem | null>(null);

/** Houses whose plan is being fetched again. */
export const planning = signal<ReadonlySet<string>>(new Set());

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

/** Holds plans: of all houses anew, or of some beside those of the others. */
function put(book: Daybook, { week, organism_id, rules }: Plans, plans: readonly Plan[], keep: readonly HeldPlan[]): void {
  const others = keep.filter(({ plan }) => !plans.some(({ house_id }) => house_id === plan.house_id));
  const known = (houseId: string): Look[] => book.looks.filter(({ house_id }) => house_id === houseId);
  held.value = {
    site: book.site.id,
    person: session.peek()?.person.id ?? '',
    week,
    organism_id,
    rules,
    plans: [...others, ...plans.map((plan) => ({ plan, known: known(plan.house_id) }))],
  };
}

function heldFor({ site, week }: Pick<Daybook, 'site' | 'week'>): Held | null {
  const now = held.value;
  return now?.site === site.id && now.week === week && now.person === session.value?.person.id ? now : null;
}

async function ask(site_id: string, house_id?: string, minutes?: number | null): Promise<Plans> {
  const query = { site_id, ...(house_id !== undefined && { house_id }), ...(typeof minutes === 'number' && { minutes }) };
  return await read(client.GET('/plans', { params: { query } }));
}

/** The plan as it came, or planned again for the minutes that a person gave before. */
async function asGiven(siteId: string, plan: Plan): Promise<Plan[]> {
  const minutes = minutesGiven(plan.week, plan.house_id);
  return minutes === null ? [plan] : (await ask(siteId, plan.house_id, minutes)).plans;
}

/**
 * Fetches the plans of a site beside its daybook. A walk is possible without them:
 * when they do not come, what was held stays and the reason is kept.
 */
export async function fetchPlans(siteId: string, daybook: Promise<Daybook>): Promise<void> {
  try {
    const answer = await ask(siteId);
    const plans = await Promise.all(answer.plans.map((plan) => asGiven(siteId, plan)));
    put(await daybook, answer, plans.flat(), []);
    planProblem.value = null;
  } catch (thrown) {
    planProblem.value = toProblem(thrown);
  }
}

/** Plans a house again: for the minutes given, or after a look there. `book` answers with the daybook as it then is. */
export async function planAgain(book: () => Daybook | null, houseId: string): Promise<void> {
  const before = book();
  if (!before) return;
  planning.value = new Set([...planning.peek(), houseId]);
  try {
    const answer = await ask(before.site.id, houseId, minutesGiven(before.week, houseId));
    const now = book();
    if (now) put(now, answer, answer.plans, heldFor(now)?.plans ?? []);
    planProblem.value = null;
  } catch (thrown) {
    planProblem.value = toProblem(thrown);
  } finally {
    planning.value = new Set([...planning.peek()].filter((id) => id !== houseId));
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
export function planInHand(book: Daybook, houseId: string, inHand?: Draft): PlanInHand | null {
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

/** Every house with a plan, as walked so far. */
export function walksOf(book: Daybook): ReadonlyMap<string, HouseWalk> {
  const inHand = heldFor(book)?.plans.flatMap(({ plan }) => planInHand(book, plan.house_id) ?? []) ?? [];
  return new Map(inHand.map(({ plan, perBlock, since }) => [plan.house_id, walkOf(plan, since, perBlock)]));
}
