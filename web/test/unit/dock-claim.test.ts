import { describe, expect, it } from 'vitest';

import type { Claim, ClaimBody, Inspection, Lot, Movement, Photo, Shipment } from '../../src/contract.gen';
import { clockSentence, standingClaim, stateOf } from '../../src/dock/claim/clock';
import { countedOf } from '../../src/dock/claim/counts';
import { claimBodyOf, draftOfClaim, missingInClaim, newClaimDraft, type ItemDraft } from '../../src/dock/claim/draft';
import { claimedLots, plantsLookedAt, upToSending, type Found } from '../../src/dock/claim/found';
import { hintsLeft, hintsOf } from '../../src/dock/claim/hints';
import { observersOf, subjectsOf } from '../../src/dock/claim/observers';
import { withWaiting } from '../../src/dock/claim/waiting';
import { claimsDue, claimsUnanswered } from '../../src/dock/overview/claims-due';
import type { Waiting } from '../../src/local/db';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';
import { formatIn } from '../../src/words/format';

const plain = (text: string): string => text.replace(/[\s\u00a0]/g, ' ');
const recorded = { version: 1, recorded_at: '2026-09-14T13:00:00Z', recorded_by: { id: 'p1', name: 'Ana' } };
const zone = 'UTC';

const shipment = (change: Partial<Shipment> = {}): Shipment => ({
  ...recorded,
  id: 's1',
  site_id: 'site',
  supplier_id: 'sup',
  expected_on: '2026-09-14',
  arrived_on: '2026-09-14',
  docked_at: '2026-09-14T06:00:00Z',
  claim_closes_at: '2026-09-15T06:00:00Z',
  lots: 2,
  lots_inspected: 2,
  ...change,
});

const lot = (id: string, change: Partial<Lot> = {}): Lot => ({
  ...recorded,
  id,
  site_id: 'site',
  cultivar_id: 'c1',
  crop_id: 'crop',
  season_id: 'season',
  plants: 1000,
  plants_on_hand: 1000,
  form: 'callused',
  code: id.toUpperCase(),
  state: 'received',
  ...change,
} as Lot);

const received = (lotId: string, plants: number): Movement => ({ ...recorded, id: `m ${lotId}`, site_id: 'site', lot_id: lotId, kind: 'receive', moved_at: '2026-09-14T07:00:00Z', plants, while_held: false });

const inspection = (lotId: string, change: Partial<Inspection> = {}): Inspection => ({
  ...recorded,
  id: `i ${lotId}`,
  site_id: 'site',
  lot_id: lotId,
  kind: 'dock',
  inspected_at: '2026-09-14T08:00:00Z',
  inspector: { id: 'p2', name: 'Ben' },
  findings: [{ organism_id: 'o1', plants_looked_at: 57, infested_plants: 2 }],
  reading: {
    confidence_percent: 95,
    method: 'wilson',
    suggestion: 'hold',
    reasons: [],
    findings: [
      { organism_id: 'o1', plants_looked_at: 57, infested_plants: 2, infested_percent: 3.509, lower_percent: 0.97, upper_percent: 11.92, rules_out_percent: null },
    ],
  },
  ...change,
});

const claim = (id: string, change: Partial<Claim> = {}): Claim => ({ ...recorded, id, site_id: 'site', shipment_id: 's1', items: [], ...change });

const found = (change: Partial<Found> = {}): Found => ({
  shipment: shipment(),
  lots: [lot('l1')],
  movements: [],
  inspections: [],
  verdicts: [],
  photos: [],
  claims: [],
  names: { suppliers: [], farms: [], cultivars: [], crops: [], organisms: [] },
  ...change,
});

const speech = { words: en, f: formatIn('en'), zone, cultivar: (id: string) => id, organism: (id: string) => id };
const item = (change: Partial<ItemDraft> = {}): ItemDraft => ({ key: 'k', lotId: null, what: null, plants: null, note: '', ...change });

