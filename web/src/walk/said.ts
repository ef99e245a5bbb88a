import type { Look, Lot, Organism } from '../contract.gen';
import { withQuery } from '../router';
import { format, language, words } from '../words';
import type { Names, Next, Stop } from './round';
import { counts, sumOf } from './round';

/** The everyday name of an organism in the language being shown. */
export function organismName(organism: Organism | undefined): string {
  if (!organism) return words.value.common.unknown;
  return language.value === 'es' ? organism.common_name_es : organism.common_name;
}

/** Where on the plant an organism is looked for, in the language being shown. */
export function whereToLook(organism: Organism): string {
  const text = language.value === 'es' ? (organism.where_to_look_es ?? organism.where_to_look) : organism.where_to_look;
  return text ?? '';
}

/** The duty that finding an organism brings, in the language being shown; a caution in the other language is better than none. */
export function regulatedNote(organism: Organism): string {
  const text = language.value === 'es' ? (organism.regulated_note_es ?? organism.regulated_note) : organism.regulated_note;
  return text ?? '';
}

/** "L-017 Frostveil" */
export function lotName(lot: Lot | undefined, names: Names): string {
  if (!lot) return words.value.walk.lot.unlisted;
  const cultivar = names.cultivar(lot.cultivar_id)?.name;
  return [lot.code, cultivar].filter(Boolean).join(' ');
}

/** "House 2 · B 07" */
export function stopName({ house, block }: Pick<Stop, 'house' | 'block'>): string {
  return `${house.name} · ${block.name}`;
}

/** Where a block, and if given a lot in it, is looked at. */
export function stopAddress(blockId: string, lotId?: string | null, lookId?: string): string {
  return withQuery(`/walk/blocks/${blockId}`, { lot: lotId, look: lookId });
}

/** Where to go on. */
export function nextAddress({ stop, standing }: Next): string {
  return stopAddress(stop.block.id, standing.lot_id);
}

/** "18 looked at · 4 with sweetpotato whitefly", or that nobody has looked yet. */
export function resultText(looks: readonly Look[], organismId: string | null, names: Names): string {
  const { today, look } = words.value.walk;
  const f = format.value;
  const first = organismId !== null && sumOf(looks, organismId) ? organismId : looks.find(counts)?.results[0]?.organism_id;
  const sum = first === undefined ? null : sumOf(looks, first);
  if (first === undefined || !sum) return looks.length > 0 ? today.onlyOnPurpose : today.notYet;
  return today.result(f.count(sum.looked_at), `${f.count(sum.infested)} ${look.with(organismName(names.organism(first)))}`);
}

/** "Mon 14 Sep, 07:05" at the site. */
export function momentText(moment: string, date: string, zone: string): string {
  return `${format.value.weekday(date)}, ${format.value.time(moment, zone)}`;
}
