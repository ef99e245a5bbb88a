import { signal } from '@preact/signals';

import type { OutboxRecord, Problem } from '../contract.gen';
import { forgetInView } from './begun';
import { phone, write, type Kept, type Waiting } from './db';
import { onOtherTab, tellTabs } from './tabs';

/** All records that are only on this phone, in the order they were made. */
export const outbox = signal<readonly Waiting[]>([]);

/** A record to be put into the outbox. */
export type Making = Omit<Waiting, 'seq' | 'problem'>;

/** Reads from disk what waits. */
export async function readOutbox(): Promise<void> {
  try {
    outbox.value = await (await phone()).getAll('outbox');
  } catch {
    // This browser keeps nothing: records are sent at once or not at all.
  }
}

onOtherTab('outbox', () => void readOutbox());

/** Takes out of view what another tab sent, should it not have been able to say so. Cheap when nothing did: thousands may wait. */
export async function catchUp(): Promise<void> {
  try {
    const there = await (await phone()).getAllKeys('outbox');
    const held = outbox.peek();
    if (there.length !== held.length || there.some((seq, i) => seq !== held[i]?.seq)) await readOutbox();
  } catch {
    // as above
  }
}

/** The records of a person that wait, refused ones among them. */
export function waitingOf(personId: string | undefined): Waiting[] {
  return outbox.value.filter(({ person_id }) => person_id === personId);
}

/** The record as it is sent. */
export function recordOf({ noun, id, if_match, body, made }: Waiting): OutboxRecord {
  return { noun, id, body, ...(if_match !== undefined && { if_match }), ...(made !== undefined && { made }) };
}

/**
 * Puts records into the outbox. In the same transaction what they came from leaves the store of
 * things begun (`begunId`), and refused records under the same ids, which these stand in for.
 */
export async function putInOutbox(makings: readonly Making[], begunId?: string): Promise<Kept> {
  const replaced = outbox.peek().filter((one) => one.problem !== null && makings.some(({ noun, id }) => noun === one.noun && id === one.id));
  const added: Waiting[] = [];
  const result = await write(['begun', 'outbox'], async (writing) => {
    for (const making of makings) {
      // The database makes the number; a value without one is what it asks for.
      const seq = await writing.objectStore('outbox').add({ ...making, problem: null } as Waiting);
      added.push({ ...making, problem: null, seq });
    }
    for (const { seq } of replaced) await writing.objectStore('outbox').delete(seq);
    if (begunId !== undefined) await writing.objectStore('begun').delete(begunId);
    return 'kept';
  });
  if (result !== 'kept') return result;
  outbox.value = [...outbox.peek().filter((one) => !replaced.includes(one)), ...added];
  if (begunId !== undefined) {
    forgetInView(begunId);
    tellTabs('begun');
  }
  tellTabs('outbox');
  return result;
}

/** Takes records out: the server has them, or a person let them go. */
export async function takeOut(seqs: readonly number[]): Promise<Kept> {
  return await change(async (store) => {
    for (const seq of seqs) await store.delete(seq);
  }, (all) => all.filter(({ seq }) => !seqs.includes(seq)));
}

/** Puts records back as they were, after they were let go. */
export async function putBack(records: readonly Waiting[]): Promise<Kept> {
  return await change(
    async (store) => {
      for (const one of records) await store.put(one);
    },
    (all) => [...all, ...records].toSorted((a, b) => a.seq - b.seq),
  );
}

/** Marks a record with the server's reason for refusing it; null sends it again. */
export async function mark(seq: number, problem: Problem | null): Promise<Kept> {
  return await rewrite(seq, (one) => ({ ...one, problem }));
}

/** Has refused records sent again that name one of these: they may have been refused only because it was not there yet. */
export async function tryAgainAfter(ids: readonly string[]): Promise<void> {
  for (const { seq, id, body, problem } of outbox.peek()) {
    if (problem === null || ids.includes(id)) continue;
    const named = JSON.stringify(body);
    if (ids.some((one) => named.includes(one))) await mark(seq, null);
  }
}

/** Changes a record that is still here, as after mending it. */
export async function rewrite(seq: number, change_: (one: Waiting) => Waiting): Promise<Kept> {
  let changed: Waiting | undefined;
  return await change(
    async (store) => {
      const there = await store.get(seq);
      if (!there) return;
      changed = change_(there);
      await store.put(changed);
    },
    (all) => all.map((one) => (one.seq === seq && changed ? changed : one)),
  );
}

interface OutboxStore {
  get: (seq: number) => Promise<Waiting | undefined>;
  put: (one: Waiting) => Promise<number>;
  delete: (seq: number) => Promise<void>;
}

async function change(act: (store: OutboxStore) => Promise<void>, view: (all: readonly Waiting[]) => readonly Waiting[]): Promise<Kept> {
  const result = await write(['outbox'], async (writing) => {
    await act(writing.objectStore('outbox'));
    return 'kept';
  });
  if (result !== 'kept') return result;
  outbox.value = view(outbox.peek());
  tellTabs('outbox');
  return result;
}
