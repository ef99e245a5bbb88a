import { useState } from 'preact/hooks';

import { fetchAll, lookTableAddress, save } from '../../api';
import type { Import, Site } from '../../contract.gen';
import { Button, Form, Loaded, notify, Section, Tag, TextField, useLoad } from '../../parts';
import { toProblem, type ApiProblem } from '../../problem';
import { format, words } from '../../words';

function Undo({ of, onDone, onLeave }: { of: Import; onDone: () => void; onLeave: () => void }) {
  const { imports, common } = words.value;
  const [why, setWhy] = useState('');
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const undo = async (): Promise<void> => {
    setBusy(true);
    try {
      await save('imports', of.id, { site_id: of.site_id, file_name: of.file_name, withdrawn_because: why.trim() }, of.version);
      notify(imports.undoneNow(of.looks));
      onDone();
    } catch (thrown) {
      setProblem(toProblem(thrown));
      setBusy(false);
    }
  };
  return (
    <Form problem={problem} onSubmit={() => void undo()} label={imports.undoOf(of.file_name)} class="import-undo">
      <p>{imports.undoLead(of.looks)}</p>
      <TextField label={imports.undoWhy} value={why} onValue={setWhy} pointer="/withdrawn_because" maxLength={500} />
      <div class="row">
        <Button type="submit" kind="strong" busy={busy} disabled={why.trim() === ''}>
          {busy ? imports.undoing : imports.undoNow(of.looks)}
        </Button>
        <Button kind="quiet" onClick={onLeave}>
          {common.cancel}
        </Button>
      </div>
    </Form>
  );
}

function One({ of, zone, onChange }: { of: Import; zone: string; onChange: () => void }) {
  const { imports } = words.value;
  const [undoing, setUndoing] = useState(false);
  const moment = format.value.moment(of.recorded_at, zone);
  return (
    <li>
      <p class="import-name">
        {of.file_name} {of.withdrawn_because && <Tag>{imports.undone}</Tag>}
      </p>
      <p>
        {imports.pastLine(of.looks, of.lines)}
        {of.first_on && of.last_on && `, ${imports.between(of.first_on, of.last_on)}`}
      </p>
      <p class="quiet">
        {of.withdrawn_because ? imports.undoneBecause(of.withdrawn_because, of.recorded_by.name, moment) : imports.by(of.recorded_by.name, moment)}
        {of.made > 0 && ` · ${imports.alsoMade(of.made)}`}
      </p>
      {!of.withdrawn_because && !undoing && (
        <Button kind="quiet" aria-label={imports.undoOf(of.file_name)} onClick={() => setUndoing(true)}>
          {imports.undo}
        </Button>
      )}
      {undoing && <Undo of={of} onDone={onChange} onLeave={() => setUndoing(false)} />}
    </li>
  );
}

/** What was brought in at the site, the latest first: who, when, how many, and the way to undo it. */
export function Past({ site }: { site: Site }) {
  const { imports } = words.value;
  const load = useLoad(async (signal) => (await fetchAll('imports', { site_id: site.id }, signal)).toSorted((a, b) => b.recorded_at.localeCompare(a.recorded_at)), [site.id]);
  return (
    <Section title={imports.past}>
      <p class="quiet">{imports.asTableLead}</p>
      <p>
        <a class="btn btn-plain" href={lookTableAddress({ site_id: site.id })} download>
          {imports.asTable}
        </a>
      </p>
      <Loaded of={load}>
        {(all) =>
          all.length === 0 ? (
            <p class="quiet">{imports.pastNone}</p>
          ) : (
            <ul class="import-past">
              {all.map((one) => (
                <One key={`${one.id} ${one.version}`} of={one} zone={site.time_zone} onChange={load.reload} />
              ))}
            </ul>
          )
        }
      </Loaded>
    </Section>
  );
}
