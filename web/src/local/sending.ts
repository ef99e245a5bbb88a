import { computed, effect, signal } from '@preact/signals';

import { client, reached, read } from '../api';
import type { ApiProblem } from '../problem';
import { access, session, start } from '../session';
import { phoneClock } from './clock';
import type { Waiting } from './db';
import { catchUp, mark, takeOut, tryAgainAfter, waitingOf } from './outbox';
import { pictures } from './pictures';
import { firstSize, pause, sendTurn, type Box, type Size } from './sender';
import { picturesToSend, sendPictures } from './sending-pictures';

/** What keeps records from being sent; null while nothing does. */
export const held = signal<ApiProblem | null>(null);

/** Records are on their way. */
export const sending = signal(false);

/** How many records and photos of the person signed in are only on this phone, refused ones left out. */
export const waits = computed(() => {
  const person = session.value?.person.id;
  return toSend.value.length + pictures.value.filter(({ person_id, problem }) => person_id === person && problem === null).length;
});

/** The records of the person signed in that are to be sent. */
export const toSend = computed(() => waitingOf(session.value?.person.id).filter(({ problem }) => problem === null));

/** The photos that the server refused. */
export const refusedPictures = computed(() => pictures.value.filter(({ person_id, problem }) => person_id === session.value?.person.id && problem !== null));

/** Those that the server refused. */
export const refused = computed(() => waitingOf(session.value?.person.id).filter(({ problem }) => problem !== null));

type Settled = (records: readonly Waiting[]) => void;
const afterwards = new Set<Settled>();

/** Acts on records that the server has confirmed, before they leave the outbox. */
export function onConfirmed(act: Settled): void {
  afterwards.add(act);
}

const boxOf = (personId: string): Box => ({
  next: (most) => Promise.resolve(waitingOf(personId).filter(({ problem }) => problem === null).slice(0, most)),
  confirmed: async (records) => {
    for (const act of afterwards) act(records);
    await takeOut(records.map(({ seq }) => seq));
    await tryAgainAfter(records.map(({ id }) => id));
  },
  refused: async ({ seq }, problem) => {
    await mark(seq, problem);
  },
});

const size: Size = { ...firstSize };
let failures = 0;
let timer: ReturnType<typeof setTimeout> | undefined;
let underWay: Promise<void> | null = null;
/** How often sending was asked for. */
let asked = 0;

async function sendAll(personId: string): Promise<void> {
  await catchUp(); // another tab may have sent some
  const box = boxOf(personId);
  for (;;) {
    // Only under the session of the person who made them.
    if (access.peek() !== 'signed-in' || session.peek()?.person.id !== personId) return;
    const turn = await sendTurn(box, (records) => read(client.POST('/outbox', { body: { records, sent_at: phoneClock() } })), size);
    if (turn.ended === 'going_on') {
      failures = 0;
      continue;
    }
    let late = turn.ended === 'later' ? turn.problem : null;
    if (turn.ended === 'empty') late = await sendPictures(personId, () => access.peek() === 'signed-in' && session.peek()?.person.id === personId);
    held.value = late;
    if (turn.ended === 'signed_out' && access.peek() === 'signed-in') void start(); // somebody else signed in meanwhile
    if (late === null) {
      failures = 0;
      return;
    }
    failures += 1;
    clearTimeout(timer);
    timer = setTimeout(() => void send(), pause(failures, Math.random()));
    return;
  }
}

/** One tab at a time: two would send everything twice, which is harmless but slow. */
async function alone(act: () => Promise<void>): Promise<void> {
  const locks = (navigator as Partial<Navigator>).locks; // not over plain http from another machine
  await (locks ? locks.request('benchtrail.sending', act) : act());
}

/** Sends what waits, now. Resolves when it is sent or known not to be. */
export async function send(): Promise<void> {
  const person = session.peek()?.person.id;
  if (person === undefined || access.peek() !== 'signed-in') return;
  asked += 1;
  if (underWay) {
    await underWay;
    return;
  }
  clearTimeout(timer);
  sending.value = true;
  underWay = (async () => {
    try {
      for (let done = -1; done !== asked && (done === -1 || held.peek() === null); ) {
        done = asked;
        await alone(() => sendAll(person));
      }
    } finally {
      sending.value = false;
      underWay = null;
    }
  })();
  await underWay;
}

/** From now on sends whenever there is something to send and a reason to think that it may get through. */
export function keepSending(): void {
  effect(() => {
    const some = toSend.value.length > 0 || picturesToSend(session.value?.person.id ?? '').length > 0;
    if (access.value === 'signed-in' && some && held.peek() === null) void send();
  });
  // What the phone knows of its radio holds until the next answer, or none, says better.
  addEventListener('offline', () => (reached.value = false));
  addEventListener('online', () => {
    reached.value = true;
    failures = 0;
    void send();
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible' && waits.peek() > 0) void send();
  });
}
