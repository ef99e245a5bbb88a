import { fill, tidy } from './update/keep';
import { isFile, keyFor, type Shell } from './update/shell';

/** What of a service worker's world is used here; the types of pages and of workers do not go together in one program. */
interface Waiting {
  waitUntil(work: Promise<unknown>): void;
}

interface Events {
  install: Waiting;
  activate: Waiting;
  message: Waiting & { readonly data: unknown };
  fetch: Waiting & { readonly request: Request; respondWith(answer: Promise<Response>): void };
}

declare const self: {
  /** Written at the head of this file by the build (precache.ts). */
  readonly shell: Shell;
  readonly location: { readonly origin: string };
  readonly registration: { readonly installing: unknown; readonly waiting: unknown };
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener<Name extends keyof Events>(name: Name, listener: (event: Events[Name]) => void): void;
};

const { shell } = self;
const open = (): Promise<Cache> => caches.open('benchtrail-pages');

self.addEventListener('install', (event) => {
  event.waitUntil(open().then((cache) => fill(cache, shell.files, fetch)));
});

self.addEventListener('activate', (event) => {
  const takeOver = async (): Promise<void> => {
    await self.clients.claim();
    // A version that comes next is filling the same cache; it will tidy.
    if (!self.registration.installing && !self.registration.waiting) await tidy(await open(), shell);
  };
  event.waitUntil(takeOver());
});

self.addEventListener('message', (event) => {
  if (event.data === 'take-over') event.waitUntil(self.skipWaiting());
  if (event.data === 'claim') event.waitUntil(self.clients.claim());
  if (event.data === 'complete') event.waitUntil(open().then((cache) => fill(cache, shell.afterwards, fetch)).catch(() => undefined)); // pages ask again
});

async function answer(request: Request, key: string, later: (work: Promise<unknown>) => void): Promise<Response> {
  const cache = await open().catch(() => null); // a broken store: the network is still there
  const kept = await cache?.match(key, { ignoreVary: true }).catch(() => undefined);
  if (kept) return kept;
  const fresh = await fetch(request);
  if (cache && key.startsWith('/assets/') && isFile(fresh)) later(cache.put(key, fresh.clone()).catch(() => undefined));
  return fresh;
}

self.addEventListener('fetch', (event) => {
  const key = keyFor(event.request, self.location.origin, shell);
  if (key !== null) event.respondWith(answer(event.request, key, (work) => event.waitUntil(work)));
});
