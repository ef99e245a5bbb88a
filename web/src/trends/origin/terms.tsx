import type { Origin, OriginTerm } from '../../contract.gen';
import { Details, Table, type Column } from '../../parts';
import { format, words } from '../../words';
import { explainedText } from './sentences';

/** How the answer was worked out, for those who ask: what each term explains, first and after the other. */
export function OriginTerms({ origin }: { origin: Origin }) {
  const { origin: say } = words.value;
  const speech = { words: words.value, format: format.value };
  if (origin.terms.length === 0) return null;
  const dispersion = origin.dispersion ?? null;
  const columns: Column<OriginTerm>[] = [
    { key: 'term', head: say.termHead, cell: ({ term }) => say.term[term] },
    { key: 'levels', head: say.levels, number: true, cell: ({ levels }) => format.value.count(levels) },
    { key: 'first', head: say.firstTerm, cell: (term) => explainedText(term, 'first', dispersion ?? 1, speech) },
    { key: 'last', head: say.lastTerm, cell: (term) => explainedText(term, 'last', dispersion ?? 1, speech) },
  ];
  return (
    <Details summary={say.how}>
      <p class="origin-text">{say.howText}</p>
      <Table caption={say.termsCaption} stack columns={columns} rows={origin.terms} rowKey={({ term }) => term} />
      <p class="quiet origin-text">
        {dispersion !== null && `${say.dispersion(format.value.number(dispersion, 1))} `}
        {say.method}
      </p>
    </Details>
  );
}
