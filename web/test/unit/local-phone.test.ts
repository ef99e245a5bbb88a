import 'fake-indexeddb/auto';

import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, describe, expect, it, vi } from 'vitest';

import type * as BegunModule from '../../src/local/begun';
import type * as DbModule from '../../src/local/db';
import type * as OldModule from '../../src/local/old-drafts';
import type * as OutboxModule from '../../src/local/outbox';
import type { Making } from '../../src/local/outbox';

/** A page just opened on this phone. Several are several tabs; the disk is the same. */
interface Tab {
  begun: typeof BegunModule;
  db: typeof DbModule;
  outbox: typeof OutboxModule;
  old: typeof OldModule;
}

async function openTab(): Promise<Tab> {
  vi.resetModules();
  const tab = {
    db: await import('../../src/local/db'),
    begun: await import('../../src/local/begun'),
    outbox: await import('../../src/local/outbox'),
    old: await import('../../src/local/old-drafts'),
  };
  await tab.begun.readBegun();
  await tab.outbox.readOutbox();
  return tab;
}

const draft = (value: unknown, id = 'd1') => ({ id, kind: 'look', person_id: 'p', value });
const making = (id: string): Making => ({
  noun: 'looks',
  id,
  body: { note: id },
  person_id: 'p',
  person_name: 'P',
  site_id: 's',
  title: '',
  made_at: '2026-09-14T07:00:00Z',
});

let tab: Tab;

beforeEach(async () => {
  globalThis.indexedDB = new IDBFactory();
  tab = await openTab();
});

describe('what is begun', () => {
  it('is there after the page was opened again, as it was last kept', async () => {
    expect(await tab.begun.keepBegun(draft(1), null)).toBe('kept');
    expect(await tab.begun.keepBegun(draft(2), 1)).toBe('kept');
    const again = await openTab();
    expect(again.begun.begunOf('d1')).toMatchObject({ value: 2, step: 2 });
    expect(again.begun.begunBy('p', 'look')).toHaveLength(1);
    expect(again.begun.begunBy('another', 'look')).toEqual([]);
  });

  it('is not written over by a tab that does not know the last step', async () => {
    await tab.begun.keepBegun(draft('one'), null);
    const other = await openTab();
    expect(await other.begun.keepBegun(draft('two'), 1)).toBe('kept');
    expect(await tab.begun.keepBegun(draft('late'), 1)).toBe('elsewhere');
    expect((await openTab()).begun.begunOf('d1')?.value).toBe('two');
  });

  it('does not come back where another tab has finished it', async () => {
    await tab.begun.keepBegun(draft('one'), null);
    const other = await openTab();
    await other.outbox.putInOutbox([making('d1')], 'd1');
    expect(await tab.begun.keepBegun(draft('late'), 1)).toBe('elsewhere');
    expect((await openTab()).begun.begunOf('d1')).toBeUndefined();
  });

  it('is shown to be kept only when it is on disk', async () => {
    const full = new DOMException('no room', 'QuotaExceededError');
    const put = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementationOnce(() => {
      throw full;
    });
    expect(await tab.begun.keepBegun(draft('lost'), null)).toBe('full');
    put.mockRestore();
    expect(tab.begun.begunOf('d1')).toBeUndefined();
    expect(await tab.begun.keepBegun(draft('kept'), null)).toBe('kept');
  });

  it('is held in memory where the browser keeps nothing', async () => {
    vi.spyOn(indexedDB, 'open').mockImplementation(() => {
      throw new DOMException('not in private windows', 'SecurityError');
    });
    const bare = await openTab();
    expect(await bare.begun.keepBegun(draft('x'), null)).toBe('unkept');
    bare.begun.holdBegun(draft('x'));
    expect(bare.begun.begunOf('d1')?.value).toBe('x');
    vi.restoreAllMocks();
  });
});

describe('the outbox', () => {
  it('keeps records in order over a restart, and what they came from is no longer begun', async () => {
    await tab.begun.keepBegun(draft(1), null);
    expect(await tab.outbox.putInOutbox([making('d1')], 'd1')).toBe('kept');
    await tab.outbox.putInOutbox([making('d2')]);
    const again = await openTab();
    expect(again.outbox.outbox.value.map(({ id }) => id)).toEqual(['d1', 'd2']);
    expect(again.begun.begunOf('d1')).toBeUndefined();
  });

  it('loses neither draft nor record when the write fails in the middle', async () => {
    await tab.begun.keepBegun(draft(1), null);
    const remove = vi.spyOn(IDBObjectStore.prototype, 'delete').mockImplementationOnce(() => {
      throw new DOMException('no room', 'QuotaExceededError');
    });
    expect(await tab.outbox.putInOutbox([making('d1')], 'd1')).not.toBe('kept');
    remove.mockRestore();
    const again = await openTab();
    expect(again.begun.begunOf('d1')?.value).toBe(1);
    expect(again.outbox.outbox.value).toEqual([]);
  });

  it('lets a mended record stand in for the one that was refused', async () => {
    await tab.outbox.putInOutbox([making('d1')]);
    await tab.outbox.mark(1, { type: 'about:blank', title: 'no', status: 422, code: 'invalid' });
    await tab.outbox.putInOutbox([{ ...making('d1'), body: { note: 'mended' } }]);
    expect((await openTab()).outbox.outbox.value).toMatchObject([{ seq: 2, body: { note: 'mended' }, problem: null }]);
  });

  it('gives back what was let go, in its old place', async () => {
    await tab.outbox.putInOutbox([making('d1'), making('d2')]);
    const [first] = tab.outbox.outbox.value;
    if (!first) throw new Error('none');
    await tab.outbox.takeOut([first.seq]);
    expect((await openTab()).outbox.outbox.value.map(({ id }) => id)).toEqual(['d2']);
    await tab.outbox.putBack([first]);
    expect((await openTab()).outbox.outbox.value.map(({ id }) => id)).toEqual(['d1', 'd2']);
  });
});

describe('what an earlier version of the pages left', () => {
  /** One text each in localStorage; a real one is in test/layouts/0.json. */
  const left = { 'benchtrail.walk.draft.d9': JSON.stringify({ form: 1, id: 'd9', person_id: 'p', block_id: 'b', plants: [{ found: [] }], sought: [], finished: true }) };

  function stubStorage(content: Record<string, string>): Map<string, string> {
    const map = new Map(Object.entries(content));
    vi.stubGlobal('localStorage', {
      get length() {
        return map.size;
      },
      key: (i: number) => [...map.keys()][i] ?? null,
      getItem: (key: string) => map.get(key) ?? null,
      removeItem: (key: string) => map.delete(key),
      setItem: (key: string, value: string) => map.set(key, value),
    });
    return map;
  }

  it('is brought over, and leaves its old place only then', async () => {
    const storage = stubStorage({ ...left, 'benchtrail.site': 's', 'benchtrail.walk.draft.bad': '{' });
    await tab.old.takeInOldDrafts();
    expect([...storage.keys()]).toEqual(['benchtrail.site', 'benchtrail.walk.draft.bad']);
    const again = await openTab();
    expect(again.begun.begunOf('d9')?.value).toMatchObject({ id: 'd9', plants: [{ found: [] }] });
    vi.unstubAllGlobals();
  });

  it('stays where it is while the phone is full', async () => {
    const storage = stubStorage(left);
    const put = vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(() => {
      throw new DOMException('no room', 'QuotaExceededError');
    });
    await tab.old.takeInOldDrafts();
    put.mockRestore();
    expect([...storage.keys()]).toEqual(Object.keys(left));
    vi.unstubAllGlobals();
  });
});
