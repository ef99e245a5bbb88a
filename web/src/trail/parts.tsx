import type { Trail, TrailBalance } from '../contract.gen';
import { Notice, Table, type Column } from '../parts';
import { seesAllSites, sites } from '../session';
import { More } from '../trends/more';
import { format, words } from '../words';
import { isMixed, terms, type Term } from './balance';
import { eventsOf, type TrailEvent } from './events';
import type { Names } from './names';

/** What is missing for who sees some sites only: half an answer must not look like the whole. */
export function OnlyThese() {
  if (seesAllSites()) return null;
  return <Notice>{words.value.trail.onlyThese(format.value.list(sites.value.map(({ name }) => name)))}</Notice>;
}

/** The balance in fractions, for those who ask; only where a lot is mixed. */
export function ExactParts({ trail }: { trail: Trail }) {
  const say = words.value.trail;
  const f = format.value;
  const mixed = trail.lots.filter(isMixed);
  const { balance } = trail;
  if (!balance || mixed.length === 0) return null;
  const columns = (of: TrailBalance): Column<Term>[] => [
    { key: 'term', head: say.termHead, cell: (term) => say.term[term] },
    { key: 'rounded', head: say.rounded, number: true, cell: (term) => f.number(of[term], 2) },
    { key: 'exactly', head: say.exactly, number: true, cell: (term) => of.exact[term] },
  ];
  return (
    <More summary={say.parts}>
      {() => (
        <div class="trail-parts">
          <p class="lead">{say.partsLead}</p>
          <Table caption={say.partsCaption} columns={columns(balance)} rows={terms} rowKey={(term) => term} />
          <Table
            caption={say.partsLotsCaption}
            columns={[
              { key: 'lot', head: say.table.lot, cell: ({ code }) => code },
              { key: 'part', head: say.partOf, number: true, cell: ({ percent }) => f.percent(percent ?? 0) },
            ]}
            rows={mixed}
            rowKey={({ lot_id: id }) => id}
          />
        </div>
      )}
    </More>
  );
}

/** Everything that happened on the trail, in time. */
export function Events({ trail, names }: { trail: Trail; names: Names }) {
  const { events: say } = words.value.trail;
  const f = format.value;
  const columns: Column<TrailEvent>[] = [
    { key: 'when', head: say.when, cell: ({ on }) => f.date(on) },
    {
      key: 'what',
      head: say.what,
      cell: ({ what, paper, whileHeld }) => [what, paper === '' ? '' : say.paper(paper), whileHeld ? say.whileHeld : ''].filter((text) => text !== '').join(', '),
    },
    { key: 'lots', head: say.lots, cell: ({ lots }) => f.list(lots) },
    { key: 'plants', head: say.plants, number: true, cell: ({ plants }) => f.count(plants) },
  ];
  return (
    <More summary={say.title}>
      {() => <Table caption={say.caption} stack columns={columns} rows={eventsOf(trail, names, { words: words.value, format: f })} rowKey={({ key }) => key} />}
    </More>
  );
}
