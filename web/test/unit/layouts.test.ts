import 'fake-indexeddb/auto';

import { readFileSync } from 'node:fs';

import { openDB } from 'idb';
import { afterEach, describe, expect, it, vi } from 'vitest';

import type { Begun, Waiting } from '../../src/local/db';
import { layout } from '../../src/local/db';

/** What a real phone held, as each layout kept it: taken from the browser while marks, a form and a record waited there. */
const phone = (of: number): unknown => JSON.parse(readFileSync(new URL(`../layouts/${of}.json`, import.meta.url), 'utf8'));

const open = async () => {
  vi.resetModules();
  const pages = {
    begun: await import('../../src/local/begun'),
    outbox: await import('../../src/local/outbox'),
    old: await import('../../src/local/old-drafts'),
    drafts: await import('../../src/walk/draft-store'),
    body: await import('../../src/walk/draft-body'),
  };
  await pages.begun.readBegun();
  await pages.outbox.readOutbox();
  return pages;
};

const egg = { stage: 'egg', place: 'new_growth' };

afterEach(() => vi.unstubAllGlobals());

describe('a phone that was last opened with an earlier version of the pages', () => {
  it('has a picture here of every layout there was', () => {
    for (let of = 0; of <= layout; of++) expect(phone(of)).toBeTypeOf('object');
  });

  it('goes on with the marks of layout 0', async () => {
    const left = new Map(Object.entries(phone(0) as Record<string, string>));
    vi.stubGlobal('localStorage', {
      length: left.size,
      key: (i: number) => [...left.keys()][i] ?? null,
      getItem: (key: string) => left.get(key) ?? null,
      removeItem: (key: string) => left.delete(key),
    });
    const { old, drafts, body } = await open();
    await old.takeInOldDrafts();
    const draft = drafts.readDraft('01a22136-f04f-76d3-9b43-e4d939452e95');
    if (draft === null) throw new Error('the marks are lost');
    expect(body.bodyOf(draft).targets).toMatchObject([{ plants: [{ seen: false }, { seen: true }, { seen: false }, { seen: true, signs: [egg] }] }]);
    expect(left.size).toBe(0);
  });

  it('goes on with the marks, the form and the record of layout 1', async () => {
    const held = phone(1) as { begun: Begun[]; outbox: Waiting[] };
    const db = await openDB('benchtrail', 1, {
      upgrade(made) {
        made.createObjectStore('begun', { keyPath: 'id' });
        made.createObjectStore('outbox', { keyPath: 'seq', autoIncrement: true });
        made.createObjectStore('pictures', { keyPath: 'id' });
        made.createObjectStore('notebook');
      },
    });
    for (const one of held.begun) await db.put('begun', one);
    for (const one of held.outbox) await db.put('outbox', one);
    db.close();
    const { begun, outbox, drafts, body } = await open();
    const [look, form] = held.begun;
    const draft = drafts.readDraft(look?.id ?? '');
    if (draft === null) throw new Error('the marks are lost');
    expect(body.bodyOf(draft).targets).toMatchObject([{ plants: [{ seen: false }, { seen: true, signs: [egg] }] }]);
    expect(begun.begunOf(form?.id ?? '')).toEqual(form);
    expect(outbox.outbox.value).toEqual(held.outbox);
  });
});
