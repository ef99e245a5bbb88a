import { useId, useState } from 'preact/hooks';

import { Button, Details, Section, TextArea } from '../../parts';
import { words } from '../../words';
import { mostBytes, readFile, type Chosen } from './file';

interface Props {
  chosen: Chosen | null;
  onChosen: (file: Chosen) => void;
}

function Paste({ onChosen }: { onChosen: (text: string) => void }) {
  const { imports } = words.value;
  const [text, setText] = useState('');
  return (
    <Details summary={imports.paste}>
      <TextArea label={imports.pasted} value={text} onValue={setText} rows={6} />
      <Button disabled={text.trim() === ''} onClick={() => onChosen(text)}>
        {imports.read}
      </Button>
    </Details>
  );
}

/** A file, or a table pasted from a sheet. */
export function ChooseFile({ chosen, onChosen }: Props) {
  const { imports } = words.value;
  const id = useId();
  const [fault, setFault] = useState<string | null>(null);
  const take = (blob: Blob, name: string): void => {
    if (blob.size > mostBytes) {
      setFault(imports.tooLarge);
      return;
    }
    setFault(null);
    readFile(blob, name).then(onChosen, (thrown: unknown) => setFault(String(thrown)));
  };
  return (
    <Section title={imports.file} lead={imports.fileLead}>
      <div class={fault === null ? 'field' : 'field field-faulty'}>
        <label for={id}>{chosen ? imports.other : imports.choose}</label>
        <input
          id={id}
          class="input import-file"
          type="file"
          accept=".csv,.txt,.tsv,text/csv,text/plain"
          aria-describedby={`${id}-fault`}
          onChange={(event) => {
            const file = event.currentTarget.files?.[0];
            if (file) take(file, file.name);
            event.currentTarget.value = ''; // so that the same file, mended, is read again
          }}
        />
        {chosen && <p class="field-hint">{imports.chosen(chosen.name)}</p>}
        <p class="field-fault" id={`${id}-fault`} aria-live="polite">
          {fault}
        </p>
      </div>
      <Paste onChosen={(text) => take(new Blob([text]), imports.pastedName)} />
    </Section>
  );
}
