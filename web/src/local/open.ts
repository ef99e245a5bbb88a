import { effect } from '@preact/signals';

import { readBegun } from './begun';
import { takeInOldDrafts } from './old-drafts';
import { outbox, readOutbox } from './outbox';
import { readPictures } from './pictures';
import { keepSending } from './sending';

/** What the browser says of its own storage; nothing over plain http from another machine. */
export function storage(): StorageManager | undefined {
  return (navigator as Partial<Navigator>).storage;
}

/** Asks the browser not to clear what is kept here; it may say no. Asked only once there is something to keep, when browsers are readier to agree. */
function askToKeep(): void {
  const stop = effect(() => {
    if (outbox.value.length === 0) return;
    void storage()?.persist().catch(() => false);
    queueMicrotask(() => stop());
  });
}

/** Reads what is on this phone, before the first page is shown, and from then on sends what waits. */
export async function openPhone(): Promise<void> {
  await Promise.all([readBegun(), readOutbox(), readPictures()]);
  await takeInOldDrafts();
  keepSending();
  askToKeep();
}