describe('a claim that is typed', () => {
  it('is sent without its blank lines, and comes back as it was', () => {
    const draft = { ...newClaimDraft('s1'), items: [item(), item({ lotId: 'l1', what: 'short', plants: 40, note: ' box 2 ' })], text: ' please credit ' };
    const body = claimBodyOf(draft);
    expect(body).toEqual({ shipment_id: 's1', items: [{ lot_id: 'l1', what: 'short', plants: 40, note: 'box 2' }], text: 'please credit' });
    expect(claimBodyOf(draftOfClaim(claim(draft.id, body)))).toEqual(body);
  });

  it('keeps what is known of its sending and answer when a line is corrected', () => {
    const stored = claim('c1', { sent_at: '2026-09-14T12:00:00Z', sent_by: 'mail', answered_at: '2026-09-16T12:00:00Z', answer: 'granted', credit: { amount: '10', currency: 'EUR' } });
    expect(claimBodyOf({ ...draftOfClaim(stored), text: 'more' }, stored)).toMatchObject({ text: 'more', sent_by: 'mail', answer: 'granted', credit: { amount: '10', currency: 'EUR' } });
  });

  it('of nothing, or with a line that says of no fault, is not complete', () => {
    expect(missingInClaim(newClaimDraft('s1'))).toEqual(['/text']);
    expect(missingInClaim({ ...newClaimDraft('s1'), text: 'late' })).toEqual([]);
    expect(missingInClaim({ ...newClaimDraft('s1'), items: [item(), item({ what: 'late' }), item({ plants: 3 })] })).toEqual(['/items/1/what']);
  });
});

describe('the clock of a claim', () => {
  const say = (of: Claim | null, now: string, change: Partial<Shipment> = {}): string =>
    plain(clockSentence(shipment(change), of, { words: en, f: formatIn('en'), zone, now: new Date(now), hours: 24 }));

  it('says how long is left and until when, and that it is late with the moment', () => {
    expect(say(null, '2026-09-14T10:20:00Z')).toBe('**19 h 40 min** left: a claim must be sent by **15 Sep, 06:00**, 24 hours after it reached the dock (14 Sep, 06:00).');
    expect(say(claim('c1'), '2026-09-15T09:00:00Z')).toMatch(/^\*\*Late by 3 h\*\*: a claim had to be sent by 15 Sep, 06:00\./);
  });

  it('stops when it was sent, in time or late', () => {
    expect(say(claim('c1', { sent_at: '2026-09-15T06:00:00Z' }), '2026-09-20T00:00:00Z')).toMatch(/^Sent \*\*15 Sep, 06:00\*\*, in time/);
    expect(say(claim('c1', { sent_at: '2026-09-15T08:30:00Z' }), '2026-09-20T00:00:00Z')).toBe('Sent **15 Sep, 08:30**, **late by 2 h 30 min** (the end was 15 Sep, 06:00).');
    expect(say(claim('c1', { sent_at: '2026-09-14T08:30:00Z', withdrawn_because: 'mistake' }), '2026-09-14T10:20:00Z')).toMatch(/ left: /);
  });

  it('has not begun while nothing reached the dock', () => {
    expect(say(null, '2026-09-14T10:00:00Z', { docked_at: null, claim_closes_at: null })).toMatch(/has not reached the dock/);
  });

  it('speaks Spanish as well', () => {
    const text = clockSentence(shipment(), null, { words: es, f: formatIn('es'), zone, now: new Date('2026-09-14T10:20:00Z'), hours: 24 });
    expect(plain(text)).toMatch(/^Quedan \*\*19 h 40 min\*\*/);
  });

  it('belongs to the latest claim that stands', () => {
    const claims = [claim('c3', { withdrawn_because: 'x' }), claim('c2'), claim('c1')];
    expect(standingClaim(claims)?.id).toBe('c2');
    expect([claims[0], claim('c', { sent_at: 'x' }), claim('c', { sent_at: 'x', answered_at: 'x' })].map((one) => one && stateOf(one))).toEqual(['withdrawn', 'sent', 'answered']);
  });
});

describe('the counts of a claim', () => {
  it('stand by cultivar and form, over all its lots: what was invoiced, received and inspected', () => {
    const rows = countedOf({
      shipment: { order_lines: [{ cultivar_id: 'c1', form: 'callused', ordered: 2000, invoiced: 1900 }, { cultivar_id: 'c2', ordered: 300 }] },
      lots: [lot('l1'), lot('l2', { plants: 900 }), lot('l3', { form: 'rooted', plants: 50 })],
      movements: [received('l1', 980), received('l2', 890)],
      inspections: [inspection('l1'), inspection('l1', { kind: 'second_look' }), inspection('l2', { condition: { sound: 60, unusable: 20 } })],
    });
    expect(rows).toMatchObject([
      { cultivarId: 'c1', form: 'callused', ordered: 2000, invoiced: 1900, onPapers: 1900, received: 1870, difference: -30, inspected: 137 },
      { cultivarId: 'c1', form: 'rooted', ordered: null, invoiced: null, onPapers: 50, received: null, difference: null, inspected: 0 },
      { cultivarId: 'c2', lots: [], ordered: 300, onPapers: null, received: null },
    ]);
  });

  it('are not said to be short while a lot has not been counted', () => {
    const [row] = countedOf({ shipment: {}, lots: [lot('l1'), lot('l2')], movements: [received('l1', 500)], inspections: [] });
    expect(row).toMatchObject({ received: null, difference: null });
  });

  it('of an inspection are the most plants looked at for anything', () => {
    expect(plantsLookedAt(inspection('l1', { other_diseases: [{ name: 'spot', plants_looked_at: 80, plants_with: 1 }] }))).toBe(80);
  });
});

