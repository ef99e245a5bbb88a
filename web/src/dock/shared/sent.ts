import { signal } from '@preact/signals';

import type { Daybook } from '../../contract.gen';
import type { Waiting } from '../../local/db';
import { changeDaybook, heldDaybook } from '../../local/daybook';
import { waitingOf } from '../../local/outbox';
import { onConfirmed } from '../../local/sending';
import { session } from '../../session';
import { arrivalsOfBook, type Arrivals } from './arrivals';
import { withWaiting, type Around } from './overlay';
import { zoneOf } from './site';

/**
 * Records that were sent since the pages were opened. What a page fetched before does not have
 * them yet; an overlay of them shows nothing that the server's own answer has already.
 */
export const sent = signal<readonly Waiting[]>([]);

/** More are not kept: by then every page has fetched anew. */
const mostSent = 300;

function around(book: Daybook | null): Around {
  const { id = '', name = '' } = session.value?.person ?? {};
  return { who: { id, name }, thresholds: book?.thresholds ?? [], zoneOf };
}

/** What was sent since pages were opened and what waits on this phone, without what was refused. */
export function notRefused(): Waiting[] {
  return [...sent.value, ...waitingOf(session.value?.person.id).filter(({ problem }) => problem === null)];
}

/** What was sent since pages were opened and what waits on this phone, also what was refused: whoever made it goes on from it. */
export function seen(): Waiting[] {
  return [...sent.value, ...waitingOf(session.value?.person.id)];
}

/** Arrivals with what waits on this phone, and with what was sent since they were fetched. */
export function seenAs(arrivals: Arrivals, book: Daybook | null = heldDaybook.value): Arrivals {
  return withWaiting(arrivals, seen(), around(book));
}

/** The daybook with records that the server has, until it is fetched anew. */
function withSent(book: Daybook, records: readonly Waiting[]): Daybook {
  const now = withWaiting(arrivalsOfBook(book), records, around(book));
  return {
    ...book,
    shipments: [...now.shipments],
    lots: [...now.lots],
    inspections: [...now.inspections],
    verdicts: [...now.verdicts],
    customers: [...now.customers],
    suppliers: [...now.names.suppliers],
    farms: [...now.names.farms],
  };
}

onConfirmed((records) => {
  const ofDock = records.filter(({ noun }) => noun !== 'looks');
  if (ofDock.length === 0) return;
  sent.value = [...sent.value, ...ofDock].slice(-mostSent);
  const site = heldDaybook.peek()?.site.id;
  const here = ofDock.filter(({ site_id }) => site_id === site);
  if (site !== undefined && here.length > 0) changeDaybook(site, (book) => withSent(book, here));
});
