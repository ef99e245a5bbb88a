import { useState } from 'preact/hooks';

import { fetchAll } from '../../api';
import type { Author, LabSample, LabSampleBody, Lot, Placement } from '../../contract.gen';
import { madeMoment } from '../../local/clock';
import type { Waiting } from '../../local/db';
import { outbox } from '../../local/outbox';
import { atZone, dateAt } from '../../local/zone';
import { Busy, Button, Notice, notify, ProblemNotice, Section, useLoad, Writing } from '../../parts';
import { problemText, toProblem } from '../../problem';
import { readsOnly, serverNow, session } from '../../session';
import { format, words } from '../../words';
import { Marked } from '../shared/marked';
import { isSilent, save, useSaving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import { Withdraw } from '../shared/withdraw';
import { labBodyAgain, labDraftOf, labSentence, labSummary, newLabDraft } from './lab-sample';
import { LabSampleForm, type LabSaved } from './lab-sample-form';
import type { Found as LotFound } from './life/found';
import { blockName, type Places } from './places';

interface Found {
  samples: LabSample[];
  /** Whether all that were sent are here; else what waits on this phone. */
  whole: boolean;
  placements: readonly Placement[];
  places: Places;
}

/** A sample that waits on this phone. */
function sampleOf(waiting: Waiting, siteId: string, who: Author): LabSample {
  const body = waiting.body as LabSampleBody; // put there by this page
  return { ...body, id: waiting.id, version: (waiting.if_match ?? 0) + 1, recorded_at: madeMoment(waiting), recorded_by: who, site_id: siteId };
}

/** Samples with those that wait, the newest first. */
function withWaiting(samples: readonly LabSample[], lot: Lot): LabSample[] {
  const { id = '', name = '' } = session.value?.person ?? {};
  const all = new Map(samples.map((sample) => [sample.id, sample]));
  for (const waiting of outbox.value) {
    if (waiting.noun === 'lab-samples' && waiting.body.lot_id === lot.id) all.set(waiting.id, sampleOf(waiting, lot.site_id, { id, name }));
  }
  return [...all.values()].toSorted((a, b) => Date.parse(b.taken_at) - Date.parse(a.taken_at) || b.id.localeCompare(a.id));
}

interface PartProps {
  lot: Lot;
  found: Found;
  /** What a person calls the lot. */
  title: string;
  changed: () => void;
}

/** Says what was saved, and offers to put things as they were. */
function tellSaved(text: string, { id, version }: LabSaved, before: LabSampleBody, title: string, changed: () => void): void {
  const undo = async (): Promise<void> => {
    try {
      await save('lab-samples', id, before, version, title);
      notify(words.value.common.undone);
      changed();
    } catch (thrown) {
      notify(problemText(toProblem(thrown), words.value));
    }
  };
  notify(text, { undo: () => void undo() });
}

function Item({ sample, lot, found, title, changed }: PartProps & { sample: LabSample }) {
  const { dock, common } = words.value;
  const said = dock.lab;
  const zone = zoneOf(lot.site_id);
  const [open, setOpen] = useState(false);
  const saving = useSaving();
  const withdrawn = sample.withdrawn_because ?? null;
  const day = format.value.fullDate(dateAt(sample.taken_at, zone));
  const waits = (sample.result ?? 'waiting') === 'waiting';
  const set = (because: string | null): void =>
    void saving.run(async () => {
      await save('lab-samples', sample.id, labBodyAgain(sample, because), sample.version, title);
      notify(because === null ? dock.withdraw.restored : dock.withdraw.done);
      changed();
    });
  if (open) {
    const close = (): void => {
      setOpen(false);
      changed();
    };
    return (
      <li class="dock-move">
        <LabSampleForm
          start={labDraftOf(sample)}
          sample={sample}
          label={said.correct(day)}
          title={title}
          zone={zone}
          places={found.places}
          placements={found.placements}
          onSaved={(stored) => {
            tellSaved(said.corrected, stored, labBodyAgain(sample), title, changed);
            close();
          }}
          onCancel={() => setOpen(false)}
          onReload={close}
        />
      </li>
    );
  }
  const speech = { words: words.value, f: format.value, zone, blockOf: (id: string) => blockName(found.places, id) };
  const details = [
    sample.sample_number && said.sample(sample.sample_number),
    sample.laboratory,
    sample.report_number && said.report(sample.report_number),
    sample.recorded_by.name,
    sample.note,
  ];
  return (
    <li class={withdrawn === null ? 'dock-move' : 'dock-move dock-move-withdrawn'}>
      <p>
        <Marked text={labSentence(sample, lot.id, speech)} />
      </p>
      <p class="quiet">{details.filter(Boolean).join(' · ')}</p>
      {withdrawn !== null && <p>{dock.withdraw.notice(withdrawn)}</p>}
      {saving.problem && <ProblemNotice problem={saving.problem} onReload={changed} />}
      {withdrawn === null && !readsOnly() && (
        <div>
          <Button aria-label={waits ? said.resultOf(day) : said.correct(day)} onClick={() => setOpen(true)}>
            {waits ? said.addResult : common.correct}
          </Button>
        </div>
      )}
      <Withdraw withdrawn={withdrawn} busy={saving.busy} onWithdraw={set} onRestore={() => set(null)} />
    </li>
  );
}

function Content({ lot, found, title, changed }: PartProps) {
  const { dock } = words.value;
  const said = dock.lab;
  const zone = zoneOf(lot.site_id);
  const [adding, setAdding] = useState(false);
  const close = (): void => {
    setAdding(false);
    changed();
  };
  const suspected = found.samples.some((sample) => sample.result !== 'not_found' && !sample.withdrawn_because);
  return (
    <>
      <p>{found.whole ? <Marked text={labSummary(found.samples, { words: words.value, f: format.value })} /> : dock.life.notWhole}</p>
      {(adding || suspected) && (
        <Notice kind="doubt" title={said.cautionTitle}>
          <p>{said.caution}</p>
        </Notice>
      )}
      {adding ? (
        <LabSampleForm
          start={newLabDraft(lot.id, atZone(serverNow(), zone), found.placements)}
          label={said.add}
          title={title}
          zone={zone}
          places={found.places}
          placements={found.placements}
          onSaved={(stored) => {
            tellSaved(said.saved, stored, { ...stored.body, withdrawn_because: dock.withdraw.byMistake }, title, changed);
            close();
          }}
          onCancel={() => setAdding(false)}
          onReload={close}
        />
      ) : (
        <Writing>
          <div>
            <Button onClick={() => setAdding(true)}>{said.add}</Button>
          </div>
        </Writing>
      )}
      {found.samples.length > 0 && (
        <ol class="dock-list">
          {found.samples.map((sample) => (
            <Item key={sample.id} sample={sample} lot={lot} found={found} title={title} changed={changed} />
          ))}
        </ol>
      )}
    </>
  );
}

/** The samples of a lot that went to a laboratory, with those of the lots it came from. */
export function LabSamples({ of: { lot, life, places }, title }: { of: LotFound; title: string }) {
  const load = useLoad((signal) => fetchAll('lab-samples', { lot_id: lot.id }, signal), [lot.id, lot.version]);
  const whole = load.data !== undefined;
  const found = { samples: withWaiting(load.data ?? [], lot), whole, placements: life.placements, places };
  return (
    <Section title={words.value.dock.lab.title}>
      {load.problem && !isSilent(load.problem) && <ProblemNotice problem={load.problem} onRetry={load.reload} />}
      {load.loading && !whole ? <Busy /> : <Content lot={lot} found={found} title={title} changed={load.reload} />}
    </Section>
  );
}
