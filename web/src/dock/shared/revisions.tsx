import { useState } from 'preact/hooks';

import { client, read } from '../../api';
import type { Revision } from '../../contract.gen';
import { Loaded, useLoad } from '../../parts';
import { format, words } from '../../words';
import { changesOf, type Change } from './changes';
import { cultivarName, farmName, supplierName, type Names } from './names';

interface Props {
  recordId: string;
  /** Read again when the record's version changes. */
  version: number;
  zone: string;
  names: Names;
}

function valueText({ member }: Change, value: unknown, zone: string, names: Names): string | null {
  const { dock, common } = words.value;
  const f = format.value;
  if (value === undefined || value === null || value === '' || (Array.isArray(value) && value.length === 0)) return dock.revisions.empty;
  if (typeof value === 'number') return f.number(value);
  if (Array.isArray(value)) return member === 'farm_ids' ? f.list(value.map((id) => farmName(names, String(id)))) : null;
  if (typeof value !== 'string') return null;
  if (member === 'supplier_id') return supplierName(names, value);
  if (member === 'cultivar_id') return cultivarName(names, value);
  if (member.endsWith('_id')) return null;
  if (member.endsWith('_at')) return f.moment(value, zone);
  if (member.endsWith('_on')) return f.fullDate(value);
  if (member === 'form' && (value === 'unrooted' || value === 'callused' || value === 'rooted')) return common.form[value];
  if (member === 'decision') return Object.hasOwn(dock.lot.verdict, value) ? dock.lot.verdict[value as keyof typeof dock.lot.verdict] : value;
  return value;
}

function changeText(change: Change, zone: string, names: Names): string {
  const { dock } = words.value;
  const table: Record<string, string> = dock.member;
  const name = table[change.member] ?? change.member;
  const from = valueText(change, change.from, zone, names);
  const to = valueText(change, change.to, zone, names);
  if (from === null || to === null) return name;
  return `${name} ${dock.revisions.fromTo(from, to)}`;
}

function History({ recordId, version, zone, names }: Props) {
  const load = useLoad(
    (signal) => read(client.GET('/revisions', { params: { query: { record_id: recordId, limit: 200 } }, signal })),
    [recordId, version],
  );
  const { revisions } = words.value.dock;
  const line = (revision: Revision, before: Revision | undefined): string => {
    if (!before) return revisions.first;
    const changes = changesOf(before, revision);
    return changes.length === 0 ? revisions.same : revisions.change(changes.map((change) => changeText(change, zone, names)).join('; '));
  };
  return (
    <Loaded of={load}>
      {({ items }) => (
        <ol class="dock-history">
          {items.map((revision, i) => (
            <li key={revision.version}>
              <p class="quiet">
                {format.value.moment(revision.recorded_at, zone)} · {revision.recorded_by.name} · {revisions.version(revision.version)}
              </p>
              <p>{line(revision, items[i - 1])}</p>
            </li>
          ))}
        </ol>
      )}
    </Loaded>
  );
}

/** Every version of a record: who changed what, and when. Fetched when it is opened. */
export function Revisions(props: Props) {
  const [open, setOpen] = useState(false);
  return (
    <details class="details" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{words.value.dock.revisions.title}</summary>
      <div class="details-body">{open && <History {...props} />}</div>
    </details>
  );
}
