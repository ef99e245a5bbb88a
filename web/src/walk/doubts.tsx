import { useEffect, useState } from 'preact/hooks';

import { fetchPage } from '../api';
import type { Daybook, Look, Site } from '../contract.gen';
import { Button, Empty, Loaded, Page, ProblemNotice, useLoad } from '../parts';
import { toProblem, type ApiProblem } from '../problem';
import { Link } from '../router';
import { words } from '../words';
import { useDaybook } from './daybook-store';
import { Doubts } from './doubt';
import { LookAnswer } from './look-answer';
import { namesOf, type Names } from './round';
import { lotName, momentText } from './said';

const pageSize = 20;

/** The looks that wait for a person, each with why and what can be done. */
export function DoubtsPage({ site }: { site: Site }) {
  const { walk } = words.value;
  const book = useDaybook(site.id);
  return (
    <Page title={walk.doubt.title} above={site.name} back={{ to: '/walk', label: walk.list }}>
      <p class="lead">{walk.doubt.lead}</p>
      <Loaded of={book}>{(data) => <DoubtList book={data} />}</Loaded>
    </Page>
  );
}

function DoubtList({ book }: { book: Daybook }) {
  const { walk, common } = words.value;
  const names = namesOf(book);
  const query = { site_id: book.site.id, in_doubt: true, limit: pageSize };
  const first = useLoad((signal) => fetchPage('looks', query, signal), [book.site.id]);
  const [looks, setLooks] = useState<Look[]>([]);
  const [next, setNext] = useState<string | null>(null);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  useEffect(() => {
    if (!first.data) return;
    setLooks(first.data.items);
    setNext(first.data.next);
  }, [first.data]);
  const more = (after: string): void => {
    setProblem(null);
    fetchPage('looks', { ...query, after }).then(
      (page) => {
        setLooks((shown) => [...shown, ...page.items.filter(({ id }) => !shown.some((one) => one.id === id))]);
        setNext(page.next);
      },
      (thrown: unknown) => setProblem(toProblem(thrown)),
    );
  };
  return (
    <Loaded of={first}>
      {(page) => (
        <>
          {page.items.length === 0 ? (
            <Empty title={walk.doubt.none}>
              <p>{walk.doubt.noneText}</p>
            </Empty>
          ) : (
            <ul class="walk-doubts">
              {looks.map((look) => (
                <DoubtRow
                  key={look.id}
                  look={look}
                  book={book}
                  names={names}
                  onChanged={(changed) => setLooks((shown) => shown.map((one) => (one.id === changed.id ? changed : one)))}
                />
              ))}
            </ul>
          )}
          {problem && <ProblemNotice problem={problem} />}
          {next !== null && <Button onClick={() => more(next)}>{common.more}</Button>}
        </>
      )}
    </Loaded>
  );
}

interface RowProps {
  look: Look;
  book: Daybook;
  names: Names;
  onChanged: (look: Look) => void;
}

function DoubtRow({ look, book, names, onChanged }: RowProps) {
  const { walk } = words.value;
  const block = book.blocks.find(({ id }) => id === look.block_id);
  const house = book.houses.find(({ id }) => id === look.house_id);
  return (
    <li class="stack">
      <header>
        <h2>{[house?.name, block?.name ?? walk.look.unknownBlock].filter(Boolean).join(' · ')}</h2>
        <p class="quiet">
          {walk.doubt.by(look.observer?.name ?? look.recorded_by.name, momentText(look.looked_at, look.looked_on, book.site.time_zone))} ·{' '}
          {look.lot_id ? lotName(names.lot(look.lot_id), names) : walk.lot.notKnown}
        </p>
      </header>
      {look.results.map((result) => (
        <LookAnswer key={result.organism_id} result={result} names={names} small />
      ))}
      {look.withdrawn_because && <p>{walk.look.withdrawnBecause(look.withdrawn_because)}</p>}
      <Doubts look={look} book={book} names={names} onChanged={onChanged} />
      <p>
        <Link to={`/walk/looks/${look.id}`} class="walk-open">
          {walk.doubt.open}
        </Link>
      </p>
    </li>
  );
}
