import { describe, expect, it } from 'vitest';

import type { Lot, SecondLook, Shipment } from '../../src/contract.gen';
import { dockSentence } from '../../src/dock/overview/answer';
import { answerOf, lotsToInspect, orderDock, shipmentsAtWork } from '../../src/dock/overview/order';
import { plain } from '../../src/dock/shared/marked';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';

const now = new Date('2026-09-14T08:00:00Z');

function shipment(id: string, change: Partial<Shipment>): Shipment {
  return {
    id,
    version: 1,
    recorded_at: '2026-09-01T08:00:00Z',
    recorded_by: { id: 'p', name: 'Dana' },
    site_id: 's',
    supplier_id: id,
    expected_on: '2026-09-14',
    arrived_on: '2026-09-14',
    lots: 4,
    lots_inspected: 4,
    ...change,
  };
}

const shipments = [
  shipment('settled', { docked_at: '2026-08-01T08:00:00Z', claim_closes_at: '2026-08-02T08:00:00Z' }),
  shipment('running', { docked_at: '2026-09-14T06:00:00Z', claim_closes_at: '2026-09-15T06:00:00Z' }),
  shipment('late claim', { docked_at: '2026-09-12T06:00:00Z', claim_closes_at: '2026-09-13T06:00:00Z', lots_inspected: 3 }),
  shipment('two days', { docked_at: '2026-09-14T06:00:00Z', claim_closes_at: '2026-09-16T06:00:00Z', lots_inspected: 2 }),
  shipment('Larkmoor', { docked_at: '2026-09-13T13:20:00Z', claim_closes_at: '2026-09-14T13:20:00Z', lots_inspected: 1 }),
  shipment('no lots', { docked_at: '2026-09-14T07:00:00Z', claim_closes_at: '2026-09-17T07:00:00Z', lots: 0, lots_inspected: 0 }),
  shipment('later', { expected_on: '2026-09-20', lots: 0, lots_inspected: 0 }),
  shipment('sooner', { expected_on: '2026-09-16', lots: 0, lots_inspected: 0 }),
  shipment('mistake', { expected_on: '2026-09-15', withdrawn_because: 'twice' }),
];

const ids = (list: readonly Shipment[]): string[] => list.map(({ id }) => id);
const said = (text: string): string => plain(text).replaceAll('\u00a0', ' ');

function look(state: SecondLook['state']): SecondLook {
  return { lot_id: 'l', due_from: '2026-09-10', due_to: '2026-09-13', state };
}

describe('the order of the dock', () => {
  it('puts what needs a person first, by the claim that ends first', () => {
    const view = orderDock(shipments, now);
    expect(ids(view.waiting)).toEqual(['Larkmoor', 'two days', 'no lots', 'late claim']);
    expect(ids(view.running)).toEqual(['running']);
    expect(ids(view.expected)).toEqual(['sooner', 'later']);
    expect(ids(view.settled)).toEqual(['settled']);
  });

  it('fetches the lots of what is at work only', () => {
    expect(ids(shipmentsAtWork(orderDock(shipments, now), now))).not.toContain('settled');
  });

  it('offers lots nobody inspected, by code, and no withdrawn ones', () => {
    const lot = (code: string, change: Partial<Lot> = {}): Lot => ({
      ...shipment('x', {}),
      id: code,
      code,
      shipment_id: 'Larkmoor',
      cultivar_id: 'c',
      season_id: 'y',
      crop_id: 'k',
      plants: 100,
      plants_on_hand: 100,
      ...change,
    });
    const lots = [lot('38-02'), lot('38-01'), lot('38-03', { inspected: true }), lot('38-04', { withdrawn_because: 'twice' })];
    expect(lotsToInspect(lots, 'Larkmoor').map(({ code }) => code)).toEqual(['38-01', '38-02']);
  });
});

describe('the answer at the top', () => {
  const about = { now, today: '2026-09-14', supplier: (id: string) => id };
  const f = { en: formatIn('en'), es: formatIn('es') };

  it('counts the lots and names the claim that ends first', () => {
    const found = answerOf(orderDock(shipments, now), [], [look('late'), look('due'), look('due'), look('waiting')], now);
    expect(said(dockSentence(found, about, en, f.en))).toBe(
      '6 lots wait for inspection; 1 shipment has arrived with no lots written down; the claim time for Larkmoor ends in 5 h 20 min. 1 second look is late; 2 second looks are due.',
    );
    expect(said(dockSentence(found, about, es, f.es))).toBe(
      '6 lotes esperan inspección; 1 envío llegó sin lotes anotados; el plazo de reclamación a Larkmoor termina en 5 h 20 min. 1 segunda revisión va atrasada; tocan 2 segundas revisiones.',
    );
  });

  it('says what comes next when nothing waits', () => {
    const quiet = orderDock([shipment('Larkmoor', { expected_on: '2026-09-17' })], now);
    expect(said(dockSentence(answerOf(quiet, [], [], now), about, en, f.en))).toBe(
      'Nothing waits at the dock. The next shipment, from Larkmoor, is expected on Thu 17 Sep.',
    );
    const overdue = orderDock([shipment('Larkmoor', { expected_on: '2026-09-11' })], now);
    expect(said(dockSentence(answerOf(overdue, [], [], now), about, en, f.en))).toBe(
      'Nothing waits at the dock. The shipment from Larkmoor, due Fri 11 Sep, is not here yet.',
    );
    const none = orderDock([], now);
    expect(said(dockSentence(answerOf(none, [], [], now), about, en, f.en))).toBe('Nothing waits at the dock. No shipment is expected.');
  });
});
