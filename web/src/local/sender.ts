import type { OutboxAnswer, OutboxAnswers, OutboxRecord, Problem } from '../contract.gen';
import { ApiProblem, toProblem } from '../problem';
import type { Waiting } from './db';
import { recordOf } from './outbox';

/** Where the sender takes records from and says what became of them. */
export interface Box {
  /** The records to be sent, in order, at most so many. */
  next: (most: number) => Promise<Waiting[]>;
  /** The server has these. Only now may they leave the phone. */
  confirmed: (records: readonly Waiting[]) => Promise<void>;
  /** The server refused this one. It stays, with the reason. */
  refused: (record: Waiting, problem: Problem) => Promise<void>;
}

/** Posts a batch. Throws ApiProblem. */
export type Post = (records: OutboxRecord[]) => Promise<OutboxAnswers>;

/** How a turn of sending ended. */
export type Turn =
  | { ended: 'empty' } // nothing is left to send
  | { ended: 'going_on' } // something was settled; there may be more
  | { ended: 'later'; problem: ApiProblem } // no answer, or one that says: not now
  | { ended: 'signed_out' };

/** How much goes into a batch. */
export interface Size {
  records: number;
  bytes: number;
  /** Batches of this size that got through in a row. */
  passed: number;
}

/** What a sender starts with; the server takes 500 records and 8 MB. */
export const firstSize: Readonly<Size> = { records: 200, bytes: 1_000_000, passed: 0 };

/** A batch was too large for something on the way: the next ones are half as large, until many have passed. */
const enough = 20;

function passed(size: Size): void {
  size.passed += 1;
  if (size.passed < enough || size.records >= firstSize.records) return;
  size.records = Math.min(firstSize.records, size.records * 2);
  size.passed = 0;
}

const notNow = (status: number): boolean => status <= 0 || status === 408 || status === 425 || status === 429 || status >= 500;

/** The first of the records that go into one batch; always at least one. */
function batchOf(records: readonly Waiting[], { bytes }: Size): Waiting[] {
  let sum = 0;
  const batch: Waiting[] = [];
  for (const record of records) {
    sum += JSON.stringify(recordOf(record)).length;
    if (batch.length > 0 && sum > bytes) break;
    batch.push(record);
  }
  return batch;
}

/** Each record with its own answer: by id, and in order where an id comes twice. Records not named have none. */
function matched(batch: readonly Waiting[], answers: readonly OutboxAnswer[]): [Waiting, OutboxAnswer][] {
  const left = [...answers];
  return batch.flatMap((record): [Waiting, OutboxAnswer][] => {
    const at = left.findIndex(({ id }) => id === record.id);
    const [answer] = at < 0 ? [] : left.splice(at, 1);
    return answer ? [[record, answer]] : [];
  });
}

function problemOf({ status, problem }: OutboxAnswer): Problem {
  return problem ?? { type: 'about:blank', title: 'Refused', status, code: 'refused' };
}

/** Sends one batch and settles what the server says of it. Nothing is deleted that the server has not named as stored. */
export async function sendTurn(box: Box, post: Post, size: Size): Promise<Turn> {
  const batch = batchOf(await box.next(size.records), size);
  if (batch.length === 0) return { ended: 'empty' };
  let answers: readonly OutboxAnswer[];
  try {
    ({ answers } = await post(batch.map(recordOf)));
    if (!Array.isArray(answers)) throw new TypeError('no answers');
    passed(size);
  } catch (thrown) {
    return await failed(box, batch, size, toProblem(thrown));
  }
  const settled = matched(batch, answers);
  const stored = settled.filter(([, { status }]) => status >= 200 && status < 300).map(([record]) => record);
  if (stored.length > 0) await box.confirmed(stored);
  const anothers = settled.some(([, { problem }]) => problem?.code === 'other_person');
  const refused = settled.filter(([, { status, problem }]) => status >= 400 && !notNow(status) && status !== 401 && problem?.code !== 'other_person');
  for (const [record, answer] of refused) await box.refused(record, problemOf(answer));
  if (anothers) return { ended: 'signed_out' };
  if (stored.length + refused.length > 0) return { ended: 'going_on' };
  const [first] = settled;
  return { ended: 'later', problem: new ApiProblem(first ? problemOf(first[1]) : { type: 'about:blank', title: 'No answer', status: 0, code: 'network' }) };
}

async function failed(box: Box, batch: readonly Waiting[], size: Size, problem: ApiProblem): Promise<Turn> {
  const { status } = problem;
  if (status === 401) return { ended: 'signed_out' };
  // `not_our_server`: something between answered, whatever its number; `unexpected`: an answer that broke off.
  if (notNow(status) || problem.code === 'not_our_server') return { ended: 'later', problem };
  const [only, ...more] = batch;
  if (only !== undefined && more.length === 0) {
    await box.refused(only, problem.problem);
    return { ended: 'going_on' };
  }
  // Too large, or one of them spoils the batch: half as many, down to the one.
  size.records = Math.ceil(batch.length / 2);
  size.passed = 0;
  return { ended: 'going_on' };
}

/** How long to wait after so many failures in a row, in ms: doubling from 2 s to 2 min, up to a third less at random. */
export function pause(failures: number, random: number): number {
  const whole = Math.min(120_000, 2_000 * 2 ** Math.max(0, failures - 1));
  return Math.round(whole * (1 - random / 3));
}
