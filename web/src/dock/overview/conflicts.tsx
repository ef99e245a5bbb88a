import { client, fetchOne, read } from '../../api';
import type { Movement } from '../../contract.gen';
import { Details, Section } from '../../parts';
import { Link } from '../../router';
import { format, words } from '../../words';
import { conflictAdvice, conflictText } from '../shared/conflict';

/** A movement that does not fit the book, with the lot whose plants it speaks of. */
export interface Unsettled {
  movement: Movement;
  lotId: string;
  code: string;
}

const shownAtFirst = 6;

/** Of a split or merge in dispute the lot itself may never have begun: then the movement's own lot is opened. */
export async function fetchConflicts(site: string, signal: AbortSignal): Promise<Unsettled[]> {
  const { items } = await read(client.GET('/conflicts', { params: { query: { site_id: site } }, signal }));
  const ids = [...new Set(items.map(({ lot_id }) => lot_id))];
  const codes = new Map(
    await Promise.all(
      ids.map(async (id): Promise<[string, string]> => {
        const lot = await fetchOne('lots', id, signal);
        return [id, lot.code ?? ''];
      }),
    ),
  );
  return items.map((movement) => ({ movement, lotId: movement.lot_id, code: codes.get(movement.lot_id) ?? '–' }));
}

function Row({ of: { movement, lotId, code }, zone }: { of: Unsettled; zone: string }) {
  const { dock } = words.value;
  const said = dock.life.conflicts;
  const { conflict } = movement;
  if (!conflict) return null;
  const what = said.line(dock.lot.kind[movement.kind], movement.plants, code, format.value.moment(movement.moved_at, zone), movement.recorded_by.name);
  return (
    <li class="dock-conflict">
      <p>
        <b>{what}</b>
      </p>
      <p>{conflictText(conflict, words.value)}</p>
      <p class="quiet">{conflictAdvice(conflict.code, words.value)}</p>
      <p>
        <Link to={`/dock/lots/${lotId}#${movement.id}`} class="dock-lot-name">
          {said.open} {code}
        </Link>
      </p>
    </li>
  );
}

/** Movements that cannot have happened as written, until a person settles them. */
export function Conflicts({ conflicts, zone }: { conflicts: readonly Unsettled[]; zone: string }) {
  const said = words.value.dock.life.conflicts;
  if (conflicts.length === 0) return null;
  const rows = (list: readonly Unsettled[]) => (
    <ul class="dock-list">
      {list.map((of) => (
        <Row key={of.movement.id} of={of} zone={zone} />
      ))}
    </ul>
  );
  const more = conflicts.slice(shownAtFirst);
  return (
    <Section title={said.title} lead={said.lead(conflicts.length)}>
      {rows(conflicts.slice(0, shownAtFirst))}
      {more.length > 0 && <Details summary={`${words.value.common.more} (${format.value.count(more.length)})`}>{rows(more)}</Details>}
    </Section>
  );
}
