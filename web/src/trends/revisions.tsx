import { client, read } from '../api';
import type { Look, Revision } from '../contract.gen';
import { Loaded, Table, useLoad, type Column } from '../parts';
import { format, words, type Words } from '../words';
import { zoneOf } from './names';

/** The members a revision changed, in the reader's words, each once. */
export function changedMembers(changed: readonly string[], { trends }: Words): string[] {
  const names: Record<string, string> = trends.members;
  const members = changed.map((pointer) => pointer.split('/')[1] ?? '').filter((member) => member !== '');
  return [...new Set(members)].map((member) => (Object.hasOwn(names, member) ? (names[member] ?? member) : member));
}

function text(body: Revision['body'], member: string): string | null {
  const value = body[member];
  return typeof value === 'string' && value !== '' ? value : null;
}

/** Who recorded a look and who changed what in it since. */
export function Revisions({ look }: { look: Look }) {
  const { trends: say } = words.value;
  const load = useLoad(
    (signal) => read(client.GET('/revisions', { params: { query: { record_id: look.id, limit: 200 } }, signal })),
    [look.id, look.version],
  );
  const columns: Column<Revision>[] = [
    { key: 'version', head: say.version, number: true, cell: ({ version }) => format.value.count(version) },
    { key: 'when', head: say.moment, cell: ({ recorded_at }) => format.value.moment(recorded_at, zoneOf(look.site_id)) },
    { key: 'who', head: say.who, cell: ({ recorded_by }) => recorded_by.name },
    {
      key: 'what',
      head: say.what,
      cell: ({ version, changed, body }) => {
        if (version === 1) return say.created;
        const reason = text(body, 'withdrawn_because') ?? text(body, 'settled_because');
        return [format.value.list(changedMembers(changed, words.value)), ...(reason === null ? [] : [say.quoted(reason)])].join(': ');
      },
    },
  ];
  return (
    <section class="plants">
      <h4>{say.revisions}</h4>
      <Loaded of={load}>
        {({ items }) => <Table caption={say.revisions} columns={columns} rows={items} rowKey={({ version }) => String(version)} />}
      </Loaded>
    </section>
  );
}
