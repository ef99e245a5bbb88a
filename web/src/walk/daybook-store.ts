import { computed } from '@preact/signals';
import { useMemo } from 'preact/hooks';

import { fetchOne } from '../api';
import type { Daybook, Look } from '../contract.gen';
import { changeDaybook, heldDaybook, loadDaybook as load, outdate, type Along } from '../local/daybook';
import { waitingOf } from '../local/outbox';
import { onConfirmed } from '../local/sending';
import { useLoad, type Load } from '../parts';
import { session } from '../session';
import { withLook, withWaiting } from './book-view';
import { localLook } from './local-look';
import { fetchPlans, planAgain, recallPlans } from './plan-store';
import { withoutMade } from './second-look';

/** The plans come with the daybook. */
const plans: Along = { fetched: fetchPlans, recalled: recallPlans };

/** What a page reads: the daybook as the server gave it, with what waits on this phone. */
const seen = computed<Daybook | null>(() => {
  const book = heldDaybook.value;
  const who = session.value?.person;
  return book && who ? withWaiting(book, waitingOf(who.id), who) : book;
});

/** Fetches the daybook of a site and its plans, unless there is one that is good enough; once aborted it changes nothing. */
export async function loadDaybook(site: string, abort: AbortSignal): Promise<void> {
  await load(site, abort, plans);
}

/**
 * The daybook of a site, with what waits on this phone. Fetched when there is none or it is
 * old; every page of the walk works on the same one, and what was fetched stays when the
 * network goes, also over a restart of the phone.
 */
export function useDaybook(site: string): Load<Daybook> {
  const loading = useLoad((abort) => loadDaybook(site, abort), [site]);
  const book = heldDaybook.value?.site.id === site ? (seen.value ?? undefined) : undefined;
  return useMemo(
    () => ({
      data: book,
      problem: loading.problem,
      loading: loading.loading,
      reload: () => {
        outdate();
        loading.reload();
      },
    }),
    [book, loading.problem, loading.loading],
  );
}

/** The daybook of a site as it is held at the moment, with what waits on this phone. */
export function heldBook(site: string): Daybook | null {
  return heldDaybook.peek()?.site.id === site ? seen.peek() : null;
}

/** Puts a look the server has just answered with into the daybook, and has its house planned again. */
export function takeIn(look: Look): void {
  changeDaybook(look.site_id, (book) => withLook(book, look));
  if (heldDaybook.peek()?.site.id === look.site_id) void planAgain(() => heldBook(look.site_id), look.house_id);
}

/** A look of this week as the daybook has it, or as it waits on this phone. */
export function heldLook(id: string): Look | undefined {
  return seen.value?.looks.find((look) => look.id === id);
}

/** More looks than these that were sent at once are fetched with the daybook, in one answer. */
const fewLooks = 3;

// What the server has confirmed stays in view as the phone knew it, until the server's own reading of it is here.
onConfirmed((records) => {
  const site = heldDaybook.peek()?.site.id;
  const who = session.peek()?.person;
  if (site === undefined || !who) return;
  if (records.some(({ noun }) => noun === 'inspections')) {
    changeDaybook(site, (book) => withoutMade(book, records));
    outdate(); // what else an inspection changes only the server knows
  }
  const looks = records.filter(({ noun, site_id }) => noun === 'looks' && site_id === site);
  if (looks.length === 0) return;
  changeDaybook(site, (before) =>
    looks.reduce((book, one) => {
      const look = localLook(one, book, who);
      return look ? withLook(book, look) : book;
    }, before),
  );
  void fetchSent(site, [...new Set(looks.map(({ id }) => id))]);
});

async function fetchSent(site: string, ids: readonly string[]): Promise<void> {
  try {
    if (ids.length <= fewLooks) {
      for (const look of await Promise.all(ids.map((id) => fetchOne('looks', id)))) takeIn(look);
      return;
    }
    if (heldDaybook.peek()?.site.id === site) outdate();
    await loadDaybook(site, new AbortController().signal);
  } catch {
    // the next daybook has them
  }
}
