import type { Look, Lot } from '../contract.gen';
import { withQuery } from '../router';
import { format, words } from '../words';
import { commonName } from '../organism';
import type { Names, Next, Stop } from './round';
import { counts, sumOf } from './round';

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
  return today.result(f.count(sum.looked_at), `${f.count(sum.infested)} ${look.with(commonName(names.organism(first)))}`);
}

/** "Mon 14 Sep, 07:05" at the site. */
export function momentText(moment: string, date: string, zone: string): string {
  return `${format.value.weekday(date)}, ${format.value.time(moment, zone)}`;
}
