import type { Box, Form, OrderLine, Paper, Shipment, ShipmentBody } from '../../contract.gen';
import { uuid7 } from '../../local/uuid7';
import { Drafts, rowKey } from '../shared/drafts';

export interface PaperDraft {
  key: string;
  kind: Paper['kind'];
  number: string;
}

export interface BoxDraft {
  key: string;
  label: string;
  temperature: number | null;
  openedAt: string | null;
  cultivarIds: string[];
}

export interface LineDraft {
  key: string;
  cultivarId: string | null;
  form: Form;
  ordered: number | null;
  invoiced: number | null;
  substituteForId: string | null;
}

/** A shipment as it is being typed. */
export interface ShipmentDraft {
  id: string;
  siteId: string;
  supplierId: string | null;
  expectedOn: string | null;
  leftAt: string | null;
  landedAt: string | null;
  dockedAt: string | null;
  openedAt: string | null;
  papers: PaperDraft[];
  boxes: BoxDraft[];
  lines: LineDraft[];
  note: string;
  withdrawnBecause: string | null;
}

export const shipmentDrafts = new Drafts<ShipmentDraft>('shipment');

export function newShipmentDraft(siteId: string, today: string): ShipmentDraft {
  return {
    id: uuid7(),
    siteId,
    supplierId: null,
    expectedOn: today,
    leftAt: null,
    landedAt: null,
    dockedAt: null,
    openedAt: null,
    papers: [],
    boxes: [],
    lines: [],
    note: '',
    withdrawnBecause: null,
  };
}

export function draftOfShipment(x: Shipment): ShipmentDraft {
  return {
    id: x.id,
    siteId: x.site_id,
    supplierId: x.supplier_id,
    expectedOn: x.expected_on,
    leftAt: x.left_at ?? null,
    landedAt: x.landed_at ?? null,
    dockedAt: x.docked_at ?? null,
    openedAt: x.opened_at ?? null,
    papers: (x.papers ?? []).map((paper) => ({ key: rowKey(), ...paper })),
    boxes: (x.boxes ?? []).map((box) => ({
      key: rowKey(),
      label: box.label,
      temperature: box.temperature_c ?? null,
      openedAt: box.opened_at ?? null,
      cultivarIds: box.cultivar_ids ?? [],
    })),
    lines: (x.order_lines ?? []).map((line) => ({
      key: rowKey(),
      cultivarId: line.cultivar_id,
      form: line.form ?? 'unrooted',
      ordered: line.ordered,
      invoiced: line.invoiced ?? null,
      substituteForId: line.substitute_for_id ?? null,
    })),
    note: x.note ?? '',
    withdrawnBecause: x.withdrawn_because ?? null,
  };
}

export const isBlankPaper = (paper: PaperDraft): boolean => paper.number.trim() === '';
export const isBlankBox = (box: BoxDraft): boolean => box.label.trim() === '';
export const isBlankLine = (line: LineDraft): boolean => line.cultivarId === null && line.ordered === null && line.invoiced === null;

function boxOf(box: BoxDraft): Box {
  return {
    label: box.label.trim(),
    ...(box.temperature !== null && { temperature_c: box.temperature }),
    ...(box.openedAt !== null && { opened_at: box.openedAt }),
    ...(box.cultivarIds.length > 0 && { cultivar_ids: box.cultivarIds }),
  };
}

function lineOf(line: LineDraft): OrderLine {
  return {
    cultivar_id: line.cultivarId ?? '',
    form: line.form,
    ordered: line.ordered ?? 0,
    ...(line.invoiced !== null && { invoiced: line.invoiced }),
    ...(line.substituteForId !== null && { substitute_for_id: line.substituteForId }),
  };
}

/** The pointers of what must be filled in and is not. */
export function missingInShipment(draft: ShipmentDraft): string[] {
  const lines = draft.lines.filter((line) => !isBlankLine(line));
  return [
    ...(draft.supplierId === null ? ['/supplier_id'] : []),
    ...(draft.expectedOn === null ? ['/expected_on'] : []),
    ...lines.flatMap((line, i) => [
      ...(line.cultivarId === null ? [`/order_lines/${i}/cultivar_id`] : []),
      ...(line.ordered === null && line.substituteForId === null ? [`/order_lines/${i}/ordered`] : []),
    ]),
  ];
}

/** What is sent. Rows in which nothing was typed are left out. */
export function shipmentBodyOf(draft: ShipmentDraft): ShipmentBody {
  return {
    site_id: draft.siteId,
    supplier_id: draft.supplierId ?? '',
    expected_on: draft.expectedOn ?? '',
    ...(draft.leftAt !== null && { left_at: draft.leftAt }),
    ...(draft.landedAt !== null && { landed_at: draft.landedAt }),
    ...(draft.dockedAt !== null && { docked_at: draft.dockedAt }),
    ...(draft.openedAt !== null && { opened_at: draft.openedAt }),
    papers: draft.papers.filter((paper) => !isBlankPaper(paper)).map(({ kind, number }) => ({ kind, number: number.trim() })),
    order_lines: draft.lines.filter((line) => !isBlankLine(line)).map(lineOf),
    boxes: draft.boxes.filter((box) => !isBlankBox(box)).map(boxOf),
    ...(draft.note.trim() !== '' && { note: draft.note.trim() }),
    ...(draft.withdrawnBecause !== null && { withdrawn_because: draft.withdrawnBecause }),
  };
}
