import { computed, signal } from '@preact/signals';

import { client, read } from '../api';
import type { Daybook } from '../contract.gen';
import { session } from '../session';
import { noteDown, recall } from './notebook';

/** What comes with a daybook for one kind of page, say the plans of a walk. */
export interface Along {
  /** Fetches it, while the daybook is on its way. */
  fetched: (site: string, asked: Promise<Daybook>, abort: AbortSignal) => Promise<unknown>;
  /** Takes it from the notebook, with the daybook that was there. */
  recalled: (book: Daybook) => Promise<void>;
}

interface Held {
  site: string;
  person: string;
  book: Daybook;
  /** The device's clock, only to tell the age. */
  fetched: number;
  /** The same for what came along. */
  along: ReadonlyMap<Along, number>;
}

/** A record put into a daybook. */
export type Change = (book: Daybook) => Daybook;

/** For every daybook on its way, what was changed since it was asked for. */
const onTheWay = new Set<Change[]>();

/** How long a daybook is good enough to work on without asking again. */
const freshFor = 60_000;

/** How long a page waits for what comes along once the daybook is there: nothing should move while one taps. */
const patience = 1_500;

const held = signal<Held | null>(null);

function heldFor(site: string): Held | null {
  const now = held.value;
  return now?.site === site && now.person === session.value?.person.id ? now : null;
}

/** The daybook held at the moment, as the server gave it; of whichever site. */
export const heldDaybook = computed<Daybook | null>(() => held.value && (heldFor(held.value.site)?.book ?? null));

/** Has the daybook fetched anew by who asks next. */
export function outdate(): void {
  if (held.value) held.value = { ...held.value, fetched: 0, along: new Map() };
}

const noteKey = (person: string, site: string): string => `daybook ${person} ${site}`;

function isDaybook(value: unknown): value is Daybook {
  return typeof value === 'object' && value !== null && 'site' in value && 'blocks' in value && 'looks' in value;
}

/**
 * Takes the daybook from the phone's notebook, where none is held yet: enough for a day with no network.
 * Once aborted it changes nothing: the page may be about another site by then.
 */
export async function recallDaybook(site: string, abort?: AbortSignal, along?: Along): Promise<void> {
  if (abort?.aborted) return;
  const person = session.peek()?.person.id ?? '';
  const before = heldFor(site);
  if (before && (!along || before.along.has(along))) return;
  const book = before?.book ?? (await recall(noteKey(person, site), isDaybook));
  if (!book || session.peek()?.person.id !== person) return;
  if (along) await along.recalled(book);
  if (abort?.aborted) return;
  const now = heldFor(site);
  const recalled = new Map([...(now?.along ?? []), ...(along && !now?.along.has(along) ? [[along, 0] as const] : [])]);
  held.value = { ...(now ?? { site, person, book, fetched: 0 }), along: recalled };
}

const wait = (ms: number): Promise<void> => new Promise((go) => setTimeout(go, ms));

/** Fetches the daybook of a site and what comes along, unless there is one that is good enough; once aborted it changes nothing. */
export async function loadDaybook(site: string, abort: AbortSignal, along?: Along): Promise<void> {
  const before = heldFor(site);
  const at = along ? before?.along.get(along) : before?.fetched;
  if (at !== undefined && Date.now() - at < freshFor) return;
  const meanwhile: Change[] = [];
  onTheWay.add(meanwhile);
  const asked = read(client.GET('/daybook', { params: { query: { site_id: site } }, signal: abort }));
  const came = along?.fetched(site, asked, abort);
  try {
    // A slow network is no reason to wait for what the phone has already.
    const slow = wait(patience).then(() => recallDaybook(site, abort, along));
    const book = await asked.catch(async (thrown: unknown) => {
      await recallDaybook(site, abort, along);
      throw thrown;
    });
    void slow;
    await Promise.race([came, wait(patience)]);
    if (abort.aborted) return;
    const fetched = Date.now();
    held.value = {
      site,
      person: session.peek()?.person.id ?? '',
      book: meanwhile.reduce((all, change) => change(all), book),
      fetched,
      along: new Map([...(heldFor(site)?.along ?? []), ...(along ? [[along, fetched] as const] : [])]),
    };
    await noteDown(noteKey(held.peek()?.person ?? '', site), held.peek()?.book);
  } finally {
    onTheWay.delete(meanwhile);
  }
}

/** Changes the daybook of a site where it is held, and those on their way. */
export function changeDaybook(site: string, change: Change): void {
  for (const meanwhile of onTheWay) meanwhile.push(change);
  const now = held.peek();
  if (now?.site !== site) return;
  held.value = { ...now, book: change(now.book) };
  void noteDown(noteKey(now.person, now.site), held.peek()?.book);
}
