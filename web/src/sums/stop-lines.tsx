import type { StopLine, StopLinesSum, StopOperating } from '../contract.gen';
import { Details, Table, type Column } from '../parts';
import { unmarked } from '../trends/mark';
import { format, words } from '../words';
import { changes, stopLinesAnswer } from './answers';
import { StopChart } from './stop-chart';

const fewest = 12;

function Lines({ rows, quiet }: { rows: readonly StopLine[]; quiet: boolean }) {
  const { lines } = words.value.sums;
  const { count } = format.value;
  const columns: Column<StopLine>[] = [
    { key: 'plants', head: lines.plants, number: true, cell: ({ plants }) => count(plants) },
    { key: 'below', head: lines.below, number: true, cell: ({ below_if_at_most: most }) => (most === null ? lines.notYet : count(most)) },
    { key: 'above', head: lines.above, number: true, cell: ({ above_if_at_least: least }) => (least === null ? lines.notYet : count(least)) },
  ];
  return <Table caption={lines.caption} quietCaption={quiet} columns={columns} rows={rows} rowKey={({ plants }) => String(plants)} />;
}

/** The lines drawn and as a table, and what they really do. */
export function StopLines({ sum }: { sum: StopLinesSum }) {
  const { lines, operating } = words.value.sums;
  const { percent, number } = format.value;
  const rows = changes(sum.lines);
  const last = rows.at(-1);
  const some = rows.length > fewest + 1 && last ? [...rows.slice(0, fewest), last] : rows;
  const columns: Column<StopOperating>[] = [
    { key: 'percent', head: operating.percent, number: true, cell: (row) => `${number(row.percent, 2)}\u00a0%` },
    { key: 'below', head: operating.below, number: true, cell: (row) => percent(100 * row.probability_below) },
    { key: 'above', head: operating.above, number: true, cell: (row) => percent(100 - 100 * row.probability_below) },
    { key: 'plants', head: operating.plants, number: true, cell: (row) => number(row.average_plants) },
  ];
  return (
    <>
      <StopChart sum={sum} text={unmarked(stopLinesAnswer(sum, { words: words.value, format: format.value }))} />
      <Table caption={operating.caption} quietCaption={false} columns={columns} rows={sum.operating} rowKey={(row) => String(row.percent)} />
      <Lines rows={some} quiet={false} />
      {some !== rows && (
        <Details summary={lines.all(rows.length)}>
          <Lines rows={rows} quiet />
        </Details>
      )}
    </>
  );
}
