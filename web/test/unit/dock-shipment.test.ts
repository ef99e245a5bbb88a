import { describe, expect, it } from 'vitest';

import type { Lot, Movement, PastedLot, Placement } from '../../src/contract.gen';
import { lotBodyOf, missingInLot, newLotDraft } from '../../src/dock/lot/draft';
import { missingInMovement, movementBodyOf, newMovement, standingOf, thereAt, unplaced } from '../../src/dock/lot/movement';
import { changesOf } from '../../src/dock/shared/changes';
import { sentIndex } from '../../src/dock/shared/drafts';
import { compareLots, countsOf } from '../../src/dock/shipment/compare';
import { isBlankPaper, missingInShipment, newShipmentDraft, shipmentBodyOf } from '../../src/dock/shipment/draft';
import { isComplete, lotBodyOfRow, openFaults, rowOf, rowsToSave, withFarm } from '../../src/dock/shipment/paste';

const at = '2026-09-14T07:05:00+02:00';
const recorded = { version: 1, recorded_at: at, recorded_by: { id: 'p', name: 'Dana' } };

function lot(id: string, cultivar: string, plants: number, change: Partial<Lot> = {}): Lot {
  return {
    ...recorded,
    id,
    code: id,
    shipment_id: 's',
    cultivar_id: cultivar,
    form: 'unrooted',
    plants,
    plants_on_hand: plants,
    site_id: 'n',
    season_id: 'y',
    crop_id: 'k',
    arrived_on: '2026-09-14',
    ...change,
  };
}

function movement(lotId: string, kind: Movement['kind'], plants: number, change: Partial<Movement> = {}): Movement {
  return { ...recorded, id: `${lotId} ${kind}`, lot_id: lotId, kind, plants, moved_at: at, site_id: 'n', while_held: false, ...change };
}

describe('what is sent of a shipment', () => {
  const draft = {
    ...newShipmentDraft('n', '2026-09-14'),
    supplierId: 'larkmoor',
    papers: [
      { key: '1', kind: 'order' as const, number: ' ' },
      { key: '2', kind: 'invoice' as const, number: ' 7-11 ' },
    ],
    boxes: [{ key: '1', label: '1', temperature: 18.5, openedAt: null, cultivarIds: [] }],
    lines: [
      { key: '1', cultivarId: null, form: 'unrooted' as const, ordered: null, invoiced: null, substituteForId: null },
      { key: '2', cultivarId: 'frostveil', form: 'rooted' as const, ordered: 1000, invoiced: 980, substituteForId: null },
    ],
    note: ' ',
  };

  it('leaves out the rows in which nothing was typed', () => {
    expect(shipmentBodyOf(draft)).toEqual({
      site_id: 'n',
      supplier_id: 'larkmoor',
      expected_on: '2026-09-14',
      papers: [{ kind: 'invoice', number: '7-11' }],
      order_lines: [{ cultivar_id: 'frostveil', form: 'rooted', ordered: 1000, invoiced: 980 }],
      boxes: [{ label: '1', temperature_c: 18.5 }],
    });
    expect(sentIndex(draft.papers, 1, isBlankPaper)).toBe(0);
    expect(sentIndex(draft.papers, 0, isBlankPaper)).toBeNull();
  });

  it('is held back while something needed is missing', () => {
    expect(missingInShipment(draft)).toEqual([]);
    const line = { key: '1', cultivarId: null, form: 'unrooted' as const, ordered: 5, invoiced: null, substituteForId: null };
    expect(missingInShipment({ ...draft, supplierId: null, lines: [line] })).toEqual(['/supplier_id', '/order_lines/0/cultivar_id']);
  });
});

describe('lots beside their order', () => {
  const order_lines = [
    { cultivar_id: 'frostveil', ordered: 1000 },
    { cultivar_id: 'emberlace', ordered: 500 },
    { cultivar_id: 'tidewater', ordered: 300 },
    { cultivar_id: 'quillmark', ordered: 0, substitute_for_id: 'tidewater' },
    { cultivar_id: 'dunlight', ordered: 200 },
  ];
  const lots = [
    lot('38-02', 'frostveil', 400),
    lot('38-01', 'frostveil', 600),
    lot('38-03', 'emberlace', 500),
    lot('38-04', 'quillmark', 300),
    lot('38-05', 'larkwisp', 50),
    lot('38-06', 'frostveil', 9, { withdrawn_because: 'twice' }),
  ];

  it('shows short, over and substituted, by what was counted where someone counted', () => {
    const counts = countsOf([movement('38-01', 'receive', 590), movement('38-03', 'receive', 1, { withdrawn_because: 'typing' }), movement('38-04', 'receive', 310)]);
    const rows = compareLots({ order_lines }, lots, counts);
    expect(rows.map(({ key, ordered, counted, difference }) => [key, ordered, counted, difference])).toEqual([
      ['38-01', 1000, 590, -10],
      ['38-02', null, null, null],
      ['38-03', 500, null, 0],
      ['38-04', 300, 310, 10],
      ['38-05', null, null, null],
      ['dunlight unrooted', 200, null, -200],
    ]);
    expect(rows[3]?.substituteForId).toBe('tidewater');
  });
});

