import type { ComparedHouse, HouseComparison, LikeCrops } from '../contract.gen';
import type { Format } from '../words/format';
import type { Words } from '../words/dictionaries';

export interface Speech {
  words: Words;
  format: Format;
}

/** How many houses a sentence tells with their numbers, and how many it names. */
const told = 2;
const named = 6;

/** A house with its site, where several sites are shown. */
export function houseName({ name, site }: Pick<ComparedHouse, 'name' | 'site'>, several: boolean, { words }: Speech): string {
  return several ? words.houses.of(name, site) : name;
}

/** "+14 points (8 to 21)", without the sign where the words say the way. */
export function pointsText({ difference_percent: difference = 0, lower_percent: lower = 0, upper_percent: upper = 0 }: LikeCrops, { words, format }: Speech): string {
  return words.houses.points(format.signed(difference), signedOrZero(lower, format), signedOrZero(upper, format));
}

function signedOrZero(points: number, format: Format): string {
  return Math.abs(points) < 0.05 ? format.number(0) : format.signed(points);
}

function sizeOf({ difference_percent: difference = 0, lower_percent: lower = 0, upper_percent: upper = 0 }: LikeCrops, { words, format }: Speech): string {
  const ends = [Math.abs(lower), Math.abs(upper)].toSorted((a, b) => a - b);
  return words.houses.answer.points(format.number(Math.abs(difference)), format.number(ends[0] ?? 0), format.number(ends[1] ?? 0));
}

/** The period of the comparison: "W37", "W27 to W38". */
export function spanText({ from_week: from, to_week: to }: HouseComparison, { words, format }: Speech): string {
  return words.houses.span(format.week(from), format.week(to));
}

/** Whether houses of several sites are shown. */
export function hasSeveralSites(houses: readonly ComparedHouse[]): boolean {
  return new Set(houses.map(({ site_id: site }) => site)).size > 1;
}

/** Which houses really differ and which cannot be told apart, with their numbers. Figures are marked. */
export function housesAnswer(comparison: HouseComparison, speech: Speech): string {
  const { houses, compared, fewest_effective: least, false_discovery_percent: discovery } = comparison;
  const { words, format } = speech;
  const say = words.houses.answer;
  const several = hasSeveralSites(houses);
  const name = (house: ComparedHouse): string => houseName(house, several, speech);
  const names = (of: readonly ComparedHouse[], text = name): string => {
    const rest = of.length - named;
    return format.list(rest > 1 ? [...of.slice(0, named).map(text), say.andMore(rest)] : of.map(text));
  };
  const withVerdict = (verdict: ComparedHouse['verdict']): ComparedHouse[] => houses.filter((house) => house.verdict === verdict);
  const [only] = houses;
  if (houses.length === 1 && only?.share) return say.one(name(only), format.share(only.share));
  const higher = withVerdict('higher').toSorted((a, b) => (b.like.lower_percent ?? 0) - (a.like.lower_percent ?? 0));
  const lower = withVerdict('lower').toSorted((a, b) => (a.like.upper_percent ?? 0) - (b.like.upper_percent ?? 0));
  const alike = withVerdict('alike');
  const tell = (house: ComparedHouse, way: typeof say.higher): string =>
    way(name(house), house.share ? format.share(house.share) : '', sizeOf(house.like, speech), format.percent(house.like.others_percent ?? 0));
  const differing = higher.length + lower.length;
  const counts = (house: ComparedHouse): string => `${name(house)} (${format.of(house.share?.infested_plants ?? 0, house.share?.plants_looked_at ?? 0)})`;
  const [few, unlike, unlooked] = [withVerdict('too_few'), withVerdict('unlike'), withVerdict('not_looked').filter(({ walked }) => walked.weeks > 0)];
  const sentences = [
    ...higher.slice(0, told).map((house) => tell(house, say.higher)),
    ...(higher.length > told ? [say.moreHigher(higher.length - told)] : []),
    ...lower.slice(0, told).map((house) => tell(house, say.lower)),
    ...(lower.length > told ? [say.moreLower(lower.length - told)] : []),
    ...(compared > 0 && differing === 0 ? [say.none, say.noneNote] : []),
    ...(differing > 0 ? [say.chance(Math.round((differing * discovery) / 100))] : []),
    ...(differing > 0 && alike.length > 0 ? [say.alike(alike.length, names(alike))] : []),
    ...(few.length > 0 ? [say.tooFew(few.length, names(few, counts), least)] : []),
    ...(unlike.length > 0 ? [say.unlike(names(unlike))] : []),
    ...(unlooked.length > 0 ? [say.notLooked(names(unlooked))] : []),
  ];
  return say.start(spanText(comparison, speech), compared) + sentences.join(' ');
}

/** Where a house lies against its funnel limits. */
export function isOutside({ funnel }: ComparedHouse): boolean {
  return funnel.plants > 0 && (funnel.percent > funnel.upper_percent || funnel.percent < funnel.lower_percent);
}
