import type { Rate, Shipment, StrikeGroup } from '../../contract.gen';
import type { Speech } from '../../trends/answers';
import { mark } from '../../trends/mark';
import { nameIn, type Names } from '../names';
import type { Grouping } from '../state';

/** Fewer plants than this look thin. */
export const fewPlants = 200;

/** A rate that was counted, with its interval. */
export type Counted = Rate & Required<Pick<Rate, 'percent' | 'lower_percent' | 'upper_percent'>>;

/** A rate with its interval; null where nothing was counted. */
export function counted(rate: Rate): Counted | null {
  const { percent, lower_percent: lower, upper_percent: upper } = rate;
  if (rate.of === 0 || percent === undefined || lower === undefined || upper === undefined) return null;
  return { ...rate, percent, lower_percent: lower, upper_percent: upper };
}

/** Whether a rate rests on few plants. */
export function isThin({ of }: Rate): boolean {
  return of < fewPlants;
}

/** By the lower limit of the loss, so that a few plants never lead by chance; at the same limit the group with more plants first. */
export function byCertainLoss(items: readonly StrikeGroup[]): StrikeGroup[] {
  const lower = ({ loss }: StrikeGroup): number => counted(loss)?.lower_percent ?? -1;
  return items.toSorted((a, b) => lower(b) - lower(a) || b.loss.of - a.loss.of || a.key.localeCompare(b.key));
}

/** "1,891 of 12,016 · 16 % (15–16)" */
export function rateText({ count, of, percent, lower_percent: lower, upper_percent: upper }: Counted, { words, format }: Speech): string {
  return words.trail.strikes.share(format.of(count, of), format.interval(percent, lower, upper));
}

/** What a group is called. */
export function groupName({ key }: Pick<StrikeGroup, 'key'>, by: Grouping, names: Names, shipments: ReadonlyMap<string, Shipment>, { words, format }: Speech): string {
  const { strikes: say, shipmentOf } = words.trail;
  if (key === 'unknown') return say.unknown;
  if (key === 'mixed') return say.mixed;
  if (by !== 'shipment') return nameIn({ supplier: names.suppliers, farm: names.farms, cultivar: names.cultivars }[by], key);
  const shipment = shipments.get(key);
  return shipment ? shipmentOf(nameIn(names.suppliers, shipment.supplier_id), format.date(shipment.arrived_on)) : words.common.unknown;
}

/** How many groups cannot have lost as much as this one lost at least. */
export function surelyLess(group: StrikeGroup, items: readonly StrikeGroup[]): number {
  const least = counted(group.loss)?.lower_percent ?? 0;
  return items.filter(({ key, loss }) => key !== group.key && (counted(loss)?.upper_percent ?? 100) < least).length;
}

/** Who lost most for certain, and what struck, figures marked; '' when nothing was received. */
export function strikesAnswer(items: readonly StrikeGroup[], nameOf: (group: StrikeGroup) => string, speech: Speech): string {
  const { strikes: say } = speech.words.trail;
  const received = items.filter(({ loss }) => counted(loss));
  const first = byCertainLoss(received)[0];
  const loss = first && counted(first.loss);
  if (!first || !loss) return '';
  const rooted = items.reduce((sum, { strike }) => sum + strike.count, 0);
  const stuck = items.reduce((sum, { strike }) => sum + strike.of, 0);
  const most =
    loss.count === 0
      ? say.noLoss
      : received.length === 1
        ? say.only(nameOf(first), rateText(loss, speech))
        : `${say.most(nameOf(first), rateText(loss, speech), speech.format.percent(loss.lower_percent))} ${say.surely(surelyLess(first, received), received.length - 1)}`;
  // Of all together no interval is shown, since none was worked out: the two counts stand for themselves.
  const struck = stuck === 0 ? mark(say.noRoots) : say.rooted(speech.format.of(rooted, stuck));
  return `${most} ${struck}`;
}
