import { effect } from '@preact/signals';
import { useState } from 'preact/hooks';

import { fetchOne, reached, save as put, type BodyOf, type Noun, type RecordOf } from '../../api';
import type { OutboxRecord, Problem } from '../../contract.gen';
import { making } from '../../local/making';
import { outbox, putInOutbox } from '../../local/outbox';
import { held, send, toSend } from '../../local/sending';
import { ApiProblem, toProblem } from '../../problem';
import { access, selectedSite } from '../../session';

/** Nouns that go by way of the outbox. */
export type SentNoun = Noun & OutboxRecord['noun'];

/** A save under way, and what the last one was refused for. */
export interface Saving {
  busy: boolean;
  problem: ApiProblem | null;
  /** Runs the save; resolves when it is over, well or not. */
  run: (act: () => Promise<void>) => Promise<void>;
}

export function useSaving(): Saving {
  const [state, setState] = useState<{ busy: boolean; problem: ApiProblem | null }>({ busy: false, problem: null });
  const run = async (act: () => Promise<void>): Promise<void> => {
    setState({ busy: true, problem: null });
    try {
      await act();
      setState({ busy: false, problem: null });
    } catch (thrown) {
      setState({ busy: false, problem: toProblem(thrown) });
    }
  };
  return { ...state, run };
}

/** How long a page waits for the server before it goes on: long enough for a refusal to show where it was typed, where the network is good. */
const patience = 1_500;

/** How long the server is given to say whether something may be done, in ms. */
const askingTime = 5_000;

/**
 * Saves a record: first on this phone, then to the server, which may come much later. Answers
 * the version it has then. `ifMatch` is the version that is corrected, also of one that still
 * waits; null for a new record. `title` is what a person calls it, `begunId` what it was
 * begun as. Throws ApiProblem when the phone is full, and what the server says against it if
 * it says so at once; then the record stays on the phone as refused, and saving again under
 * its id takes its place.
 */
export async function save<N extends SentNoun>(
  noun: N,
  id: string,
  body: BodyOf<N>,
  ifMatch: number | null,
  title: string,
  begunId?: string,
): Promise<number> {
  const if_match = corrected(noun, id, ifMatch);
  const record = making({ noun, id, if_match, body: members(body), site_id: selectedSite.peek()?.id ?? null, title });
  const kept = await putInOutbox([record], begunId);
  if (kept === 'unkept') return await version(saveOwn(noun, id, body, if_match));
  if (kept !== 'kept') throw new ApiProblem({ type: 'about:blank', title: 'The phone is full', status: -1, code: 'phone_full' });
  void send();
  const refused = await word(noun, id);
  if (refused) throw new ApiProblem(refused);
  return (if_match ?? 0) + 1;
}

/**
 * Saves what is asked for rather than reported, say a movement: where the server can be
 * reached and nothing of ours waits it may refuse, with the numbers, and nothing is kept.
 * Else it is a report of what happened, as any other record made with no network.
 */
export async function ask<N extends SentNoun>(noun: N, id: string, body: BodyOf<N>, ifMatch: number | null, title: string): Promise<number> {
  const waits = outbox.peek().some((one) => one.noun === noun && one.id === id);
  if (access.peek() === 'signed-in' && reached.peek() && toSend.peek().length === 0 && !waits) {
    try {
      return await version(saveOwn(noun, id, body, ifMatch, AbortSignal.timeout(askingTime)));
    } catch (thrown) {
      const problem = toProblem(thrown);
      if (!isSilent(problem)) throw problem;
    }
  }
  return await save(noun, id, body, ifMatch, title);
}

/** Whether something of a record is only on this phone. */
export function isWaiting(id: string): boolean {
  return outbox.value.some((one) => one.id === id);
}

/** The server has not said what it thinks of it. */
export function isSilent({ status, code }: ApiProblem): boolean {
  return status <= 0 || status === 401 || status === 408 || status === 429 || status >= 500 || code === 'not_our_server';
}

async function version(stored: Promise<unknown>): Promise<number> {
  return ((await stored) as { version: number }).version;
}

/** A body is a record of members, whatever its noun. */
function members(body: unknown): OutboxRecord['body'] {
  return Object.fromEntries(Object.entries(body as object));
}

/** The version that is corrected. What was refused is replaced, so that what comes now corrects what that did. */
function corrected(noun: SentNoun, id: string, ifMatch: number | null): number | null {
  const refused = outbox.peek().find((one) => one.noun === noun && one.id === id && one.problem !== null);
  return refused ? (refused.if_match ?? null) : ifMatch;
}

/** What the server says against the record that was put into the outbox last; null when nothing, or nothing yet. */
function word(noun: SentNoun, id: string): Promise<Problem | null> {
  const seq = outbox.peek().findLast((one) => one.noun === noun && one.id === id)?.seq;
  return new Promise((resolve) => {
    const end = (problem: Problem | null): void => {
      clearTimeout(timer);
      queueMicrotask(() => stop()); // not before there is one
      resolve(problem);
    };
    const timer = setTimeout(() => end(null), patience);
    const stop = effect(() => {
      const there = outbox.value.find((one) => one.seq === seq);
      const silent = held.value !== null || access.value !== 'signed-in' || !reached.value;
      if (!there || there.problem || silent) end(there?.problem ?? null);
    });
  });
}

/**
 * Saves a record straight to the server. When an earlier try had arrived although its answer
 * was lost, and the content was changed since, the change is saved as a correction of one's
 * own record.
 */
async function saveOwn<N extends Noun>(noun: N, id: string, body: BodyOf<N>, ifMatch: number | null, signal?: AbortSignal): Promise<RecordOf<N>> {
  try {
    return await put(noun, id, body, ifMatch ?? undefined, signal);
  } catch (thrown) {
    if (ifMatch !== null || !toProblem(thrown).isConflict) throw thrown;
    let there: number;
    try {
      there = await version(fetchOne(noun, id));
    } catch {
      throw thrown; // the name or code is taken, not the id
    }
    return await put(noun, id, body, there, signal);
  }
}
