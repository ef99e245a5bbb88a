import { useState } from 'preact/hooks';

import type { ImportFault, ImportReading } from '../../contract.gen';
import { Button, Section, Table } from '../../parts';
import { words } from '../../words';

/** So many are shown at first. */
const shownFirst = 100;

/** What is wrong, in the reader's language. */
function why(fault: ImportFault): string {
  const { fault: said } = words.value.imports;
  return Object.entries(said).find(([code]) => code === fault.code)?.[1] ?? fault.detail;
}

function columnOf(fault: ImportFault): string {
  const { kind } = words.value.imports;
  return fault.heading ?? (fault.kind === undefined ? '' : kind[fault.kind]);
}

/** One cell of a table that a spreadsheet opens; what begins like a formula is kept as text. */
function cell(text: string): string {
  const safe = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
  return `"${safe.replaceAll('"', '""')}"`;
}

function saveAsTable(faults: readonly ImportFault[], name: string): void {
  const { imports } = words.value;
  const rows = faults.map((fault) => [String(fault.line), columnOf(fault), fault.value ?? '', why(fault)]);
  const text = [[imports.line, imports.column, imports.value, imports.why], ...rows].map((row) => row.map(cell).join(',')).join('\r\n');
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([`\ufeff${text}\r\n`], { type: 'text/csv' }));
  link.download = name;
  link.click();
  URL.revokeObjectURL(link.href);
}

/** Every bad line: which, where in it, what it says and why that is not taken. */
export function Faults({ reading, file }: { reading: ImportReading; file: string }) {
  const { imports } = words.value;
  const [all, setAll] = useState(false);
  const { faults, more_faults: more } = reading;
  if (faults.length === 0) return null;
  const shown = all ? faults : faults.slice(0, shownFirst);
  return (
    <Section title={imports.faults} lead={imports.faultsLead(shown.length, faults.length + more)}>
      <Table
        caption={imports.faults}
        stack
        rows={shown.map((fault, at) => ({ fault, at }))}
        rowKey={({ at }) => String(at)}
        columns={[
          { key: 'line', head: imports.line, cell: ({ fault }) => (fault.line === 0 ? imports.wholeFile : imports.lineIs(fault.line)) },
          { key: 'column', head: imports.column, cell: ({ fault }) => columnOf(fault) },
          { key: 'value', head: imports.value, cell: ({ fault }) => fault.value ?? '' },
          { key: 'why', head: imports.why, cell: ({ fault }) => why(fault) },
        ]}
      />
      <div class="row">
        {shown.length < faults.length && <Button onClick={() => setAll(true)}>{imports.showAll(faults.length)}</Button>}
        <Button onClick={() => saveAsTable(faults, `${file.replace(/\.\w+$/, '')}-faults.csv`)}>{imports.saveFaults}</Button>
      </div>
      {more > 0 && <p class="quiet">{imports.more(more)}</p>}
    </Section>
  );
}
