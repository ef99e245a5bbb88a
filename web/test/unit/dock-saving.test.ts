import 'fake-indexeddb/auto';

import { IDBFactory } from 'fake-indexeddb';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';

import type * as ApiModule from '../../src/api';
import type { Outbox, OutboxAnswer, Session, ShipmentBody } from '../../src/contract.gen';
import type * as SavingModule from '../../src/dock/shared/saving';
import type * as OutboxModule from '../../src/local/outbox';
import type * as SendingModule from '../../src/local/sending';

let saving: typeof SavingModule;
let outbox: typeof OutboxModule;
let sending: typeof SendingModule;
let api: typeof ApiModule;

const shipment: ShipmentBody = { site_id: 's', supplier_id: 'sup', expected_on: '2026-09-14' };
const person = { id: 'p', name: 'Pat', email: 'p@example.org', language: 'en' as const };

const json = (body: unknown, status = 200): Response => new Response(JSON.stringify(body), { status, headers: { 'Content-Type': status < 400 ? 'application/json' : 'application/problem+json' } });

/** The server answers every record of an outbox so. */
function answering(answer: (record: Outbox['records'][number]) => Partial<OutboxAnswer>): void {
  vi.stubGlobal(
    'fetch',
    vi.fn(async (request: Request) => {
      const { records } = (await request.json()) as Outbox;
      return json({ answers: records.map((record) => ({ id: record.id, status: 201, ...answer(record) })) });
    }),
  );
}

const noNetwork = (): void => void vi.stubGlobal('fetch', () => Promise.reject(new TypeError('no network')));
const refusal = (code: string) => ({ type: 'about:blank', title: 'Refused', status: 422, code, errors: [{ pointer: '#/plants', code: 'too_many', detail: '7 of 5' }] });

beforeEach(async () => {
  globalThis.indexedDB = new IDBFactory();
  vi.stubGlobal('navigator', {});
  vi.resetModules();
  const session = await import('../../src/session');
  saving = await import('../../src/dock/shared/saving');
  outbox = await import('../../src/local/outbox');
  sending = await import('../../src/local/sending');
  api = await import('../../src/api');
  session.session.value = { person } as Session;
  session.access.value = 'signed-in';
});

afterEach(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

describe('saving at the dock', () => {
  it('keeps a record on the phone where there is no network, and a correction after it with the version it will have', async () => {
    noNetwork();
    expect(await saving.save('shipments', 'x', shipment, null, 'Cuttings Ltd')).toBe(1);
    expect(await saving.save('shipments', 'x', { ...shipment, note: 'wet' }, 1, 'Cuttings Ltd')).toBe(2);
    expect(outbox.outbox.value).toMatchObject([
      { noun: 'shipments', id: 'x', if_match: null, body: shipment, title: 'Cuttings Ltd', person_id: 'p', person_name: 'Pat', problem: null, made: { person_id: 'p' } },
      { noun: 'shipments', id: 'x', if_match: 1, body: { note: 'wet' }, problem: null },
    ]);
  });

  it('says at once what the server has against it, keeps it as refused, and lets what is saved next take its place', async () => {
    answering(({ body }) => (body.note === 'right' ? {} : { status: 422, problem: refusal('invalid') }));
    await expect(saving.save('shipments', 'x', shipment, null, '')).rejects.toMatchObject({ status: 422, faults: [{ pointer: '#/plants' }] });
    expect(outbox.outbox.value).toMatchObject([{ id: 'x', if_match: null, problem: { status: 422 } }]);
    expect(await saving.save('shipments', 'x', { ...shipment, note: 'right' }, 1, '')).toBe(1);
    expect(outbox.outbox.value).toEqual([]);
  });

  it('goes on when the server takes its time, and learns of the refusal later', async () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
    let answer: () => void = () => undefined;
    vi.stubGlobal('fetch', () => new Promise((resolve) => (answer = () => resolve(json({ answers: [{ id: 'x', status: 422, problem: refusal('invalid') }] })))));
    const saved = saving.save('shipments', 'x', shipment, null, '');
    await vi.waitFor(() => expect(sending.sending.value).toBe(true));
    await vi.advanceTimersByTimeAsync(2_000);
    expect(await saved).toBe(1);
    vi.useRealTimers();
    answer();
    await vi.waitFor(() => expect(outbox.outbox.value).toMatchObject([{ id: 'x', problem: { status: 422 } }]));
  });

  it('sends what was refused for want of another record once that one is there', async () => {
    const there = new Set<string>();
    answering(({ id, body }) => {
      if (body.shipment_id !== undefined && !there.has('x')) return { status: 422, problem: refusal('invalid') };
      if (id === 'x' && body.note === undefined) return { status: 422, problem: refusal('invalid') };
      there.add(id);
      return {};
    });
    await saving.save('shipments', 'x', shipment, null, '').catch(() => undefined);
    await saving.save('lots', 'l', { shipment_id: 'x', cultivar_id: 'c', plants: 5 }, null, '').catch(() => undefined);
    expect(outbox.outbox.value).toHaveLength(2);
    await saving.save('shipments', 'x', { ...shipment, note: 'right' }, null, '');
    await vi.waitFor(() => expect(outbox.outbox.value).toEqual([]));
    expect([...there].toSorted()).toEqual(['l', 'x']);
  });

  it('tells when the phone is full, and keeps nothing half', async () => {
    noNetwork();
    vi.spyOn(IDBObjectStore.prototype, 'add').mockImplementationOnce(() => {
      throw new DOMException('no room', 'QuotaExceededError');
    });
    await expect(saving.save('shipments', 'x', shipment, null, '')).rejects.toMatchObject({ code: 'phone_full' });
    expect(outbox.outbox.value).toEqual([]);
  });

  it('lets the server refuse what is asked for, with nothing kept, and keeps it as a report where nobody answers', async () => {
    vi.stubGlobal('fetch', () => Promise.resolve(json(refusal('invalid'), 422)));
    const move = { lot_id: 'l', kind: 'discard' as const, moved_at: '2026-09-14T08:00:00Z', plants: 7 };
    await expect(saving.ask('movements', 'm', move, null, '')).rejects.toMatchObject({ faults: [{ detail: '7 of 5' }] });
    expect(outbox.outbox.value).toEqual([]);
    noNetwork();
    expect(await saving.ask('movements', 'm', move, null, '')).toBe(1);
    expect(api.reached.value).toBe(false);
    expect(outbox.outbox.value).toMatchObject([{ noun: 'movements', id: 'm', body: move, problem: null }]);
  });
});
