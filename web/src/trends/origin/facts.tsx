import { useState } from 'preact/hooks';

import type { OriginFact } from '../../contract.gen';
import { Button, Empty, Table, type Column } from '../../parts';
import { Link } from '../../router';
import { format, words } from '../../words';
import { useFocusNext } from '../focus-next';
import { factsInOrder, firstText, foundText, growthText, neighboursText } from './sentences';

const shownFirst = 6;

/** What is known of each lot, without any reckoning. */
export function OriginFacts({ facts, organism }: { facts: readonly OriginFact[]; organism: string }) {
  const { origin: say } = words.value;
  const speech = { words: words.value, format: format.value };
  const [all, setAll] = useState(false);
  const { place, next } = useFocusNext<HTMLElement>();
  const showAll = (): void => {
    next((section) => section.querySelectorAll<HTMLElement>('.look-link')[shownFirst]); // the first that was not there
    setAll(true);
  };
  const rows = all ? factsInOrder(facts) : factsInOrder(facts).slice(0, shownFirst);
  const columns: Column<OriginFact>[] = [
    {
      key: 'lot',
      head: say.lot,
      cell: (fact) => (
        <Link to={`/dock/lots/${fact.lot_id}`} class="look-link">
          {fact.lot_code}
        </Link>
      ),
    },
    { key: 'cultivar', head: say.cultivar, cell: ({ cultivar }) => cultivar },
    { key: 'arrived', head: say.arrived, cell: ({ arrived_on: on }) => format.value.date(on) },
    { key: 'dock', head: say.dock, cell: (fact) => foundText(fact.dock_infested_plants, fact.dock_plants_looked_at, speech) },
    { key: 'second', head: say.second, cell: (fact) => foundText(fact.second_infested_plants, fact.second_plants_looked_at, speech) },
    { key: 'first', head: say.first, cell: (fact) => firstText(fact, speech) },
    { key: 'growth', head: say.growth, cell: (fact) => growthText(fact, speech) },
    { key: 'neighbours', head: say.neighbours, cell: (fact) => neighboursText(fact, speech) },
    { key: 'points', head: say.points, cell: ({ points_to: to }) => <b>{say.pointsTo[to ?? 'nothing']}</b> },
  ];
  return (
    <section class="origin-part" ref={place}>
      <h3>{facts.length === 1 ? say.factsOne : say.facts}</h3>
      <Table
        caption={say.factsCaption(organism)}
        stack
        columns={columns}
        rows={rows}
        rowKey={({ lot_id: id }) => id}
        empty={
          <Empty title={say.noFactsTitle}>
            <p>{say.noFacts}</p>
          </Empty>
        }
      />
      {rows.length < facts.length && (
        <div>
          <Button onClick={showAll}>{say.more(facts.length - rows.length)}</Button>
        </div>
      )}
      {facts.length > 0 && <p class="quiet origin-text">{say.howToRead}</p>}
    </section>
  );
}
