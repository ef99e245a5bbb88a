import { describe, expect, it } from 'vitest';

import type { OutboxAnswers, OutboxRecord, Problem } from '../../src/contract.gen';
import type { Waiting } from '../../src/local/db';
import { firstSize, pause, sendTurn, type Box, type Post } from '../../src/local/sender';
import { ApiProblem, foreignProblem, networkProblem } from '../../src/problem';

const problem = (status: number, code = 'injected'): Problem => ({ type: 'about:blank', title: 'Injected', status, code });

function waiting(n: number): Waiting[] {
  return Array.from({ length: n }, (_, i) => ({
    seq: i + 1,
    noun: 'looks',
    id: `look-${i + 1}`,
    body: { note: `look ${i + 1}` },
    person_id: 'p',
    person_name: 'P',
    site_id: 's',
    title: '',
    made_at: '2026-09-14T07:00:00Z',
    problem: null,
  }));
}

/** A box in memory, and what became of its records. */
function boxOf(all: Waiting[]) {
  let left = all;
  const box: Box = {
    next: (most) => Promise.resolve(left.filter((one) => one.problem === null).slice(0, most)),
    confirmed: (records) => {
      left = left.filter((one) => !records.includes(one));
      return Promise.resolve();
    },
    refused: (record, why) => {
      left = left.map((one) => (one === record ? { ...one, problem: why } : one));
      return Promise.resolve();
    },
  };
  return { box, left: () => left };
}

const stored = (records: OutboxRecord[]): OutboxAnswers => ({ answers: records.map(({ id }) => ({ id, status: 201, version: 1 })) });

async function untilQuiet(box: Box, post: Post, size = { ...firstSize }): Promise<string> {
  for (;;) {
    const { ended } = await sendTurn(box, post, size);
    if (ended !== 'going_on') return ended;
  }
}

describe('a turn of sending', () => {
  it('sends in order, in batches, until nothing is left', async () => {
    const sent: string[][] = [];
    const { box, left } = boxOf(waiting(450));
    expect(await untilQuiet(box, (records) => (sent.push(records.map(({ id }) => id)), Promise.resolve(stored(records))))).toBe('empty');
    expect(sent.map((batch) => batch.length)).toEqual([200, 200, 50]);
    expect(sent.flat()).toEqual(waiting(450).map(({ id }) => id));
    expect(left()).toEqual([]);
  });

  it('lets only those go that the server named as stored', async () => {
    const { box, left } = boxOf(waiting(3));
    const turn = await sendTurn(box, (records) => Promise.resolve(stored(records.slice(0, 1))), { ...firstSize });
    expect(turn.ended).toBe('going_on');
    expect(left().map(({ id }) => id)).toEqual(['look-2', 'look-3']);
  });

  it('lets none go on an answer that says nothing of them', async () => {
    for (const answer of [{ answers: [] }, { answers: [{ id: 'another', status: 201 }] }, {}, { answers: 'yes' }]) {
      const { box, left } = boxOf(waiting(2));
      const turn = await sendTurn(box, () => Promise.resolve(answer as OutboxAnswers), { ...firstSize });
      expect(turn.ended).toBe('later');
      expect(left()).toHaveLength(2);
    }
  });

  it('keeps a refused record with its reason and goes on with the others', async () => {
    const { box, left } = boxOf(waiting(3));
    const post: Post = (records) =>
      Promise.resolve({ answers: records.map(({ id }) => (id === 'look-2' ? { id, status: 422, problem: problem(422, 'invalid') } : { id, status: 201 })) });
    expect(await untilQuiet(box, post)).toBe('empty');
    expect(left()).toMatchObject([{ id: 'look-2', problem: { code: 'invalid' } }]);
  });

  it('keeps a record that failed at the server for later, without a reason to mend', async () => {
    const { box, left } = boxOf(waiting(2));
    const post: Post = (records) => Promise.resolve({ answers: records.map(({ id }) => ({ id, status: 500, problem: problem(500) })) });
    expect(await untilQuiet(box, post)).toBe('later');
    expect(left().every((one) => one.problem === null)).toBe(true);
  });

  it('halves a batch that is too large, down to the record that is', async () => {
    const { box, left } = boxOf(waiting(40));
    const tried: number[] = [];
    const post: Post = (records) => {
      tried.push(records.length);
      if (records.some(({ id }) => id === 'look-7')) throw new ApiProblem(problem(413, 'too_large'));
      return Promise.resolve(stored(records));
    };
    expect(await untilQuiet(box, post)).toBe('empty');
    expect(left()).toMatchObject([{ id: 'look-7', problem: { status: 413 } }]);
    expect(tried.slice(0, 3)).toEqual([40, 20, 10]);
  });

  it('waits on no answer, on one of the server that says not now, and on one that is not its own', async () => {
    for (const thrown of [networkProblem(), new ApiProblem(problem(503)), new ApiProblem(problem(429)), foreignProblem(200), new SyntaxError('cut off')]) {
      const { box, left } = boxOf(waiting(2));
      expect(await untilQuiet(box, () => Promise.reject(thrown))).toBe('later');
      expect(left()).toEqual(waiting(2));
    }
  });

  it('stops and asks when the sign-in has run out, or is of another person by now', async () => {
    const { box, left } = boxOf(waiting(2));
    expect(await untilQuiet(box, () => Promise.reject(new ApiProblem(problem(401))))).toBe('signed_out');
    const others: Post = (records) => Promise.resolve({ answers: records.map(({ id }) => ({ id, status: 403, problem: problem(403, 'other_person') })) });
    expect(await untilQuiet(box, others)).toBe('signed_out');
    expect(left()).toEqual(waiting(2));
  });

  it('takes the answers to one id in the order of its records', async () => {
    const [first, second] = waiting(2);
    if (!first || !second) throw new Error('none');
    const { box, left } = boxOf([first, { ...second, id: first.id, if_match: 1 }]);
    const post: Post = ([one]) => Promise.resolve({ answers: [{ id: one?.id ?? '', status: 201 }, { id: one?.id ?? '', status: 412, problem: problem(412, 'stale') }] });
    await untilQuiet(box, post);
    expect(left()).toMatchObject([{ seq: 2, problem: { code: 'stale' } }]);
  });
});

describe('the pause after failures', () => {
  it('doubles from 2 s to 2 min, less up to a third', () => {
    expect([1, 2, 3, 6, 7, 50].map((n) => pause(n, 0))).toEqual([2_000, 4_000, 8_000, 64_000, 120_000, 120_000]);
    expect(pause(1, 0.999)).toBeGreaterThan(1_330);
  });
});
