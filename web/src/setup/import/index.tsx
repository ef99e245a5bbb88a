import './import.css';

import { useState } from 'preact/hooks';

import { Empty } from '../../parts';
import { hasRole, selectedSite } from '../../session';
import { words } from '../../words';
import { ReadOnly } from '../read-only';
import { ChooseFile } from './choose-file';
import type { Chosen } from './file';
import { Past } from './past';
import { Judged } from './judged';

/** Looks of earlier seasons from a table: chosen, judged line by line, stored whole, undone as one. */
export default function Import() {
  const { imports, common } = words.value;
  const site = selectedSite.value;
  const [file, setFile] = useState<Chosen | null>(null);
  const [stored, setStored] = useState(0);
  if (!site) return <Empty title={common.noSite} />;
  if (!hasRole(site.id, 'grower', 'owner')) return <ReadOnly unless={false}>{imports.readOnly}</ReadOnly>;
  return (
    <>
      <ChooseFile chosen={file} onChosen={setFile} />
      {file && (
        <Judged
          key={`${site.id} ${file.name} ${file.content.length} ${file.content.slice(-200)}`}
          site={site}
          file={file}
          onStored={() => {
            setFile(null);
            setStored((n) => n + 1);
          }}
        />
      )}
      <Past key={stored} site={site} />
    </>
  );
}
