import { computed, signal } from '@preact/signals';

/** What of a ServiceWorker is used here. */
export interface Worker extends EventTarget {
  readonly state: ServiceWorkerState;
  postMessage(message: string): void;
}

/** What of a ServiceWorkerRegistration is used here. */
export interface Registration extends EventTarget {
  readonly installing: Worker | null;
  readonly waiting: Worker | null;
  readonly active: Worker | null;
  update(): Promise<unknown>;
}

/** What of a ServiceWorkerContainer is used here. */
export interface Container extends EventTarget {
  readonly controller: unknown;
  register(address: string, options: RegistrationOptions): Promise<Registration>;
}

/** What a page can do besides: stood in for in tests. */
export interface Around {
  reload(): void;
  later(milliseconds: number, act: () => void): void;
  now(): number;
}

/** `ready`: a new version waits. `applying`: the person said yes. `held`: a hook would not let this page go. */
type Update = 'none' | 'ready' | 'applying' | 'held';

/** Where an update stands. */
export const update = signal<Update>('none');

/** Whether a new version is ready, and the person has not taken it yet. */
export const updateReady = computed(() => update.value !== 'none');

type Hook = () => Promise<void>;

const hooks = new Set<Hook>();

/**
 * Has something done before an update reloads the page, such as storing what was tapped. While it takes,
 * the page waits; where it rejects, the page stays as it is and says so. Answers a way to take it back.
 */
export function beforeReload(hook: Hook): () => void {
  hooks.add(hook);
  return () => hooks.delete(hook);
}

let apply: () => void = () => undefined;

/** Takes the new version: in every tab, each after its own hooks. */
export function applyUpdate(): void {
  apply();
}

const firstPause = 2_000;
const longestPause = 300_000;
const checkEvery = 600_000;
const takeOverPatience = 10_000;

/** Keeps the worker installed and looks for new versions. Answers what to call when there may be reason to look again. */
export function follow(container: Container, around: Around): { look: () => void; lookSoon: () => void } {
  let registration: Registration | null = null;
  let controlled = container.controller !== null;
  let pause = firstPause;
  let lookedAt = -Infinity;
  let busy = false;
  let leaving = false;
  let again = 0; // which retry is the awaited one
  const watched = new WeakSet<Worker>();

  const retry = (): void => {
    const mine = ++again;
    around.later(pause, () => {
      if (mine === again) void attempt();
    });
    pause = Math.min(2 * pause, longestPause);
  };

  const watch = (worker: Worker | null): void => {
    if (!worker || watched.has(worker)) return;
    watched.add(worker);
    let installed = worker.state !== 'installing';
    worker.addEventListener('statechange', () => {
      if (worker.state === 'redundant' && !installed) {
        retry(); // a file did not come: the browser does not try again by itself
      } else {
        installed = true;
        pause = firstPause;
      }
      if (worker.state === 'activated') {
        claim();
        complete();
      }
      show();
    });
  };

  /**
   * Asks the active worker to take this page. It takes all pages when it becomes active, but not one that is just then
   * being opened, and not one opened anew without the cache: such a page would stay without a worker as long as it is open.
   */
  const claim = (): void => {
    if (container.controller === null) registration?.active?.postMessage('claim');
  };

  /** Has the version in use fetch what it can do without at first; nothing is asked for twice. */
  const complete = (): void => registration?.active?.postMessage('complete');

  const show = (): void => {
    if (update.value !== 'none' && update.value !== 'ready') return;
    update.value = registration?.active && registration.waiting ? 'ready' : 'none';
  };

  const attempt = async (): Promise<void> => {
    if (busy) return;
    busy = true;
    lookedAt = around.now();
    try {
      const found = await container.register('/sw.js', { updateViaCache: 'none' });
      if (registration !== found) found.addEventListener('updatefound', () => watch(found.installing));
      registration = found;
      watch(found.installing);
      watch(found.active);
      claim();
      complete();
      show();
      if (found.active && !found.installing) await found.update();
      else if (!found.installing && !found.waiting) retry(); // it failed before anyone could watch it
    } catch {
      if (!registration?.active) retry(); // with a worker, looking again later is soon enough
    } finally {
      busy = false;
    }
  };

  const reload = async (): Promise<void> => {
    if (leaving) return;
    leaving = true;
    update.value = 'applying';
    try {
      await Promise.all([...hooks].map((hook) => hook()));
      around.reload();
    } catch {
      leaving = false;
      update.value = 'held';
    }
  };

  container.addEventListener('controllerchange', () => {
    if (controlled) void reload();
    controlled = true;
  });

  apply = () => {
    const waiting = registration?.waiting;
    if (!waiting) {
      void reload(); // another tab let it in already, or a hook held this page back before
      return;
    }
    update.value = 'applying';
    waiting.postMessage('take-over');
    around.later(takeOverPatience, () => {
      if (update.value === 'applying' && registration?.waiting === waiting) update.value = 'ready';
    });
  };

  void attempt();
  return {
    look: () => {
      if (around.now() - lookedAt >= checkEvery) void attempt();
    },
    lookSoon: () => {
      pause = firstPause;
      void attempt();
    },
  };
}

const startPatience = 1_000; // the answer takes 10 to 100 ms

/** Learns before the page is first drawn whether a version waits, so that the line about it moves nothing later. */
export async function updateKnown(): Promise<void> {
  if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return;
  const learn = async (): Promise<void> => {
    const registration = await navigator.serviceWorker.getRegistration();
    if (registration?.active && registration.waiting) update.value = 'ready';
  };
  await Promise.race([learn().catch(() => undefined), new Promise((go) => setTimeout(go, startPatience))]);
}

/** Installs the worker once the page is shown and idle, so that it takes no network from the first page. */
export function installWorker(): void {
  if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return;
  const begin = (): void => {
    const { look, lookSoon } = follow(navigator.serviceWorker, {
      reload: () => location.reload(),
      later: (milliseconds, act) => {
        setTimeout(act, milliseconds);
      },
      now: () => performance.now(),
    });
    addEventListener('online', lookSoon);
    document.addEventListener('visibilitychange', () => {
      if (!document.hidden) look();
    });
  };
  // A page in the background is never painted and may never be idle: hence the time limit.
  const whenIdle = (): void => {
    if ('requestIdleCallback' in window) requestIdleCallback(begin, { timeout: 3_000 });
    else setTimeout(begin, 1_000);
  };
  if (document.readyState === 'complete') whenIdle();
  else addEventListener('load', whenIdle, { once: true });
}
