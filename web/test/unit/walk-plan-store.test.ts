import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';

import type { Daybook, Look, Plan, Plans } from '../../src/contract.gen';
import type * as DaybookStore from '../../src/walk/daybook-store';
import type * as PlanStore from '../../src/walk/plan-store';

const recorded = { version: 1, recorded_at: '2026-09-14T05:00:00Z', recorded_by: { id: 'p', name: 'P' } };
const week = '2026-W38';

const look = (id: string, more: Partial<Look> = {}): Look => ({
  id,
  ...recorded,
  block_id: 'b1',
  lot_id: 'l1',
  looked_at: '2026-09-14T07:00:00+02:00',
  targets: [],
  site_id: 's',
  house_id: 'h',
  looked_on: '2026-09-14',
  week,
  results: [
    {
      organism_id: 'w',
      plants_looked_at: 20,
      infested_plants: 1,
      infested_percent: 5,
      lower_percent: 1,
      upper_percent: 24,
      confidence_percent: 95,
      method: 'wilson',
    },
  ],
  doubts: [],
  ...more,
});

const daybook = (site_id: string, ...looks: Look[]): Daybook => ({
  now: '2026-09-14T06:00:00Z',
  version: 'v1',
  on: '2026-09-14',
  week,
  site: { id: site_id, ...recorded, name: 'S', time_zone: 'Europe/Madrid' },
  houses: [],
  sections: [],
  blocks: [],
  lots: [
    {
      id: 'l1',
      ...recorded,
      shipment_id: 'sh',
      cultivar_id: 'c',
      plants: 500,
      code: 'l1',
      site_id,
      season_id: 'se',
      crop_id: 'crop',
      arrived_on: '2026-07-06',
      plants_on_hand: 500,
    },
  ],
  placements: [],
  cultivars: [],
  holds: [],
  customers: [],
  shipments: [],
  inspections: [],
  verdicts: [],
  suppliers: [],
  farms: [],
  seasons: [],
  crops: [],
  organisms: [],
  thresholds: [],
  looks,
});

const plan = (house_id: string, done: number, more: Partial<Plan> = {}): Plan => ({
  house_id,
  week,
  seed: '1',
  minutes: 1,
  plants: 20,
  standing: 400,
  blocks_with_plants: 1,
  rules: [],
  blocks: [],
  stops: [{ cultivar_id: 'c', plants_least: 15, acceptable_percent: 1, action_percent: 2, lines: [], done_plants: done, done_infested: 0, code: 'no_limit' }],
  ...more,
});

const plansOf = (site_id: string, ...plans: Plan[]): Plans => ({ site_id, week, organism_id: 'w', rules: {}, plans });

/** A request that waits for the test to answer it. */
interface Waiting {
  address: URL;
  signal: AbortSignal;
  answer: (body: unknown) => void;
  fail: () => void;
}

let waiting: Waiting[];
let store: typeof PlanStore;
let daybooks: typeof DaybookStore;

async function asked(n: number): Promise<Waiting[]> {
  await vi.waitFor(() => expect(waiting).toHaveLength(n));
  return waiting;
}

function at(list: readonly Waiting[], i: number): Waiting {
  const one = list[i];
  if (!one) throw new Error(`there is no request ${i}`);
  return one;
}

/** Plants of the cultivar that count in a house, by the server and by this phone. */
const plants = (book: Daybook, house = 'h'): number | undefined => store.walksOf(book).get(house)?.stops[0]?.plants;

beforeEach(async () => {
  waiting = [];
  vi.stubGlobal(
    'fetch',
    (request: Request) =>
      new Promise<Response>((go, stop) => {
        waiting.push({
          address: new URL(request.url),
          signal: request.signal,
          answer: (body) => go(new Response(JSON.stringify(body), { headers: { 'Content-Type': 'application/json' } })),
          fail: () => stop(new TypeError('no network')),
        });
      }),
  );
  vi.resetModules(); // what is held lasts as long as the page
  const { session } = await import('../../src/session');
  session.value = {
    person: { id: 'p', name: 'P', email: 'p@example.org', language: 'en' },
    organisation: { id: 'o', name: 'O' },
    roles: [],
    now: '2026-09-14T05:00:00Z',
    demo: false,
    letters: false,
  };
  store = await import('../../src/walk/plan-store');
  daybooks = await import('../../src/walk/daybook-store');
});

afterEach(() => vi.unstubAllGlobals());

describe('a house planned again', () => {
  const one = daybook('s', look('1'));
  const two = daybook('s', look('1'), look('2'));

  it('keeps the answer to the newer question, though the older one comes later', async () => {
    const first = store.planAgain(() => one, 'h');
    const second = store.planAgain(() => two, 'h');
    const list = await asked(2);
    at(list, 1).answer(plansOf('s', plan('h', 40, { minutes: 9 })));
    await second;
    expect(store.planning.value.has('h')).toBe(false);
    at(list, 0).answer(plansOf('s', plan('h', 20)));
    await first;
    expect(plants(two)).toBe(40);
    expect(store.walksOf(two).get('h')?.plan.minutes).toBe(9);
  });

  it('adds a look that came after the question, when the answer is the only one to come', async () => {
    let now = one;
    const first = store.planAgain(() => now, 'h');
    now = two;
    const second = store.planAgain(() => now, 'h');
    const list = await asked(2);
    at(list, 0).answer(plansOf('s', plan('h', 20)));
    await first;
    expect(store.planning.value.has('h')).toBe(true); // the second is still on its way
    at(list, 1).fail();
    await second;
    expect(plants(two)).toBe(40);
    expect(store.planning.value.has('h')).toBe(false);
  });

  it('stays, when the plans of all houses were asked for before it and come after it', async () => {
    const all = store.fetchPlans('s', Promise.resolve(one));
    const again = store.planAgain(() => two, 'h');
    const list = await asked(2);
    at(list, 1).answer(plansOf('s', plan('h', 40, { minutes: 9 })));
    await again;
    at(list, 0).answer(plansOf('s', plan('h', 20), plan('g', 7)));
    await all;
    expect(store.walksOf(two).get('h')?.plan.minutes).toBe(9);
    expect(plants(two, 'g')).toBe(7);
  });

  it('changes nothing once its site was left', async () => {
    let now: Daybook | null = one;
    const again = store.planAgain(() => now, 'h');
    now = null;
    at(await asked(1), 0).answer(plansOf('s', plan('h', 20)));
    await again;
    expect(store.walksOf(one).size).toBe(0);
  });
});

