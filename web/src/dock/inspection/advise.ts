import type { Lot, SampleAdvice } from '../../contract.gen';
import { sampleToDetect, type Detection } from '../../local/detect';
import type { Asked } from './draft';

const sources: Record<Detection['method'], string> = {
  hypergeometric: 'ISPM 31 (FAO/IPPC, 2008), appendix 2: hypergeometric, infested units rounded down',
  'hypergeometric-sensitivity':
    'ISPM 31 (FAO/IPPC, 2008), appendix 2: hypergeometric, infested units rounded down; each infested unit in the sample recognised with the given sensitivity, exact sum',
};

/** How many plants of a lot to look at, as the server answers: worked out here, so that it is told before anything is counted also with no network. */
export function adviseSample({ id, plants }: Pick<Lot, 'id' | 'plants'>, { detection, confidence, sensitivity }: Asked): SampleAdvice {
  const { units, infestedUnits, reason, method, confidenceReached } = sampleToDetect(plants, detection / 100, confidence / 100, sensitivity / 100);
  const asked = { detection_percent: detection, confidence_percent: confidence, sensitivity_percent: sensitivity };
  return {
    lot_id: id,
    lot_size: plants,
    ...asked,
    plants: units,
    infested_units: infestedUnits,
    method,
    source: sources[method],
    reasons: [
      {
        code: reason ?? 'finds_level',
        numbers: {
          plants: units ?? 0,
          lot_size: plants,
          infested_units: infestedUnits,
          ...asked,
          confidence_reached_percent: Math.floor(1000 * confidenceReached) / 10,
        },
      },
    ],
  };
}