describe('pasted lots', () => {
  const read: PastedLot = {
    line: 3,
    text: 'Frostveil;many;Highbarrow',
    cultivar_id: 'frostveil',
    cultivar_name: 'Frostveil',
    plants: null,
    farm_name: 'Highbarrow',
    faults: [
      { pointer: '/plants', code: 'plants_not_a_number', detail: '' },
      { pointer: '/farm_name', code: 'farm_not_known', detail: '' },
    ],
  };

  it('are mended in place; a farm may stay unknown', () => {
    const row = rowOf(read);
    expect(isComplete(row)).toBe(false);
    expect(openFaults(row).map(({ code }) => code)).toEqual(['plants_not_a_number', 'farm_not_known']);
    const mended = { ...row, plants: 1000 };
    expect(isComplete(mended)).toBe(true);
    expect(openFaults(mended).map(({ code }) => code)).toEqual(['farm_not_known']);
    expect(lotBodyOfRow(mended, 's', 'packing list')).toEqual({ shipment_id: 's', cultivar_id: 'frostveil', plants: 1000, form: 'unrooted' });
  });

  it('take a farm that was added wherever the list names it', () => {
    const rows = withFarm([rowOf(read), rowOf({ ...read, farm_name: 'Otherwhere' })], { id: 'f', name: 'HIGHBARROW' });
    expect(rows.map(({ farmId }) => farmId)).toEqual(['f', null]);
    expect(lotBodyOfRow({ ...rowOf(read), plants: 5, farmId: 'f' }, 's', 'packing list')).toMatchObject({ farm_ids: ['f'], farm_known_by: 'packing list' });
  });

  it('are saved once: neither those left out nor those stored already', () => {
    const row = rowOf(read);
    expect(rowsToSave([row, { ...row, leftOut: true }, { ...row, saved: true }])).toEqual([row]);
  });
});

describe('what is sent of a lot', () => {
  it('names the paper only with a farm, and leaves the code to the server', () => {
    const draft = { ...newLotDraft('s'), cultivarId: 'frostveil', plants: 1000, farmKnownBy: 'e-mail' };
    expect(lotBodyOf(draft)).toEqual({ shipment_id: 's', cultivar_id: 'frostveil', plants: 1000, form: 'unrooted' });
    expect(lotBodyOf({ ...draft, farmIds: ['f'] })).toMatchObject({ farm_ids: ['f'], farm_known_by: 'e-mail' });
    expect(missingInLot(newLotDraft('s'))).toEqual(['/cultivar_id', '/plants']);
  });
});

describe('movements', () => {
  const placements: Placement[] = [
    { lot_id: 'l', block_id: 'b1', from: at, to: null, plants: 300 },
    { lot_id: 'l', block_id: 'b2', from: at, to: at, plants: 999 },
  ];
  const standing = standingOf({ plants_on_hand: 1000 }, placements);

  it('know what stands where and what is not yet placed', () => {
    expect(standing).toEqual({ blocks: [{ blockId: 'b1', plants: 300, since: at }], unplaced: 700 });
    expect([thereAt(null, standing), thereAt('b1', standing), thereAt(unplaced, standing)]).toEqual([null, 300, 700]);
  });

  it('begin with what is most likely', () => {
    const first = { id: 'l', plants: 1000 };
    expect(newMovement('receive', first, standing)).toMatchObject({ plants: 1000, from: null });
    expect(newMovement('stick', first, standing)).toMatchObject({ plants: 700, from: null });
    expect(newMovement('move', first, standing)).toMatchObject({ plants: 300, from: 'b1' });
    expect(newMovement('discard', first, standing)).toMatchObject({ plants: null, from: unplaced });
  });

  it('send only the blocks and the reason their kind has', () => {
    const draft = { ...newMovement('stick', { id: 'l', plants: 1000 }, standing), to: 'b3', reason: 'rotten' };
    expect(movementBodyOf(draft, 'l', at)).toEqual({ lot_id: 'l', kind: 'stick', moved_at: at, plants: 700, to_block_id: 'b3' });
    expect(movementBodyOf({ ...draft, kind: 'discard', from: 'b1', plants: 5 }, 'l', at)).toEqual({
      lot_id: 'l',
      kind: 'discard',
      moved_at: at,
      plants: 5,
      from_block_id: 'b1',
      reason: 'rotten',
    });
    expect(movementBodyOf({ ...draft, kind: 'pot', from: unplaced }, 'l', at)).not.toHaveProperty('from_block_id');
    expect(missingInMovement({ ...draft, kind: 'move', from: null, to: null, plants: null })).toEqual(['/plants', '/from_block_id', '/to_block_id']);
  });
});

describe('revisions', () => {
  it('name each changed member once, with what it was and is', () => {
    const before = { body: { plants: 1000, farm_ids: [] } };
    const after = { body: { plants: 980, farm_ids: ['f'] }, changed: ['/plants', '/farm_ids/0', '/farm_ids'] };
    expect(changesOf(before, after)).toEqual([
      { member: 'plants', from: 1000, to: 980 },
      { member: 'farm_ids', from: [], to: ['f'] },
    ]);
  });
});
