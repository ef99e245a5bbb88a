import { useState } from 'preact/hooks';

import { fetchAll, save } from '../../api';
import type { LabSample, LabSampleBody, Lot, Placement } from '../../contract.gen';
import { atZone, dateAt } from '../../local/zone';
import { Button, Loaded, Notice, notify, ProblemNotice, Section, useLoad } from '../../parts';
import { problemText, toProblem } from '../../problem';
import { serverNow } from '../../session';
import { format, words } from '../../words';
import { Marked } from '../shared/marked';
import { useSaving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import { Withdraw } from '../shared/withdraw';
import { labBodyAgain, labDraftOf, labSentence, labSummary, newLabDraft } from './lab-sample';
import { LabSampleForm } from './lab-sample-form';
import { blockName, loadPlaces, type Places } from './places';

interface Found {
  samples: LabSample[];
  placements: Placement[];
  places: Places;
}

async function fetchFound(lot: Lot, signal: AbortSignal): Promise<Found> {
  const [samples, placements, places] = await Promise.all([
    fetchAll('lab-samples', { lot_id: lot.id }, signal),
    fetchAll('placements', { lot_id: lot.id }, signal),
    loadPlaces(lot.site_id, signal),
  ]);
  return { samples: samples.toSorted((a, b) => Date.parse(b.taken_at) - Date.parse(a.taken_at) || b.id.localeCompare(a.id)), placements, places };
}

interface PartProps {
  lot: Lot;
  found: Found;
  changed: () => void;
}

/** Says what was saved, and offers to put things as they were. */
function tellSaved(text: string, stored: LabSample, before: LabSampleBody, changed: () => void): void {
  const undo = async (): Promise<void> => {
    try {
      await save('lab-samples', stored.id, before, stored.version);
      notify(words.value.common.undone);
      changed();
    } catch (thrown) {
      notify(problemText(toProblem(thrown), words.value));
    }
  };
  notify(text, { undo: () => void undo() });
}

function Item({ sample, lot, found, changed }: PartProps & { sample: LabSample }) {
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
      await save('lab-samples', sample.id, labBodyAgain(sample, because), sample.version);
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
          zone={zone}
          places={found.places}
          placements={found.placements}
          onSaved={(stored) => {
            tellSaved(said.corrected, stored, labBodyAgain(sample), changed);
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
      {withdrawn === null && (
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

function Content({ lot, found, changed }: PartProps) {
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
      <p>
        <Marked text={labSummary(found.samples, { words: words.value, f: format.value })} />
      </p>
      {(adding || suspected) && (
        <Notice kind="doubt" title={said.cautionTitle}>
          <p>{said.caution}</p>
        </Notice>
      )}
      {adding ? (
        <LabSampleForm
          start={newLabDraft(lot.id, atZone(serverNow(), zone), found.placements)}
          label={said.add}
          zone={zone}
          places={found.places}
          placements={found.placements}
          onSaved={(stored) => {
            tellSaved(said.saved, stored, labBodyAgain(stored, dock.withdraw.byMistake), changed);
            close();
          }}
          onCancel={() => setAdding(false)}
          onReload={close}
        />
      ) : (
        <div>
          <Button onClick={() => setAdding(true)}>{said.add}</Button>
        </div>
      )}
      {found.samples.length > 0 && (
        <ol class="dock-list">
          {found.samples.map((sample) => (
            <Item key={sample.id} sample={sample} lot={lot} found={found} changed={changed} />
          ))}
        </ol>
      )}
    </>
  );
}

/** The samples of a lot that went to a laboratory, with those of the lots it came from. */
export function LabSamples({ lot }: { lot: Lot }) {
  const load = useLoad((signal) => fetchFound(lot, signal), [lot.id, lot.version]);
  return (
    <Section title={words.value.dock.lab.title}>
      <Loaded of={load}>{(found) => <Content lot={lot} found={found} changed={load.reload} />}</Loaded>
    </Section>
  );
}
