import { useState } from 'preact/hooks';

import type { SecondLook } from '../../contract.gen';
import { Button, Details, Section, Tag } from '../../parts';
import { Link } from '../../router';
import { format, words } from '../../words';
import { inspectAddress } from '../shared/inspect-address';
import { cultivarName, type Names } from '../shared/names';

const shownAtFirst = 6;

function Row({ look, names, today }: { look: SecondLook; names: Names; today: string }) {
  const { dock } = words.value;
  const f = format.value;
  const late = Math.round((Date.parse(today) - Date.parse(look.due_to)) / 86_400_000);
  return (
    <li class="dock-line">
      <Link to={inspectAddress(look.lot_id, 'second_look')} class="dock-line-main">
        <span class="dock-code">{look.lot_code}</span>
        <b>{cultivarName(names, look.cultivar_id)}</b>
        {look.state === 'late' && <Tag strong>{dock.dueLate(late)}</Tag>}
        {look.state === 'due' && <Tag>{dock.dueNow}</Tag>}
        <span class="quiet">
          {dock.window(f.date(look.due_from), f.date(look.due_to))}
          {look.counted_from && `, ${dock.countedFrom[look.counted_from]}`}
        </span>
      </Link>
    </li>
  );
}

/** Lots to be looked at once more: late ones first, then those due; the rest on request. */
export function SecondLooks({ looks, names, today }: { looks: readonly SecondLook[]; names: Names; today: string }) {
  const { dock } = words.value;
  const [all, setAll] = useState(false);
  if (looks.length === 0) return null;
  const rank = { late: 0, due: 1, waiting: 2 };
  const ordered = looks.toSorted((a, b) => rank[a.state ?? 'waiting'] - rank[b.state ?? 'waiting'] || a.due_to.localeCompare(b.due_to));
  const now = ordered.filter((look) => look.state !== 'waiting');
  const later = ordered.filter((look) => look.state === 'waiting');
  const shown = all ? now : now.slice(0, shownAtFirst);
  const rows = (list: readonly SecondLook[]) => (
    <ul class="dock-list">
      {list.map((look) => (
        <Row key={look.lot_id} look={look} names={names} today={today} />
      ))}
    </ul>
  );
  return (
    <Section title={dock.secondLooks} lead={dock.secondLooksLead}>
      {now.length > 0 && rows(shown)}
      {now.length > shown.length && (
        <div>
          <Button onClick={() => setAll(true)}>{dock.moreLots(now.length - shown.length)}</Button>
        </div>
      )}
      {later.length > 0 && <Details summary={dock.comingUp(later.length)}>{rows(later)}</Details>}
    </Section>
  );
}
