import { inject, afterEach, expect, test, vi } from 'vitest';

import type { Daybook, LookBody, Look, LookList, OutboxRecord, Session } from '../../src/contract.gen';
import type { Waiting } from '../../src/local/db';
import { firstSize, sendTurn, type Box, type Size } from '../../src/local/sender';
import { uuid7 } from '../../src/local/uuid7';

// Longer by hand: BENCHTRAIL_FAULT_RECORDS=100000 BENCHTRAIL_FAULT_SEED=7 npx vitest run --config test/browser/vitest.config.ts outbox-faults
const records = Number(process.env.BENCHTRAIL_FAULT_RECORDS ?? 10_000);
const seed = Number(process.env.BENCHTRAIL_FAULT_SEED ?? 20_260_914);

/** Numbers that look random and are the same every time (mulberry32, Tommy Ettinger 2017, public domain). */
function randomFrom(start: number): () => number {
  let state = start >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

const faults = ['drop', 'lose_answer', 'delay', 'duplicate', 'reorder', 'cut_answer', 'portal', '500', '503', '409', '413', '401'] as const;
type Fault = (typeof faults)[number];

function problem(status: number): Response {
  return new Response(JSON.stringify({ type: 'about:blank', title: 'Injected', status, code: 'injected' }), {
    status,
    headers: { 'Content-Type': 'application/problem+json' },
  });
}

/** A bad line between phones and server: every other request or so meets a fault. */
class BadLine {
  readonly met = new Map<Fault, number>();
  private readonly late: (() => Promise<unknown>)[] = [];
  private readonly random: () => number;
  private readonly real: typeof fetch;

  constructor(random: () => number, real: typeof fetch) {
    this.random = random;
    this.real = real;
  }

  async send(request: Request): Promise<Response> {
    const again = request.clone(); // a request can be sent once
    if (this.late.length > 0 && this.random() < 0.5) await this.late.shift()?.();
    if (this.random() < 0.5) return await this.real(request);
    const fault = faults[Math.floor(this.random() * faults.length)] ?? 'drop';
    this.met.set(fault, (this.met.get(fault) ?? 0) + 1);
    switch (fault) {
      case 'drop':
        throw new TypeError('the line is dead');
      case 'lose_answer':
        await this.real(request);
        throw new TypeError('the answer is lost');
      case 'delay':
        await new Promise((go) => setTimeout(go, 50 * this.random()));
        return await this.real(request);
      case 'duplicate': {
        const [first] = await Promise.all([this.real(request), this.real(again)]);
        return first;
      }
      case 'reorder': // it arrives, but after later ones
        this.late.push(() => this.real(again));
        throw new TypeError('no answer in time');
      case 'cut_answer': {
        const answer = await this.real(request);
        const text = await answer.text();
        return new Response(text.slice(0, Math.floor(text.length * this.random())), { status: answer.status, headers: { 'Content-Type': 'application/json' } });
      }
      case 'portal':
        return new Response('<html>Please accept our terms</html>', { headers: { 'Content-Type': 'text/html' } });
      default:
        return problem(Number(fault));
    }
  }

  /** Everything still on the way arrives. */
  async empty(): Promise<void> {
    for (const arrive of this.late.splice(0)) await arrive();
  }
}

/** Smaller than usual, so that the line has many requests to spoil. */
const small: Size = { ...firstSize, records: 50 };

/** A phone with records to send. It forgets nothing but what the server has confirmed, also when it is started again. */
class Phone {
  private waiting: Waiting[];
  private size: Size = { ...small };

  constructor(waiting: Waiting[]) {
    this.waiting = waiting;
  }

  get left(): number {
    return this.waiting.length;
  }

  async turn(post: (records: OutboxRecord[]) => Promise<{ answers: [] }>, random: () => number): Promise<void> {
    const box: Box = {
      next: (most) => Promise.resolve(this.waiting.filter((one) => one.problem === null).slice(0, most)),
      confirmed: (sent) => {
        if (random() < 0.05) return Promise.resolve(); // the phone dies before it has noted the confirmation
        const gone = new Set(sent.map(({ seq }) => seq));
        this.waiting = this.waiting.filter(({ seq }) => !gone.has(seq));
        return Promise.resolve();
      },
      refused: (record, why) => {
        this.waiting = this.waiting.map((one) => (one.seq === record.seq ? { ...one, problem: why } : one));
        return Promise.resolve();
      },
    };
    const { ended } = await sendTurn(box, post, this.size);
    if (random() < 0.02) this.size = { ...small }; // started again
    // A person sends what was refused once more: every refusal here is the line's, not the server's.
    if (ended === 'empty') this.waiting = this.waiting.map((one) => ({ ...one, problem: null }));
  }
}

afterEach(() => vi.unstubAllGlobals());

test('over a bad line the server ends with exactly the union of what two phones recorded', { timeout: 1_200_000 }, async () => {
  const random = randomFrom(seed);
  const address = inject('address');
  const real = globalThis.fetch;
  const signedIn = await real(`${address}/api/v1/session`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ email: 'grower@demo.example', password: 'cuttings-demo' }),
  });
  const cookie = signedIn.headers.get('Set-Cookie')?.split(';')[0] ?? '';
  const ask = async <T>(path: string): Promise<T> => (await (await real(`${address}/api/v1${path}`, { headers: { Cookie: cookie } })).json()) as T;
  const { person } = (await signedIn.json()) as Session;
  const site = (await ask<{ items: { id: string }[] }>('/sites')).items[0]?.id ?? '';
  const book = await ask<Daybook>(`/daybook?site_id=${site}`);

  // A week ago, so that the daybook that other tests of this demo fetch stays as it was.
  const then = Date.parse(book.now) - 7 * 86_400_000;
  const stood = book.placements.filter(({ from }) => Date.parse(from) < then - 3_600_000);

  // What was tapped: looks, and corrections of one in eight of them.
  const tapped = new Map<string, { body: LookBody; version: number }>();
  const run = uuid7(); // so that a demo tested twice is counted once
  let seq = 0;
  const recordsOf = (n: number): Waiting[] => {
    const made: Waiting[] = [];
    while (made.length < n) {
      const standing = stood[Math.floor(random() * stood.length)];
      const organism = book.organisms[0];
      if (!standing || !organism) throw new Error('the demo has no plants');
      const earlier = random() < 0.125 ? made[Math.floor(random() * made.length)] : undefined;
      const before = earlier && tapped.get(earlier.id);
      const id = earlier?.id ?? uuid7();
      const lookedAt = 1 + Math.floor(random() * 30);
      const body: LookBody = {
        block_id: standing.block_id,
        lot_id: standing.lot_id,
        looked_at: new Date(then - 1_000 * Math.floor(random() * 3_600)).toISOString(),
        observer_id: person.id,
        purpose: 'on_purpose', // kept out of the estimates that other tests of this demo read
        targets: [{ organism_id: organism.id, signs_looked_for: true, tally: { plants_looked_at: lookedAt, infested_plants: Math.floor(random() * lookedAt) } }],
        note: `${run} ${++seq}`,
      };
      tapped.set(id, { body, version: (before?.version ?? 0) + 1 });
      const made_at = new Date().toISOString();
      made.push({
        seq,
        noun: 'looks',
        id,
        if_match: before?.version ?? null,
        body: { ...body },
        made: { at: made_at, person_id: person.id },
        person_id: person.id,
        person_name: person.name,
        site_id: site,
        title: '',
        made_at,
        problem: null,
      });
    }
    return made;
  };
  const phones = [new Phone(recordsOf(records / 2)), new Phone(recordsOf(records / 2))];

  const line = new BadLine(random, real);
  vi.stubGlobal('location', { origin: address });
  vi.stubGlobal('fetch', (request: Request) => {
    request.headers.set('Cookie', cookie);
    return line.send(request);
  });
  const { client, read } = await import('../../src/api');
  const post = (batch: OutboxRecord[]): Promise<{ answers: [] }> => read(client.POST('/outbox', { body: { records: batch, sent_at: new Date().toISOString() } })) as Promise<{ answers: [] }>;

  for (let turns = 0; phones.some(({ left }) => left > 0); turns++) {
    if (turns > records) throw new Error(`it does not end: ${phones.map(({ left }) => left).join(' and ')} left`);
    await Promise.all(phones.filter(({ left }) => left > 0).map((phone) => phone.turn(post, random)));
  }
  await line.empty();
  expect([...line.met.keys()].toSorted()).toEqual([...faults].toSorted());

  const stored = new Map<string, Look>();
  const { week } = await ask<Look>(`/looks/${[...tapped.keys()][0] ?? ''}`);
  for (let after = ''; ; ) {
    const page = await ask<LookList>(`/looks?site_id=${site}&week=${week}&limit=200${after}`);
    for (const look of page.items) stored.set(look.id, look);
    if (page.next === null) break;
    after = `&after=${encodeURIComponent(page.next)}`;
  }
  const ours = [...stored.values()].filter(({ note }) => note?.startsWith(run) === true);
  expect(ours).toHaveLength(tapped.size);
  for (const [id, { body, version }] of tapped) {
    const look = stored.get(id);
    expect({ ...look, looked_at: new Date(look?.looked_at ?? '').toISOString() }, id).toMatchObject({ ...body, version });
  }
});
