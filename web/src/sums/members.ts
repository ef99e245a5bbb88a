/** The sums, in the order of the page; named as in the contract. */
export const sumIds = ['sample-size', 'proportion', 'difference', 'stop-lines', 'degree-days'] as const;

export type SumId = (typeof sumIds)[number];

/** One thing a sum is asked with: a whole number, any number or one of a few words. The example is what the page opens with. */
export type Member =
  | { name: string; kind: 'count' | 'number'; example: string; unit?: '%'; optional?: true }
  | { name: string; kind: 'choice'; example: string; choices: readonly string[] };

const confidence: Member = { name: 'confidence_percent', kind: 'number', example: '95', unit: '%' };

/** What each sum is asked with, by the contract's names. */
export const members: Record<SumId, readonly Member[]> = {
  'sample-size': [
    { name: 'lot_size', kind: 'count', example: '1000' },
    { name: 'detection_percent', kind: 'number', example: '5', unit: '%' },
    confidence,
    { name: 'sensitivity_percent', kind: 'number', example: '100', unit: '%', optional: true },
  ],
  proportion: [
    { name: 'examined', kind: 'count', example: '18' },
    { name: 'infested', kind: 'count', example: '4' },
    { ...confidence, optional: true },
    { name: 'method', kind: 'choice', example: 'wilson', choices: ['wilson', 'clopper-pearson', 'jeffreys'] },
  ],
  difference: [
    { name: 'examined_a', kind: 'count', example: '60' },
    { name: 'infested_a', kind: 'count', example: '12' },
    { name: 'examined_b', kind: 'count', example: '60' },
    { name: 'infested_b', kind: 'count', example: '3' },
    { ...confidence, optional: true },
  ],
  'stop-lines': [
    { name: 'acceptable_percent', kind: 'number', example: '5', unit: '%' },
    { name: 'action_percent', kind: 'number', example: '15', unit: '%' },
    { name: 'alpha', kind: 'number', example: '0.1' },
    { name: 'beta', kind: 'number', example: '0.1' },
    { name: 'maximum', kind: 'count', example: '100' },
  ],
  'degree-days': [
    { name: 'minimum', kind: 'number', example: '15' },
    { name: 'maximum', kind: 'number', example: '27' },
    { name: 'lower', kind: 'number', example: '10' },
    { name: 'upper', kind: 'number', example: '', optional: true },
    { name: 'method', kind: 'choice', example: 'single-sine', choices: ['single-sine', 'average'] },
    { name: 'unit', kind: 'choice', example: 'C', choices: ['C', 'F'] },
  ],
};
