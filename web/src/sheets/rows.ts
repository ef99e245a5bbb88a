import type { Daybook, Plan } from '../contract.gen';
import { namesOf, roundOf } from '../walk/round';

/** A line of a sheet: one lot in one block; all of it empty on a blank sheet. */
export interface Row {
  key: string;
  section: string;
  block: string;
  lot: string;
  cultivar: string;
  /** Plants standing there; null on a blank sheet and where nothing stands. */
  standing: number | null;
  /** Plants the plan asks for; null where there is no plan or the block is not in it. */
  asked: number | null;
  /** Which plants, counted from 1 along the block. */
  positions: readonly number[];
}

/** Plants in one line of a sheet; a lot with more goes on in the next line. */
export const cells = 20;

/** Lines of a blank sheet: as many as fit on one page. */
export const blankRows = 12;

/** What stands in a house, in walking order, with what the plan of the week asks for. */
export function rowsOf(book: Daybook, houseId: string, plan: Plan | undefined): Row[] {
  const names = namesOf(book);
  const asked = new Map(plan?.blocks.flatMap(({ block_id, looks }) => looks.map((look) => [`${block_id} ${look.lot_id}`, look])));
  const stops = roundOf(book).find(({ house }) => house.id === houseId)?.stops ?? [];
  return stops.flatMap(({ block, section, standing }): Row[] => {
    const place = { section: section?.name ?? '', block: block.name };
    if (standing.length === 0) return [{ ...place, key: block.id, lot: '', cultivar: '', standing: null, asked: null, positions: [] }];
    return standing.map(({ lot_id, lot, plants }) => {
      const look = asked.get(`${block.id} ${lot_id}`);
      return {
        ...place,
        key: `${block.id} ${lot_id}`,
        lot: lot?.code ?? '',
        cultivar: names.cultivar(lot?.cultivar_id)?.name ?? '',
        standing: plants,
        asked: look?.plants ?? null,
        positions: look?.positions ?? [],
      };
    });
  });
}

/** Lines to fill in where no house is chosen: for a class, or a nursery that is not set up yet. */
export function emptyRows(): Row[] {
  return Array.from({ length: blankRows }, (_, i) => ({ key: String(i), section: '', block: '', lot: '', cultivar: '', standing: null, asked: null, positions: [] }));
}

/** The lines that are walked: planned lots where there is a plan, else every lot that stands somewhere. */
export function walkedRows(rows: readonly Row[]): Row[] {
  const planned = rows.filter(({ asked }) => asked !== null);
  return planned.length > 0 ? planned : rows.filter(({ standing }) => standing !== null);
}

/** The cells of a row, line by line: which plant each is for, or null where any will do. */
export function linesOf({ asked, positions }: Row): (number | null)[][] {
  const count = Math.max(1, Math.ceil((asked ?? cells) / cells));
  return Array.from({ length: count }, (_, line) => Array.from({ length: cells }, (_, i) => positions[line * cells + i] ?? null));
}

/** The blocks of a map: the lots of a block together, in walking order. */
export function blocksOf(rows: readonly Row[]): { block: string; section: string; lots: Row[] }[] {
  const blocks: { block: string; section: string; lots: Row[] }[] = [];
  for (const row of rows) {
    const last = blocks.at(-1);
    if (last !== undefined && last.block === row.block && row.block !== '') last.lots.push(row);
    else blocks.push({ block: row.block, section: row.section, lots: [row] });
  }
  return blocks;
}
