import { upperPercent } from '../dock-percent';
import { formatIn } from '../format';

/** The numbers that come with a reason, by name; 0 where one is missing. */
export type Figures = (name: string) => number;

const f = formatIn('en');
const found = (n: Figures) => f.of(n('infested_plants'), n('plants_looked_at'));
const share = (n: Figures) => f.interval(n('infested_percent'), n('lower_percent'), n('upper_percent'));
const worse = (n: Figures) =>
  `${f.of(n('plants_with'), n('plants_looked_at'))} plants, ${f.interval(n('percent'), n('lower_percent'), n('upper_percent'))}`;

/** Each reason of the server in a sentence. */
export const dockReasons = {
  none_found: (n, organism) =>
    n('rules_out_percent') === 0
      ? `${found(n)} plants had ${organism}, but so few plants rule out nothing.`
      : `${found(n)} plants had ${organism}: ${upperPercent(f, n('rules_out_percent'))} or more infested is unlikely.`,
  found: (n, organism) => `${found(n)} plants had ${organism}, ${share(n)}.`,
  regulated_suspected: (_n, organism) =>
    `${organism} is regulated in some places. Hold the lot and call the plant health authority; a laboratory confirms.`,
  heavily_infested: (n, organism) =>
    `${found(n)} plants had ${organism}, ${share(n)}: even the low end is above one in five, too many to bring in (common practice).`,
  above_limit: (n, organism) =>
    `${found(n)} plants had ${organism}, ${share(n)}: all of that is above the limit of ${f.percent(n('limit_percent'))}.`,
  below_limit: (n, organism) =>
    `${found(n)} plants had ${organism}, ${share(n)}: all of that is within the limit of ${f.percent(n('limit_percent'))}.`,
  spans_limit: (n, organism) =>
    `${found(n)} plants had ${organism}, ${share(n)}: too close to the limit of ${f.percent(n('limit_percent'))} to say. More plants would tell.`,
  no_lens: () => 'No lens was used, so eggs were not seen: worth a second look.',
  sample_smaller_than_asked: (n) =>
    `${f.of(n('plants_looked_at'), n('plants_asked'))} plants of the sample were looked at: less is ruled out than was asked (${f.percent(n('detection_percent'))} with ${f.percent(n('confidence_percent'))} confidence).`,
  main_organism_not_looked_for: (_n, organism) => `Nobody looked for ${organism}, the main pest: it is not ruled out.`,
  condition_poor: (n) => `Badly damaged or unusable: ${worse(n)}.`,
  roots_poor: (n) => `Brown roots or none: ${worse(n)}.`,
  leaf_spots: (n) => `Leaf spots: ${worse(n)}.`,
  other_disease: (n) => `Another disease: ${worse(n)}.`,
  finds_level: (n) =>
    n('sensitivity_percent') < 100
      ? `Look at **${f.of(n('plants'), n('lot_size'))} plants**: if ${f.percent(n('detection_percent'))} are infested and you recognise ${f.percent(n('sensitivity_percent'))} of those, you find at least one with ${f.percent(n('confidence_percent'))} confidence.`
      : `Look at **${f.of(n('plants'), n('lot_size'))} plants**: if ${f.percent(n('detection_percent'))} are infested, you find at least one with ${f.percent(n('confidence_percent'))} confidence.`,
  no_infested_unit: (n) =>
    `${f.percent(n('detection_percent'))} of ${f.plural(n('lot_size'), 'plant', 'plants')} is less than one plant: no sample can find that. **Look at every plant**, or ask for a higher level.`,
  sensitivity_too_low: (n) =>
    `Even with **all ${f.plural(n('lot_size'), 'plant', 'plants')}** you reach ${f.percent(n('confidence_reached_percent'))} confidence, not ${f.percent(n('confidence_percent'))}: too many infested ones would be overlooked. Look at all of them, with a better lens, or ask for a higher level.`,
  sample_too_small: () => 'So few plants rule out nothing.',
  no_history: () => 'Nothing of this origin has been inspected before.',
  past_finds: (n) =>
    `${f.of(n('lots_with_finds'), n('lots'))} earlier lots of this origin carried the main pest.`,
  farm_not_known: () => 'Its farm is not known.',
  light_foliage: () => 'Light foliage: whitefly builds up faster on it.',
} satisfies Record<string, (n: Figures, organism: string) => string>;
