import { fetchAll } from '../api';
import type { Revision } from '../contract.gen';
import { dateAt } from '../local/zone';
import { Loaded, useLoad } from '../parts';
import { format, words } from '../words';
import { momentText } from './said';

/** Who changed a look, when, and what. */
export function Revisions({ id, version, zone }: { id: string; version: number; zone: string }) {
  const load = useLoad((signal) => fetchAll('revisions', { record_id: id }, signal), [id, version]);
  const said = words.value.walk.look;
  const what = ({ changed, version: n }: Revision): string => {
    if (n === 1) return said.first;
    const known: Record<string, string> = said.members;
    const members = new Set(changed.map((pointer) => pointer.split('/')[1] ?? ''));
    return said.changed(format.value.list([...members].map((member) => known[member] ?? member)));
  };
  return (
    <Loaded of={load}>
      {(revisions) => (
        <ol class="walk-revisions">
          {revisions
            .toSorted((a, b) => b.version - a.version)
            .map((revision) => (
              <li key={revision.version}>
                {said.version(revision.version, revision.recorded_by.name, momentText(revision.recorded_at, dateAt(revision.recorded_at, zone), zone))}
                <span class="walk-line quiet">{what(revision)}</span>
              </li>
            ))}
        </ol>
      )}
    </Loaded>
  );
}