describe('what the records show', () => {
  it('is each fault of each lot with its counts, and nothing where nothing falls short', () => {
    const of = found({
      shipment: shipment({ expected_on: '2026-09-12', boxes: [{ label: '1', temperature_c: 14 }, { label: '2', temperature_c: 19.4 }, { label: '3', temperature_c: 8 }] }),
      lots: [lot('l1'), lot('l2', { cultivar_id: 'c2' })],
      movements: [received('l1', 960), received('l2', 1000)],
      inspections: [inspection('l1', { condition: { sound: 50, badly_damaged: 7 }, leaf_spots: { plants_with: 4, plants_looked_at: 60 } })],
    });
    const hints = hintsOf(of, speech);
    expect(hints.map((hint) => ({ ...hint, note: plain(hint.note) }))).toEqual([
      { lotId: 'l1', what: 'short', plants: 40, note: 'counted 960 of 1,000 on the papers' },
      { lotId: 'l1', what: 'pest', plants: null, note: 'o1: 2 of 57 · 3.5 % (1.0–11.9)' },
      { lotId: 'l1', what: 'damaged', plants: null, note: 'Badly damaged: 7 of 57' },
      { lotId: 'l1', what: 'disease', plants: null, note: 'Leaf spots: 4 of 60' },
      { lotId: null, what: 'too_warm', plants: null, note: 'Box 2: 19.4 °C' },
      { lotId: null, what: 'too_cold', plants: null, note: 'Box 3: 8 °C' },
      { lotId: null, what: 'late', plants: null, note: 'expected Sat 12 Sep, at the dock 14 Sep, 06:00' },
    ]);
    expect(hintsLeft(hints, [item({ lotId: 'l1', what: 'short' }), item({ what: 'too_warm' })]).map(({ what }) => what)).toEqual(['pest', 'damaged', 'disease', 'too_cold', 'late']);
    expect(hintsOf(found({ movements: [received('l1', 1000)] }), speech)).toEqual([]);
  });

  it('names what never came and what came instead', () => {
    const order_lines: Shipment['order_lines'] = [
      { cultivar_id: 'c2', ordered: 900 },
      { cultivar_id: 'c1', form: 'callused', ordered: 0, substitute_for_id: 'c2' },
      { cultivar_id: 'c3', ordered: 400, invoiced: 300 },
    ];
    expect(hintsOf(found({ shipment: shipment({ order_lines }) }), speech)).toMatchObject([
      { lotId: 'l1', what: 'substituted', plants: 1000, note: 'came instead of c2' },
      { lotId: null, what: 'short', plants: 300, note: 'c3: none of 300 invoiced came' },
    ]);
  });

  it('is one line for a lot and a fault, as the claim has it', () => {
    const two = inspection('l1').reading.findings.flatMap((one) => [one, { ...one, organism_id: 'o2' }]);
    const hints = hintsOf(found({ inspections: [inspection('l1', { reading: { ...inspection('l1').reading, findings: two } })] }), speech);
    expect(hints).toHaveLength(1);
    expect(hints[0]?.note).toMatch(/^o1: .*; o2: /);
  });
});

describe('the page to send', () => {
  const lots = [lot('l1'), lot('l2')];

  it('is about the lots that are named, or all where the shipment as a whole is', () => {
    expect(claimedLots({ items: [{ lot_id: 'l2', what: 'dead' }] }, lots).map(({ id }) => id)).toEqual(['l2']);
    expect(claimedLots({ items: [{ lot_id: 'l2', what: 'dead' }, { what: 'late' }] }, lots)).toHaveLength(2);
    expect(claimedLots({ items: [] }, lots)).toHaveLength(2);
  });

  it('names who observed what, of the lots claimed only', () => {
    const photo = (id: string, subject_id: string): Photo => ({ ...recorded, recorded_by: { id: 'p2', name: 'Ben' }, id, site_id: 'site', subject_noun: 'lots', subject_id, taken_at: '2026-09-14T09:00:00Z' });
    const all = found({ lots, inspections: [inspection('l1'), inspection('l2')], photos: [photo('a', 's1'), photo('b', 'i l1'), photo('c', 'l2')] });
    const [first] = lots;
    const observers = observersOf(claim('c1'), all, first ? [first] : [], en, formatIn('en'));
    expect(observers.map(({ name, did }) => [name, plain(did)])).toEqual([
      ['Ana', 'recorded the shipment and recorded this claim'],
      ['Ben', 'inspected L1 and took 2 photos'],
    ]);
    expect([...subjectsOf(all, first ? [first] : [])]).toEqual(['s1', 'l1', 'i l1']);
  });
});

