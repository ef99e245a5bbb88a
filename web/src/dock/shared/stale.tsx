import { Button } from '../../parts';
import type { ApiProblem } from '../../problem';
import { words } from '../../words';
import type { Names } from './names';
import { Revisions } from './revisions';
import { zoneOf } from './site';

interface Props {
  problem: ApiProblem | null;
  record: { id: string; version: number };
  siteId: string;
  names: Names;
  reload: () => void;
}

/** After someone else saved first: what they changed, and a way to go on from it. */
export function StaleHelp({ problem, record, siteId, names, reload }: Props) {
  if (!problem?.isStale) return null;
  return (
    <div class="stack">
      <Revisions recordId={record.id} version={record.version + 1} zone={zoneOf(siteId)} names={names} />
      <div>
        <Button onClick={reload}>{words.value.dock.loadCurrent}</Button>
      </div>
    </div>
  );
}
