import type { HouseMap, MapHotSpot } from '../../contract.gen';
import type { Speech } from '../answers';
import { someNames } from '../compare';
import { weightedShare } from '../share';
import type { BlockThen } from './blocks';

/** Where a hot spot is in its block, in the reader's words where it is one of the usual places. */
export function placeText(where: string, { words }: Speech): string {
  const known: Record<string, string> = words.map.places;
  return Object.hasOwn(known, where) ? (known[where] ?? where) : where;
}

/** A hot spot in words: "hot spot, back", "hot spot, looked at on purpose: 4 of 5". */
export function spotText({ where, on_purpose: onPurpose, infested_plants: infested, plants_looked_at: looked }: MapHotSpot, speech: Speech): string {
  const { map: say } = speech.words;
  const place = where === '' ? say.spot : say.spotAt(placeText(where, speech));
  return onPurpose ? say.onPurpose(place, speech.format.of(infested, looked)) : place;
}

/** What is known of a block in a week, in words. */
export function blockText({ week, state }: BlockThen, { words, format }: Speech): string {
  if (!week?.share || state === 'empty' || state === 'not_looked_at') return words.map.state[state];
  return format.share(week.share);
}

/** How the house stands in a week, as sentences. Figures are marked. */
export function mapAnswer({ house, points, confidence_percent: confidence }: HouseMap, week: string, blocks: readonly BlockThen[], organism: string, speech: Speech): string {
  const { words, format } = speech;
  const say = words.map.answer;
  const of = (state: BlockThen['state']): number => blocks.filter((one) => one.state === state).length;
  const point = points.find((one) => one.week === week);
  const unseen = of('not_looked_at');
  if (!point) return unseen > 0 ? say.nobody(house, format.week(week), unseen) : say.nothing(house, format.week(week));
  const looked = of('none_found') + of('found');
  const seen = say.blocks(looked, looked + unseen);
  const over = blocks.filter((one) => one.over);
  const beside = blocks.filter((one) => one.beside.length > 0);
  const spots = blocks.filter((one) => one.spots.length > 0);
  const names = (some: readonly BlockThen[]): string => someNames(some.map(({ block }) => block.name), speech, 6);
  return [
    point.infested_plants === 0
      ? say.none(house, format.week(week), format.count(point.plants_looked_at), seen, organism, format.percent(confidence), format.percent(point.upper_percent))
      : say.some(house, format.week(week), format.of(point.infested_plants, point.plants_looked_at), seen, organism, weightedShare(point, speech)),
    ...(over.length > 0 ? [say.over(over.length, names(over))] : []),
    ...(beside.length > 0 ? [say.beside(beside.length, names(beside), over.length)] : []),
    ...(point.infested_plants > 0 && of('none_found') > 0 ? [say.noneIn(of('none_found'))] : []),
    ...(unseen > 0 ? [say.unseen(unseen)] : []),
    ...(spots.length > 0 ? [say.spots(names(spots))] : []),
  ].join(' ');
}
