import type { LabSample, LabSampleBody, Placement } from '../../contract.gen';
import { uuid7 } from '../../local/uuid7';
import { dateAt } from '../../local/zone';
import type { Format, Words } from '../../words';

export type LabResult = NonNullable<LabSampleBody['result']>;

/** The results in the order in which one wants to hear of them. */
export const labResults = ['found', 'waiting', 'not_found'] as const satisfies readonly LabResult[];

/** A sample as it is being typed. */
export interface LabDraft {
  id: string;
  lotId: string;
  takenAt: string | null;
  block: string | null;
  plants: number | null;
  sampleNumber: string;
  laboratory: string;
  lookedFor: string;
  result: LabResult;
  resultOn: string | null;
  reportNumber: string;
  note: string;
}

/** The blocks the lot stood in at a moment, with its plants there; of the chosen one nothing is lost. */
export function blocksAt(placements: readonly Placement[], at: string | null, chosen: string | null): { blockId: string; plants: number | null }[] {
  const moment = at === null ? null : Date.parse(at);
  const there = placements.filter(({ from, to }) => (moment === null ? !to : Date.parse(from) <= moment && (!to || moment < Date.parse(to))));
  const blocks = there.map(({ block_id, plants }) => ({ blockId: block_id, plants }));
  return chosen === null || blocks.some(({ blockId }) => blockId === chosen) ? blocks : [...blocks, { blockId: chosen, plants: null }];
}

/** A new sample of a lot; where it stands in one block, the sample is from there. */
export function newLabDraft(lotId: string, now: string, placements: readonly Placement[]): LabDraft {
  const [only, ...others] = blocksAt(placements, now, null);
  return {
    id: uuid7(),
    lotId,
    takenAt: now,
    block: only && others.length === 0 ? only.blockId : null,
    plants: null,
    sampleNumber: '',
    laboratory: '',
    lookedFor: '',
    result: 'waiting',
    resultOn: null,
    reportNumber: '',
    note: '',
  };
}

/** A stored sample, to be typed on. Its lot stays its own: the list of a lot has samples of lots it came from. */
export function labDraftOf(sample: LabSample): LabDraft {
  return {
    id: sample.id,
    lotId: sample.lot_id,
    takenAt: sample.taken_at,
    block: sample.block_id ?? null,
    plants: sample.plants ?? null,
    sampleNumber: sample.sample_number ?? '',
    laboratory: sample.laboratory ?? '',
    lookedFor: sample.looked_for ?? '',
    result: sample.result ?? 'waiting',
    resultOn: sample.result_on ?? null,
    reportNumber: sample.report_number ?? '',
    note: sample.note ?? '',
  };
}

/** What is sent. A sample that waits has no day and no report, whatever was typed before. */
export function labBodyOf(draft: LabDraft): LabSampleBody {
  const text = (member: string, typed: string) => (typed.trim() === '' ? {} : { [member]: typed.trim() });
  return {
    lot_id: draft.lotId,
    taken_at: draft.takenAt ?? '',
    result: draft.result,
    ...(draft.block !== null && { block_id: draft.block }),
    ...(draft.plants !== null && { plants: draft.plants }),
    ...text('sample_number', draft.sampleNumber),
    ...text('laboratory', draft.laboratory),
    ...text('looked_for', draft.lookedFor),
    ...(draft.result !== 'waiting' && draft.resultOn !== null && { result_on: draft.resultOn }),
    ...(draft.result !== 'waiting' && text('report_number', draft.reportNumber)),
    ...text('note', draft.note),
  };
}

/** A stored sample as it is sent again, withdrawn or not. */
export function labBodyAgain(sample: LabSample, withdrawn = sample.withdrawn_because ?? null): LabSampleBody {
  return { ...labBodyOf(labDraftOf(sample)), ...(withdrawn !== null && { withdrawn_because: withdrawn }) };
}

interface Speech {
  words: Words;
  f: Format;
  zone: string;
  blockOf: (id: string) => string;
}

/** What there is to say of one sample: when and where it was taken, and what came of it. */
export function labSentence(sample: LabSample, lotId: string, { words, f, zone, blockOf }: Speech): string {
  const said = words.dock.lab;
  const what = sample.looked_for;
  const outcome = {
    waiting: what ? said.waitingFor(what) : said.waiting,
    found: what ? said.foundIt(what) : said.found,
    not_found: what ? said.notFoundIt(what) : said.notFound,
  }[sample.result ?? 'waiting'];
  return [
    // A sample of another year is not of this season.
    said.taken(f.fullDate(dateAt(sample.taken_at, zone))),
    typeof sample.plants === 'number' ? said.fromPlants(sample.plants) : '',
    sample.lot_id === lotId ? '' : said.ofParent,
    sample.block_id ? said.inBlock(blockOf(sample.block_id)) : '',
    `: ${outcome}`,
    sample.result_on ? said.answered(f.fullDate(sample.result_on)) : '',
    '.',
  ].join('');
}

/** How many samples were sent and what came of them; what was withdrawn is not among them. */
export function labSummary(samples: readonly LabSample[], { words, f }: Pick<Speech, 'words' | 'f'>): string {
  const said = words.dock.lab;
  const standing = samples.filter((sample) => !sample.withdrawn_because);
  if (standing.length === 0) return said.none;
  const parts = labResults.flatMap((result) => {
    const n = standing.filter((sample) => (sample.result ?? 'waiting') === result).length;
    return n > 0 ? [said.tally[result](n)] : [];
  });
  return `${said.sent(standing.length)}: ${f.list(parts)}.`;
}