describe('the plans of a site', () => {
  const book = daybook('s');
  const other = daybook('t');

  it('change nothing once aborted, whether they come or fail', async () => {
    for (const comes of [true, false]) {
      const abort = new AbortController();
      waiting = [];
      const left = store.fetchPlans('s', Promise.resolve(book), abort.signal);
      const gone = at(await asked(1), 0);
      abort.abort();
      expect(gone.signal.aborted).toBe(true);
      if (comes) gone.answer(plansOf('s', plan('h', 0)));
      else gone.fail();
      await left;
      expect(store.walksOf(book).size).toBe(0);
      expect(store.planProblem.value).toBeNull();
    }
  });

  it('do not take the place of those of the site gone to', async () => {
    const left = store.fetchPlans('s', Promise.resolve(book));
    const present = store.fetchPlans('t', Promise.resolve(other));
    const list = await asked(2);
    at(list, 1).answer(plansOf('t', plan('x', 0)));
    await present;
    at(list, 0).answer(plansOf('s', plan('h', 0)));
    await left;
    expect([...store.walksOf(other).keys()]).toEqual(['x']);
  });

  it('are still amiss when only one house was planned since', async () => {
    const all = store.fetchPlans('s', Promise.resolve(book));
    at(await asked(1), 0).fail();
    await all;
    const again = store.planAgain(() => book, 'h');
    at(await asked(2), 1).answer(plansOf('s', plan('h', 0)));
    await again;
    expect([...store.walksOf(book).keys()]).toEqual(['h']);
    expect(store.planProblem.value?.status).toBe(0);
  });

  it('hold as they came where planning for the minutes given fails', async () => {
    store.giveMinutes(week, 'h', 30);
    const all = store.fetchPlans('s', Promise.resolve(book));
    at(await asked(1), 0).answer(plansOf('s', plan('h', 3), plan('g', 4)));
    const minutes = at(await asked(2), 1);
    expect(minutes.address.searchParams.get('minutes')).toBe('30');
    minutes.fail();
    await all;
    expect([plants(book), plants(book, 'g')]).toEqual([3, 4]);
    expect(store.planProblem.value).toBeNull();
  });
});

describe('a daybook on its way', () => {
  const versions = (): [id: string, version: number][] => (daybooks.heldBook('s')?.looks ?? []).map(({ id, version }) => [id, version]);

  async function arrives(before: Daybook | null, taken: Look[], book: Daybook): Promise<void> {
    const load = async (arriving: Daybook, meanwhile: Look[]): Promise<void> => {
      const from = waiting.length;
      const loading = daybooks.loadDaybook('s', new AbortController().signal);
      const list = await asked(from + 2);
      for (const one of meanwhile) daybooks.takeIn(one);
      at(list, from).answer(arriving);
      at(list, from + 1).answer(plansOf('s'));
      await loading;
    };
    vi.useFakeTimers({ toFake: ['Date'] });
    if (before) await load(before, []);
    vi.setSystemTime(Date.now() + 120_000);
    await load(book, taken);
    vi.useRealTimers();
  }

  it('does not lose the looks taken in since it was asked for', async () => {
    await arrives(daybook('s', look('1')), [look('1', { version: 2, withdrawn_because: 'wrong block' }), look('2')], daybook('s', look('1')));
    expect(versions()).toEqual([
      ['1', 2],
      ['2', 1],
    ]);
  });

  it('does not lose them either when it is the first', async () => {
    await arrives(null, [look('2')], daybook('s', look('1')));
    expect(versions().map(([id]) => id)).toEqual(['1', '2']);
  });

  it('leads where it has a newer version, and where a look of before is no longer in it', async () => {
    await arrives(daybook('s', look('1'), look('2')), [look('1', { version: 2 })], daybook('s', look('1', { version: 3 })));
    expect(versions()).toEqual([['1', 3]]);
  });

  it('of a site that was left does not come from the notebook over that of the site gone to', async () => {
    const notebook = await import('../../src/local/notebook');
    vi.spyOn(notebook, 'recall').mockImplementation((key: string) => Promise.resolve((key === 'daybook p left' ? daybook('left') : undefined) as never));
    const leaving = new AbortController();
    const left = daybooks.loadDaybook('left', leaving.signal);
    const gone = (await asked(2)).length;
    leaving.abort();
    const loading = daybooks.loadDaybook('s', new AbortController().signal);
    const list = await asked(gone + 2);
    at(list, gone).answer(daybook('s', look('1')));
    at(list, gone + 1).answer(plansOf('s'));
    await loading;
    for (const one of list.slice(0, gone)) one.fail();
    await expect(left).rejects.toThrow();
    await new Promise((go) => setTimeout(go, 1_600)); // as long as a slow network is waited for
    expect(versions()).toEqual([['1', 1]]);
  });
});