describe('what was seen after a claim was sent', () => {
  it('is not on its page', () => {
    const all = found({ inspections: [inspection('l1'), inspection('l1', { id: 'later', inspected_at: '2026-09-30T08:00:00Z' })] });
    expect(upToSending(all, { sent_at: '2026-09-14T12:00:00Z' }).inspections.map(({ id }) => id)).toEqual(['i l1']);
    expect(upToSending(all, {}).inspections).toHaveLength(2);
  });
});

describe('the claims due', () => {
  const now = new Date('2026-09-14T12:00:00Z');
  const at = (id: string, closes: string, change: Partial<Shipment> = {}): Shipment => shipment({ id, claim_closes_at: closes, ...change });

  it('are those whose clock runs with none sent, and drafts also when late, soonest first', () => {
    const shipments = [
      at('later', '2026-09-15T12:00:00Z'),
      at('soon', '2026-09-14T13:00:00Z'),
      at('sent', '2026-09-14T14:00:00Z'),
      at('over', '2026-09-13T12:00:00Z'),
      at('late draft', '2026-09-14T09:00:00Z'),
      at('withdrawn', '2026-09-14T13:30:00Z', { withdrawn_because: 'x' }),
      at('taken back', '2026-09-14T15:00:00Z'),
    ];
    const claims = [
      claim('1', { shipment_id: 'sent', sent_at: '2026-09-14T10:00:00Z' }),
      claim('2', { shipment_id: 'late draft' }),
      claim('3', { shipment_id: 'taken back', sent_at: '2026-09-14T10:00:00Z', withdrawn_because: 'x' }),
    ];
    expect(claimsDue(shipments, claims, now).map(({ shipment: { id }, draft, left }) => [id, draft?.id ?? null, left / 3_600_000])).toEqual([
      ['late draft', '2', -3],
      ['soon', null, 1],
      ['taken back', null, 3],
      ['later', null, 24],
    ]);
    expect(claimsUnanswered(claims).map(({ id }) => id)).toEqual(['1']);
  });
});

describe('a claim that waits on the phone', () => {
  const waiting = (id: string, if_match: number | null, body: ClaimBody): Waiting => ({
    noun: 'claims',
    id,
    if_match,
    body: { ...body },
    seq: 1,
    person_id: 'p1',
    person_name: 'Ana',
    site_id: 'site',
    title: '',
    made_at: '2026-09-14T10:00:00Z',
    made: { at: '2026-09-14T10:00:00Z', person_id: 'p1', clock_ahead_ms: 3_600_000 },
    problem: null,
  });

  it('is seen as if the server had it, with the version it will have and whether it is in time', () => {
    const records = [waiting('c1', null, { shipment_id: 's1', text: 'late' }), waiting('c1', 1, { shipment_id: 's1', text: 'late', sent_at: '2026-09-15T07:00:00Z' })];
    expect(withWaiting([], records, [shipment()])).toMatchObject([
      { id: 'c1', version: 2, text: 'late', in_time: false, closes_at: '2026-09-15T06:00:00Z', recorded_at: '2026-09-14T09:00:00.000Z', recorded_by: { name: 'Ana' } },
    ]);
  });

  it('takes the place of what the server has of it, not of what is newer there, and is of its shipment only', () => {
    const there = claim('c1', { version: 2, text: 'newer' });
    expect(withWaiting([there], [waiting('c1', 1, { shipment_id: 's1', text: 'older' })], [shipment()])).toEqual([there]);
    expect(withWaiting([there], [waiting('c1', 2, { shipment_id: 's1', text: 'next' })], [shipment()])).toMatchObject([{ version: 3, text: 'next' }]);
    expect(withWaiting([], [waiting('c9', null, { shipment_id: 'another' })], [shipment()])).toEqual([]);
  });
});
