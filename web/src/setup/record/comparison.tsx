import type { Recorded } from '../../contract.gen';
import { Button, Table, type Column } from '../../parts';
import { selectedSite } from '../../session';
import { format, words } from '../../words';
import { compare, type Difference, type Fact } from './kind';

interface ComparisonProps {
  rows: { theirs: readonly Fact[]; mine: readonly Fact[] };
  by: Recorded;
  onTheirs: () => void;
}

/** What is stored now beside what was typed, when someone else saved first. */
export function Comparison({ rows, by, onTheirs }: ComparisonProps) {
  const { setup } = words.value;
  const zone = selectedSite.value?.time_zone ?? 'UTC';
  const cell = (text: string, differs: boolean) => (differs ? <b>{text}</b> : text);
  const columns: Column<Difference>[] = [
    { key: 'term', head: setup.compare.member, cell: ({ term }) => term },
    { key: 'theirs', head: setup.compare.theirs, cell: (row) => cell(row.theirs, row.differs) },
    { key: 'mine', head: setup.compare.mine, cell: (row) => cell(row.mine, row.differs) },
    { key: 'differs', head: setup.compare.differs, cell: ({ differs }) => (differs ? setup.compare.yes : setup.compare.no) },
  ];
  return (
    <div class="comparison">
      <p>{setup.compare.lead(by.recorded_by.name, format.value.moment(by.recorded_at, zone))}</p>
      <Table caption={setup.compare.caption} stack columns={columns} rows={compare(rows.theirs, rows.mine)} rowKey={({ term }) => term} />
      <Button onClick={onTheirs}>{setup.takeTheirs}</Button>
    </div>
  );
}
