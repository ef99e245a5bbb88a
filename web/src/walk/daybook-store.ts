import { signal } from '@preact/signals';
import { useMemo } from 'preact/hooks';

import { client, read } from '../api';
import type { Daybook, Look } from '../contract.gen';
import { useLoad, type Load } from '../parts';
import { session } from '../session';
import { fetchPlans, planAgain } from './plan-store';

interface Held {
  site: string;
  person: string;
  book: Daybook;
  /** The device's clock, only to tell the age. */
  fetched: number;
}

/** For every daybook on its way, the looks taken in since it was asked for. */
const onTheWay = new Set<Look[]>();

/** How long a daybook is good enough to walk on without asking again. */
const freshFor = 60_000;

/** How long the list waits for the plan once the daybook is there: nothing should move while one taps. */
const patience = 1_500;

const held = signal<Held | null>(null);

function heldFor(site: string): Held | null {
  const now = held.value;
  return now?.site === site && now.person === session.value?.person.id ? now : null;
}

/** The daybook with a look that the server answered with, unless it has a newer version of it. */
function withLook(book: Daybook, look: Look): Daybook {
  const before = book.looks.find(({ id }) => id === look.id);
  if (look.site_id !== book.site.id || (before && before.version > look.version)) return book;
  const others = book.looks.filter(({ id }) => id !== look.id);
  return { ...book, looks: look.week === book.week ? [...others, look] : others };
}

/** Fetches the daybook of a site and its plans, unless there is one that is good enough; once aborted it changes nothing. */
export async function loadDaybook(site: string, abort: AbortSignal): Promise<void> {
  const before = heldFor(site);
  if (before && Date.now() - before.fetched < freshFor) return;
  const meanwhile: Look[] = [];
  onTheWay.add(meanwhile);
  try {
    const asked = read(client.GET('/daybook', { params: { query: { site_id: site } }, signal: abort }));
    const planned = fetchPlans(site, asked, abort);
    const book = await asked;
    await Promise.race([planned, new Promise((go) => setTimeout(go, patience))]);
    if (abort.aborted) return;
    held.value = { site, person: session.peek()?.person.id ?? '', book: meanwhile.reduce(withLook, book), fetched: Date.now() };
  } finally {
    onTheWay.delete(meanwhile);
  }
}

/**
 * The daybook of a site. Fetched when there is none or it is old; every page of the
 * walk works on the same one, and what was fetched stays when the network goes.
 */
export function useDaybook(site: string): Load<Daybook> {
  const load = useLoad((abort) => loadDaybook(site, abort), [site]);
  const book = heldFor(site)?.book;
  return useMemo(
    () => ({
      data: book,
      problem: load.problem,
      loading: load.loading,
      reload: () => {
        if (held.value) held.value = { ...held.value, fetched: 0 };
        load.reload();
      },
    }),
    [book, load.problem, load.loading],
  );
}

/** The daybook of a site as it is held at the moment. */
export function heldBook(site: string): Daybook | null {
  const now = held.peek();
  return now?.site === site ? now.book : null;
}

/** Puts a look the server has just answered with into the daybook, and has its house planned again. */
export function takeIn(look: Look): void {
  for (const meanwhile of onTheWay) meanwhile.push(look);
  const now = held.peek();
  if (now?.site !== look.site_id) return;
  held.value = { ...now, book: withLook(now.book, look) };
  void planAgain(() => heldBook(look.site_id), look.house_id);
}

/** A look of this week as the daybook has it. */
export function heldLook(id: string): Look | undefined {
  return held.peek()?.book.looks.find((look) => look.id === id);
}
