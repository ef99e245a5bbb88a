import type { FindingReading, InspectionBody, InspectionReading, Reason } from '../../contract.gen';
import { ruledOut, sampleToDetect } from '../../local/detect';
import { wilson } from '../../walk/wilson';
import { usualAsked } from './draft';

/** What a reading needs besides the inspection. */
export interface Known {
  lotPlants: number;
  mainOrganismId: string;
  /** The limit on the main organism at arrival, in percent; 0 when none is set. */
  limitPercent: number;
  isRegulated: (organismId: string) => boolean;
}

type Suggestion = InspectionReading['suggestion'];

const order: readonly Suggestion[] = ['accept', 'accept_and_watch', 'hold', 'reject'];

/** Bounds of the suggestion, as the server has them (`domain/arrival/reading.go`). */
const poorShare = 10;
const lostShare = 50;
const heavilyInfested = 20;

/** A reason, and what it asks for. */
type Weighed = [Suggestion, Reason];

interface Asked {
  detection: number;
  confidence: number;
  sensitivity: number;
}

function askedOf(body: InspectionBody): Asked {
  return {
    detection: body.detection_percent ?? usualAsked.detection,
    confidence: body.confidence_percent ?? usualAsked.confidence,
    sensitivity: body.sensitivity_percent ?? usualAsked.sensitivity,
  };
}

function findingOf(finding: InspectionBody['findings'][number], lotPlants: number, { confidence, sensitivity }: Asked): FindingReading {
  const { organism_id, plants_looked_at, infested_plants } = finding;
  const { lower, upper } = wilson(infested_plants, plants_looked_at, confidence);
  const share = infested_plants === 0 && plants_looked_at > 0 ? ruledOut(lotPlants, plants_looked_at, confidence / 100, sensitivity / 100) : null;
  return {
    organism_id,
    plants_looked_at,
    infested_plants,
    infested_percent: plants_looked_at > 0 ? (100 * infested_plants) / plants_looked_at : 0,
    lower_percent: lower,
    upper_percent: upper,
    rules_out_percent: share === null ? null : 100 * share,
  };
}

function againstLimit({ lower_percent, upper_percent }: FindingReading, limit: number): [Suggestion, string] {
  if (lower_percent > heavilyInfested) return ['reject', 'heavily_infested'];
  if (limit === 0) return ['accept_and_watch', 'found'];
  if (lower_percent > limit) return ['hold', 'above_limit'];
  return ['accept_and_watch', upper_percent <= limit ? 'below_limit' : 'spans_limit'];
}

function weighFinding(read: FindingReading, known: Known): Weighed[] {
  const { organism_id, rules_out_percent, plants_looked_at, infested_plants, infested_percent, lower_percent, upper_percent } = read;
  const numbers = { infested_plants, plants_looked_at, infested_percent, lower_percent, upper_percent };
  if (infested_plants === 0) {
    const ruled = rules_out_percent ?? 0;
    return [[ruled === 0 ? 'accept_and_watch' : 'accept', { code: 'none_found', organism_id, numbers: { ...numbers, rules_out_percent: ruled } }]];
  }
  if (organism_id === known.mainOrganismId) {
    const [suggestion, code] = againstLimit(read, known.limitPercent);
    return [[suggestion, { code, organism_id, numbers: { ...numbers, limit_percent: known.limitPercent } }]];
  }
  return [
    ['accept_and_watch', { code: 'found', organism_id, numbers }],
    ...(known.isRegulated(organism_id) ? [['hold', { code: 'regulated_suspected', organism_id }] satisfies Weighed] : []),
  ];
}

function weighSample(body: InspectionBody, known: Known, { detection, confidence, sensitivity }: Asked): Weighed[] {
  const weighed: Weighed[] = body.lens_power ? [] : [['accept_and_watch', { code: 'no_lens' }]];
  const main = body.findings.find(({ organism_id }) => organism_id === known.mainOrganismId);
  if (!main) return [...weighed, ['accept_and_watch', { code: 'main_organism_not_looked_for', organism_id: known.mainOrganismId }]];
  const sample = sampleToDetect(known.lotPlants, detection / 100, confidence / 100, sensitivity / 100);
  const plants_asked = sample.units ?? known.lotPlants; // no part of the lot would do
  if (main.plants_looked_at >= plants_asked) return weighed;
  const numbers = { plants_looked_at: main.plants_looked_at, plants_asked, detection_percent: detection, confidence_percent: confidence };
  return [...weighed, ['accept_and_watch', { code: 'sample_smaller_than_asked', organism_id: main.organism_id, numbers }]];
}

const sumOf = (...counts: (number | undefined)[]): number => counts.reduce<number>((sum, count) => sum + (count ?? 0), 0);

function weighShares(body: InspectionBody, confidence: number): Weighed[] {
  const { condition, roots, leaf_spots: spots, other_diseases: diseases } = body;
  const shares: { code: string; withIt: number; of: number; worst: Suggestion }[] = [
    ...(condition
      ? [{ code: 'condition_poor', withIt: sumOf(condition.badly_damaged, condition.unusable), of: sumOf(...Object.values(condition)), worst: 'reject' as const }]
      : []),
    ...(roots ? [{ code: 'roots_poor', withIt: sumOf(roots.brown, roots.none), of: sumOf(...Object.values(roots)), worst: 'hold' as const }] : []),
    ...(spots ? [{ code: 'leaf_spots', withIt: spots.plants_with, of: spots.plants_looked_at, worst: 'hold' as const }] : []),
    ...(diseases ?? []).map((one) => ({ code: 'other_disease', withIt: one.plants_with, of: one.plants_looked_at, worst: 'hold' as const })),
  ];
  return shares
    .filter(({ withIt, of }) => withIt > 0 && of > 0)
    .map(({ code, withIt, of, worst }): Weighed => {
      const { lower, upper } = wilson(withIt, of, confidence);
      const numbers = { plants_with: withIt, plants_looked_at: of, percent: (100 * withIt) / of, lower_percent: lower, upper_percent: upper };
      return [lower > lostShare ? worst : lower > poorShare ? 'hold' : 'accept_and_watch', { code, numbers }];
    });
}

/**
 * What an inspection means for its lot, worked out on the phone by the rules of the server
 * (`domain/arrival/reading.go`): the suggestion is the most cautious one that a reason asks
 * for; only a suspected regulated organism is always held.
 */
export function readInspection(body: InspectionBody, given: Known): InspectionReading {
  const asked = askedOf(body);
  const known = { ...given, lotPlants: Math.max(given.lotPlants, ...body.findings.map(({ plants_looked_at }) => plants_looked_at)) };
  const findings = body.findings.map((finding) => findingOf(finding, known.lotPlants, asked));
  const weighed = [...findings.flatMap((read) => weighFinding(read, known)), ...weighSample(body, known, asked), ...weighShares(body, asked.confidence)];
  const suspected = weighed.some(([, { code }]) => code === 'regulated_suspected');
  const most = order.findLast((suggestion) => weighed.some(([asks]) => asks === suggestion)) ?? 'accept';
  return {
    confidence_percent: asked.confidence,
    method: 'wilson',
    suggestion: suspected ? 'hold' : most,
    reasons: weighed.map(([, reason]) => reason),
    findings,
  };
}
