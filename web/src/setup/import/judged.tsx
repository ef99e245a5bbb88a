import { useState } from 'preact/hooks';

import { client, read, save } from '../../api';
import type { ImportReading, Site } from '../../contract.gen';
import { uuid7 } from '../../local/uuid7';
import { Answer, Button, Busy, CheckField, Loaded, Notice, notify, ProblemNotice, say, useLoad } from '../../parts';
import { toProblem, type ApiProblem } from '../../problem';
import { format, words } from '../../words';
import { bodyOf, makeable, nothingSaid, type Choices } from './choices';
import { Columns } from './columns';
import { Faults } from './faults';
import type { Chosen } from './file';
import { Names } from './names';
import { Written } from './written';

interface Props {
  site: Site;
  file: Chosen;
  onStored: () => void;
}

/** What is made along with the looks, as "2 houses and 7 blocks". */
function madeOf(reading: ImportReading): string {
  const { imports } = words.value;
  const parts = makeable.flatMap((kind) => {
    const n = reading.names.filter((name) => name.kind === kind && name.made).length;
    return n > 0 ? [imports.countOf[kind](n)] : [];
  });
  return format.value.list(parts);
}

function Verdict({ reading }: { reading: ImportReading }) {
  const { imports } = words.value;
  if (reading.bad_lines > 0) return <Answer>{imports.bad(reading.bad_lines, reading.lines)}</Answer>;
  if (reading.faults.length > 0) return <Answer>{imports.wrongFile}</Answer>;
  if (reading.looks === 0) return <Answer>{imports.nothing}</Answer>;
  const made = madeOf(reading);
  return (
    <Answer>
      {imports.good(reading.looks, reading.lines)} {made !== '' && imports.made(made)}
    </Answer>
  );
}

/** The last step: one button, and how it goes. */
function Store({ site, file, choices, reading, change, onStored }: Props & { choices: Choices; reading: ImportReading; change: (part: Partial<Choices>) => void }) {
  const { imports } = words.value;
  const [id] = useState(() => uuid7());
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const same = reading.same[0];
  const store = async (): Promise<void> => {
    setBusy(true);
    setProblem(null);
    say(imports.storing(reading.looks));
    try {
      await save('imports', id, bodyOf(site.id, file, choices));
      notify(imports.stored(reading.looks));
      onStored();
    } catch (thrown) {
      setProblem(toProblem(thrown));
      setBusy(false);
    }
  };
  return (
    <div class="import-store">
      {same && (
        <Notice kind="doubt">
          <p>{imports.same(same.file_name, same.recorded_by.name, format.value.moment(same.recorded_at, site.time_zone))}</p>
          <CheckField label={imports.again} checked={choices.again === true} onChecked={(again) => change({ again })} />
        </Notice>
      )}
      {problem && <ProblemNotice problem={problem} />}
      <Button kind="primary" busy={busy} disabled={same !== undefined && choices.again !== true} onClick={() => void store()}>
        {imports.store(reading.looks)}
      </Button>
      {busy && (
        <label class="progress">
          <span>{imports.storing(reading.looks)}</span>
          <progress />
        </label>
      )}
    </div>
  );
}

/** A file as it was understood: the answer first, then what a person can say about it, then every bad line. */
export function Judged({ site, file, onStored }: Props) {
  const { imports } = words.value;
  const [choices, setChoices] = useState<Choices>(nothingSaid);
  const change = (part: Partial<Choices>): void => setChoices((before) => ({ ...before, ...part }));
  const asked: Choices = { ...choices, again: undefined }; // no question of how it is read
  const load = useLoad((signal) => read(client.POST('/import-readings', { body: bodyOf(site.id, file, asked), signal })), [JSON.stringify(asked)]);
  const may = (reading: ImportReading): boolean => !load.loading && reading.faults.length === 0 && reading.looks > 0;
  return (
    <>
      {load.loading && <Busy label={imports.reading} />}
      <Loaded of={load}>
        {(reading) => (
          <div aria-busy={load.loading}>
            <div role="status">
              <Verdict reading={reading} />
            </div>
            {may(reading) && <Store site={site} file={file} choices={choices} reading={reading} change={change} onStored={onStored} />}
            {reading.headings.length > 0 && <Columns reading={reading} choices={choices} change={change} />}
            <Names site={site.id} reading={reading} choices={choices} change={change} />
            <Written reading={reading} choices={choices} change={change} />
            <Faults reading={reading} file={file.name} />
          </div>
        )}
      </Loaded>
    </>
  );
}
