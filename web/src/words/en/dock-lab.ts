import { formatIn } from '../format';

const f = formatIn('en');

/** Samples of a lot sent to a laboratory. `**` stands around what is set in bold; parts of a sentence bring their own blank. */
export const dockLab = {
  title: 'Laboratory samples',
  none: 'No sample of this lot has gone to a laboratory.',
  sent: (n: number) => `**${f.plural(n, 'sample', 'samples')}** sent to a laboratory`,
  tally: {
    found: (n: number) => `**found** in ${f.count(n)}`,
    not_found: (n: number) => `**not found** in ${f.count(n)}`,
    waiting: (n: number) => `**waiting** for ${f.count(n)}`,
  },
  cautionTitle: 'Only a laboratory confirms',
  caution:
    'What is seen by eye is a suspicion. If you suspect a regulated pest: stop, hold the lot where it is, move, sell or discard no plants, and call the plant health authority. It says what is regulated and what follows.',

  taken: (moment: string) => `Taken ${moment}`,
  fromPlants: (n: number) => ` from ${f.plural(n, 'plant', 'plants')}`,
  inBlock: (block: string) => ` in ${block}`,
  ofParent: ' of the lot it came from',
  waiting: '**waiting** for the result',
  waitingFor: (what: string) => `**waiting** for the result on ${what}`,
  found: '**found** what was looked for',
  foundIt: (what: string) => `**found**: ${what}`,
  notFound: '**not found** in this sample what was looked for',
  notFoundIt: (what: string) => `**not found** in this sample: ${what}`,
  answered: (day: string) => ` (result of ${day})`,
  sample: (number: string) => `sample ${number}`,
  report: (number: string) => `report ${number}`,

  add: 'Write down a sample',
  correct: (moment: string) => `Correct the sample taken ${moment}`,
  addResult: 'Enter the result',
  resultOf: (moment: string) => `Enter the result of the sample taken ${moment}`,
  takenAt: 'Taken',
  block: 'From block',
  blockHint: 'Where the lot stood then.',
  noBlock: 'several, or not known',
  plants: 'Plants it was taken from',
  sampleNumber: 'Sample number',
  sampleNumberHint: 'As it stands on the bag and on the form.',
  laboratory: 'Laboratory',
  lookedFor: 'Looked for',
  lookedForHint: 'The pest or disease the laboratory was asked about.',
  result: 'Result',
  results: { waiting: 'Waiting', found: 'Found', not_found: 'Not found' },
  resultHint: 'What the report says, nothing else. Not found speaks for this sample, not for the rest of the lot.',
  resultOn: 'Day of the result',
  reportNumber: 'Report number',
  note: 'Note',
  saved: 'Sample written down.',
  corrected: 'Sample corrected.',
};
