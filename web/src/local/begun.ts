import { signal } from '@preact/signals';

import { phone, write, written, type Begun, type Kept } from './db';
import { onOtherTab, tellTabs } from './tabs';

/** All that is begun on this phone and not finished, as it is on disk. */
const onPhone = signal<ReadonlyMap<string, Begun>>(new Map());

/** What could not be written down, as on a full phone: it lasts as long as the page. */
const inMemory = new Map<string, Begun>();

/** Reads from disk what is begun. */
export async function readBegun(): Promise<void> {
  try {
    const all = await (await phone()).getAll('begun');
    onPhone.value = new Map(all.map((one) => [one.id, one]));
  } catch {
    // This browser keeps nothing: what is begun lasts as long as the page.
  }
}

onOtherTab('begun', () => void readBegun());

/** What is begun under an id. */
export function begunOf(id: string): Begun | undefined {
  return inMemory.get(id) ?? onPhone.value.get(id);
}

/** What a person has begun of a kind, the newest first (ids grow with time). */
export function begunBy(personId: string, kind: string): Begun[] {
  const all = new Map([...onPhone.value, ...inMemory]);
  return [...all.values()].filter((one) => one.person_id === personId && one.kind === kind).toSorted((a, b) => (a.id < b.id ? 1 : -1));
}

/** How many things are begun and not finished: by one person, or by others than one. */
export function begunCount(by: { person: string } | { othersThan: string | undefined }): number {
  const all = new Map([...onPhone.value, ...inMemory]);
  return [...all.values()].filter(({ person_id }) => ('person' in by ? person_id === by.person : person_id !== by.othersThan)).length;
}

function put(next: Begun): void {
  onPhone.value = new Map(onPhone.peek()).set(next.id, next);
}

/**
 * Writes down something begun; it is shown only once it is on disk. 'elsewhere': another tab
 * went on with it since (`step` is the last one this tab knows; null where it is new here).
 */
export async function keepBegun(next: Omit<Begun, 'step'>, step: number | null): Promise<Kept> {
  const kept = { ...next, step: (step ?? 0) + 1 };
  const result = await write(['begun'], async (writing) => {
    const store = writing.objectStore('begun');
    const there = await store.get(next.id);
    if ((there?.step ?? null) !== step && there !== undefined) return 'elsewhere';
    if (there === undefined && step !== null && !inMemory.has(next.id)) return 'elsewhere'; // finished or let go in another tab
    store.put(kept).catch(() => undefined); // how the transaction ends says it, one way round the disk sooner
    return 'kept';
  });
  if (result === 'kept') {
    inMemory.delete(next.id);
    put(kept);
    tellTabs('begun');
  }
  return result;
}

/** Holds something begun in memory only, where the phone does not keep it. */
export function holdBegun(next: Omit<Begun, 'step'>): void {
  inMemory.set(next.id, { ...next, step: 0 });
}

/** Resolves once all that was begun is on disk; rejects where something is only in memory and a reload would lose it. */
export async function allKept(): Promise<void> {
  await written();
  if (inMemory.size > 0) throw new Error('something is only in memory');
}

/** Forgets something begun: it is finished, or a person let it go. */
export async function forgetBegun(id: string): Promise<Kept> {
  inMemory.delete(id);
  forgetInView(id);
  const result = await write(['begun'], async (writing) => {
    await writing.objectStore('begun').delete(id);
    return 'kept';
  });
  tellTabs('begun');
  return result;
}

/** Takes it out of view, after another write took it off the disk. */
export function forgetInView(id: string): void {
  inMemory.delete(id);
  if (!onPhone.peek().has(id)) return;
  const others = new Map(onPhone.peek());
  others.delete(id);
  onPhone.value = others;
}
