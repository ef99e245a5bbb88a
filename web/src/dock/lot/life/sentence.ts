import type { Lot, LotHold, LotLife, MovementBody } from '../../../contract.gen';
import type { Format, Words } from '../../../words';

interface Speech {
  words: Words;
  f: Format;
  /** The day of a moment at the site, `2026-09-14`. */
  dayOf: (moment: string) => string;
  cultivar: string;
  supplier: string;
  codeOf: (lotId: string) => string;
  /** Who laid a hold or signed a verdict that holds; empty when that cannot be seen. */
  whoHeld: (id: string) => string;
}

/** The holds in force; a verdict that holds is one of them. */
export function inForce(life: LotLife): LotHold[] {
  return life.holds.filter(({ to_at }) => !to_at);
}

function beginning(lot: Lot, life: LotLife, bornBy: Pick<MovementBody, 'kind' | 'lot_id' | 'parts'> | null, say: Speech): string {
  const said = say.words.dock.life;
  const code = lot.code ?? '';
  if (lot.shipment_id) return said.arrived(code, say.cultivar, say.f.date(lot.arrived_on), say.supplier);
  if (life.state === 'not_born' || !life.born_at) return said.notBorn(code, say.cultivar);
  const day = say.f.date(say.dayOf(life.born_at));
  if (bornBy?.kind === 'split') return said.split(code, say.cultivar, say.codeOf(bornBy.lot_id), day, say.f.date(lot.arrived_on));
  const parents = [...new Set((bornBy?.parts ?? []).map(({ lot_id }) => lot_id))];
  return said.merged(code, say.cultivar, say.f.list(parents.map(say.codeOf)), day);
}

/** By whom, since when and why the lot is held, in a sentence for each hold. */
function holding(life: LotLife, say: Speech): string[] {
  const said = say.words.dock.life;
  return inForce(life).map(({ id, by, kind, from_at, reason }) =>
    said.held(say.f.date(say.dayOf(from_at)), by === 'verdict' ? said.byVerdict : said.hold[kind], say.whoHeld(id), reason ?? ''),
  );
}

/** The answer of a lot's page: where it came from, what is left of it, whether it is held. Figures stand between `**`. */
export function lifeSentences(lot: Lot, life: LotLife, bornBy: Pick<MovementBody, 'kind' | 'lot_id' | 'parts'> | null, say: Speech): string[] {
  const said = say.words.dock.life;
  const { tally, state } = life;
  const begin = beginning(lot, life, bornBy, say);
  if (state === 'not_born' || state === 'expected') return [begin, ...holding(life, say)];
  const here = tally.unplaced + tally.placed;
  const left = here === 0 ? said.noneLeft(tally.received + tally.gained) : said.onHand(said.state[state], here, tally.received + tally.gained);
  const held = holding(life, say);
  return [begin, left, ...(held.length > 0 || here === 0 ? held : [said.notHeld])];
}
