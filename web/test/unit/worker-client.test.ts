import { beforeEach, describe, expect, test } from 'vitest';

import { applyUpdate, beforeReload, follow, update, updateReady, type Container, type Registration, type Worker } from '../../src/update/client';

class FakeWorker extends EventTarget implements Worker {
  state: ServiceWorkerState = 'installing';
  messages: string[] = [];
  postMessage(message: string): void {
    this.messages.push(message);
  }
  become(state: ServiceWorkerState): void {
    this.state = state;
    this.dispatchEvent(new Event('statechange'));
  }
}

class FakeRegistration extends EventTarget implements Registration {
  installing: FakeWorker | null = null;
  waiting: FakeWorker | null = null;
  active: FakeWorker | null = null;
  updates = 0;
  update(): Promise<void> {
    this.updates++;
    return Promise.resolve();
  }
}

class FakeContainer extends EventTarget implements Container {
  controller: FakeWorker | null = null;
  registrations = 0;
  offers: () => Promise<FakeRegistration> = () => Promise.resolve(new FakeRegistration());
  register(): Promise<FakeRegistration> {
    this.registrations++;
    return this.offers();
  }
  take(worker: FakeWorker): void {
    this.controller = worker;
    this.dispatchEvent(new Event('controllerchange'));
  }
}

const settle = (): Promise<void> => new Promise((go) => setTimeout(go));

/** A page that follows its worker, and a clock that is turned by hand. */
async function opened(container: FakeContainer) {
  const page = { reloads: 0, clock: 0, timers: [] as { at: number; act: () => void }[] };
  const { look, lookSoon } = follow(container, {
    reload: () => {
      page.reloads++;
    },
    later: (milliseconds, act) => {
      page.timers.push({ at: page.clock + milliseconds, act });
    },
    now: () => page.clock,
  });
  await settle();
  const pass = async (milliseconds: number): Promise<void> => {
    page.clock += milliseconds;
    const due = page.timers.filter(({ at }) => at <= page.clock);
    page.timers = page.timers.filter(({ at }) => at > page.clock);
    for (const { act } of due) act();
    await settle();
  };
  return { page, look, lookSoon, pass };
}

/** A page under a version, with the next one waiting. */
async function withUpdate() {
  const container = new FakeContainer();
  const registration = new FakeRegistration();
  registration.active = new FakeWorker();
  registration.active.state = 'activated';
  registration.waiting = new FakeWorker();
  registration.waiting.state = 'installed';
  container.controller = registration.active;
  container.offers = () => Promise.resolve(registration);
  return { container, registration, waiting: registration.waiting, ...(await opened(container)) };
}

beforeEach(() => {
  update.value = 'none';
});

describe('the first version', () => {
  test('is asked to take a page that it missed when it became active', async () => {
    const container = new FakeContainer();
    const registration = new FakeRegistration();
    registration.active = new FakeWorker();
    registration.active.state = 'activated';
    container.offers = () => Promise.resolve(registration);
    await opened(container);
    expect(registration.active.messages).toContain('claim');
  });

  test('is asked for the large files once it is in use, and again when the network is back', async () => {
    const container = new FakeContainer();
    const registration = new FakeRegistration();
    const first = new FakeWorker();
    registration.installing = first;
    container.offers = () => Promise.resolve(registration);
    const { lookSoon } = await opened(container);
    expect(first.messages).toEqual([]);
    registration.installing = null;
    registration.active = first;
    first.become('activated');
    container.take(first);
    expect(first.messages.filter((message) => message === 'complete')).toHaveLength(1);
    lookSoon();
    await settle();
    expect(first.messages.filter((message) => message === 'complete')).toHaveLength(2);
  });

  test('takes the page without reloading it', async () => {
    const container = new FakeContainer();
    const { page } = await opened(container);
    container.take(new FakeWorker());
    await settle();
    expect(page.reloads).toBe(0);
    expect(updateReady.value).toBe(false);
  });

  test('is tried again, ever more rarely, when it could not be fetched', async () => {
    const container = new FakeContainer();
    container.offers = () => Promise.reject(new TypeError('network'));
    const { pass } = await opened(container);
    await pass(1_999);
    expect(container.registrations).toBe(1);
    await pass(1);
    expect(container.registrations).toBe(2);
    await pass(2_000);
    expect(container.registrations).toBe(2);
    await pass(2_000);
    expect(container.registrations).toBe(3);
  });

  test('is tried again when one of its files did not come, and at once when the network is back', async () => {
    const container = new FakeContainer();
    const registration = new FakeRegistration();
    const worker = new FakeWorker();
    registration.installing = worker;
    container.offers = () => Promise.resolve(registration);
    const { pass, lookSoon } = await opened(container);
    registration.installing = null;
    worker.become('redundant');
    await pass(2_000);
    expect(container.registrations).toBe(2);
    lookSoon();
    await settle();
    expect(container.registrations).toBe(3);
  });
});

describe('looking for a new version', () => {
  test('is not done more often than every ten minutes', async () => {
    const { registration, look, pass } = await withUpdate();
    expect(registration.updates).toBe(1);
    await pass(599_999);
    look();
    await settle();
    expect(registration.updates).toBe(1);
    await pass(1);
    look();
    await settle();
    expect(registration.updates).toBe(2);
  });

  test('says so when one was installed while the page is open', async () => {
    const { registration, waiting } = await withUpdate();
    registration.waiting = null;
    update.value = 'none';
    const next = new FakeWorker();
    registration.installing = next;
    registration.dispatchEvent(new Event('updatefound'));
    expect(updateReady.value).toBe(false);
    registration.installing = null;
    registration.waiting = next;
    next.become('installed');
    expect(updateReady.value).toBe(true);
    expect([...next.messages, ...waiting.messages]).toEqual([]);
  });
});

describe('an update', () => {
  test('waits until the person takes it', async () => {
    const { page, waiting } = await withUpdate();
    expect(updateReady.value).toBe(true);
    expect(waiting.messages).toEqual([]);
    expect(page.reloads).toBe(0);
  });

  test('reloads the page once every hook is done', async () => {
    const { container, page, waiting } = await withUpdate();
    let stored = (): void => undefined;
    const stop = beforeReload(() => new Promise((done) => (stored = done)));
    applyUpdate();
    expect(waiting.messages).toEqual(['take-over']);
    container.take(waiting);
    await settle();
    expect(page.reloads).toBe(0);
    stored();
    await settle();
    expect(page.reloads).toBe(1);
    stop();
  });

  test('that another tab let in reloads this one too', async () => {
    const { container, page, waiting } = await withUpdate();
    container.take(waiting);
    await settle();
    expect(page.reloads).toBe(1);
  });

  test('leaves the page alone where a hook fails, says so, and goes on when asked again', async () => {
    const { container, registration, page, waiting } = await withUpdate();
    const stop = beforeReload(() => Promise.reject(new Error('the disk is full')));
    applyUpdate();
    registration.waiting = null;
    container.take(waiting);
    await settle();
    expect(page.reloads).toBe(0);
    expect(update.value).toBe('held');
    stop();
    applyUpdate();
    await settle();
    expect(page.reloads).toBe(1);
  });

  test('can be taken again when the new version did not come forward', async () => {
    const { pass, waiting } = await withUpdate();
    applyUpdate();
    expect(update.value).toBe('applying');
    await pass(10_000);
    expect(update.value).toBe('ready');
    applyUpdate();
    expect(waiting.messages).toEqual(['take-over', 'take-over']);
  });
});
