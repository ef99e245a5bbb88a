import type { Inspection } from '../../contract.gen';
import type { Format, Words } from '../../words';
import { coolest, warmest } from '../shared/temperature';
import { countedOf } from './counts';
import type { FaultKind, ItemDraft } from './draft';
import { totalOf, type Found } from './found';

/** Something the records of a shipment show that may be claimed. A person says whether it is. */
export interface Hint {
  lotId: string | null;
  what: FaultKind;
  /** Null where the records count no plants of it. */
  plants: number | null;
  note: string;
}

interface Speech {
  words: Words;
  f: Format;
  zone: string;
  cultivar: (id: string) => string;
  organism: (id: string) => string;
}

function ofCounts(found: Found, { words, f, cultivar }: Speech): Hint[] {
  const said = words.dock.claim.hint;
  const rows = countedOf(found);
  const replaced = new Set(rows.flatMap(({ lots, substituteForId }) => (lots.length > 0 ? [substituteForId] : [])));
  return rows.flatMap((row): Hint[] => {
    const [first, ...more] = row.lots;
    const lotId = first && more.length === 0 ? first.id : null;
    const name = lotId === null ? cultivar(row.cultivarId) : null;
    const named = (note: string): string => (name === null ? note : said.of(name, note));
    const hints: Hint[] = [];
    if (!first && row.substituteForId === null && !replaced.has(row.cultivarId) && (row.invoiced ?? row.ordered ?? 0) > 0) {
      const missing = row.invoiced ?? row.ordered ?? 0;
      hints.push({ lotId: null, what: 'short', plants: missing, note: named(said.noneCame(f.count(missing), row.invoiced === null ? 'ordered' : 'invoiced')) });
    }
    if (row.difference !== null && row.difference < 0 && row.received !== null) {
      const asked = row.received - row.difference;
      hints.push({ lotId, what: 'short', plants: -row.difference, note: named(said.counted(f.of(row.received, asked), row.invoiced === null ? 'papers' : 'invoiced')) });
    }
    if (first && row.substituteForId !== null) {
      hints.push({ lotId, what: 'substituted', plants: row.received ?? row.onPapers, note: named(said.insteadOf(cultivar(row.substituteForId))) });
    }
    return hints;
  });
}

function ofBoxes({ shipment }: Found, { words, f }: Speech): Hint[] {
  const said = words.dock.shipment;
  const boxes = (shipment.boxes ?? []).flatMap(({ label, temperature_c: degrees }) => (typeof degrees === 'number' ? [{ label, degrees }] : []));
  const hint = (what: FaultKind, which: (degrees: number) => boolean): Hint[] => {
    const some = boxes.filter(({ degrees }) => which(degrees));
    const note = some.map(({ label, degrees }) => `${said.box(label)}: ${f.number(degrees)} ${said.degrees}`).join('; ');
    return some.length > 0 ? [{ lotId: null, what, plants: null, note }] : [];
  };
  return [...hint('too_warm', (degrees) => degrees > warmest), ...hint('too_cold', (degrees) => degrees < coolest)];
}

function ofInspection(inspection: Inspection, { words, f, organism }: Speech): Hint[] {
  const said = words.dock.inspection;
  const lotId = inspection.lot_id;
  const hints: Hint[] = inspection.reading.findings
    .filter(({ infested_plants: n }) => n > 0)
    .map((finding) => ({ lotId, what: 'pest', plants: null, note: words.dock.claim.hint.of(organism(finding.organism_id), f.share(finding)) }));
  const { condition, leaf_spots: spots, other_diseases: diseases } = inspection;
  const bad = (['badly_damaged', 'unusable'] as const).filter((key) => (condition?.[key] ?? 0) > 0);
  if (condition && bad.length > 0) {
    const note = bad.map((key) => `${said.conditionClass[key]}: ${f.of(condition[key] ?? 0, totalOf(condition))}`).join('; ');
    hints.push({ lotId, what: 'damaged', plants: null, note });
  }
  const ill = [...(spots ? [{ name: said.leafSpots, ...spots }] : []), ...(diseases ?? [])].filter(({ plants_with: n }) => n > 0);
  for (const { name, plants_with: n, plants_looked_at: of } of ill) hints.push({ lotId, what: 'disease', plants: null, note: `${name}: ${f.of(n, of)}` });
  return hints;
}

function ofTimes({ shipment }: Found, { words, f, zone }: Speech): Hint[] {
  if (!shipment.docked_at || shipment.arrived_on <= shipment.expected_on) return [];
  const note = words.dock.claim.hint.late(f.weekday(shipment.expected_on), f.moment(shipment.docked_at, zone));
  return [{ lotId: null, what: 'late', plants: null, note }];
}

/** What the records show, a line for each lot and fault as the claim has it: the counts, never a judgement. */
export function hintsOf(found: Found, speech: Speech): Hint[] {
  const byLot = found.lots.flatMap(({ id }) => found.inspections.filter(({ lot_id }) => lot_id === id));
  const all = [...ofCounts(found, speech), ...byLot.flatMap((inspection) => ofInspection(inspection, speech)), ...ofBoxes(found, speech), ...ofTimes(found, speech)];
  const merged = new Map<string, Hint>();
  for (const hint of all) {
    const key = `${hint.lotId ?? ''} ${hint.what}`;
    const before = merged.get(key);
    merged.set(
      key,
      before ? { ...before, plants: before.plants === null ? hint.plants : before.plants + (hint.plants ?? 0), note: `${before.note}; ${hint.note}`.slice(0, 500) } : hint,
    );
  }
  return [...merged.values()];
}

/** Those that no line of the draft speaks of. */
export function hintsLeft(hints: readonly Hint[], items: readonly ItemDraft[]): Hint[] {
  return hints.filter(({ lotId, what }) => !items.some((item) => item.what === what && item.lotId === lotId));
}
