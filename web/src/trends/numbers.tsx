import type { TrendPoint } from '../contract.gen';
import { Table, type Column } from '../parts';
import { format, words } from '../words';

interface NumbersProps {
  caption: string;
  points: readonly TrendPoint[];
  /** Makes the weeks into buttons that open their looks. */
  onPick?: (point: TrendPoint) => void;
  /** The week whose looks are shown. */
  picked?: string | null;
}

/** The numbers behind a chart, latest week first. */
export function Numbers({ caption, points, onPick, picked = null }: NumbersProps) {
  const { table } = words.value.trends;
  const f = format.value;
  const columns: Column<TrendPoint>[] = [
    {
      key: 'week',
      head: table.week,
      cell: (point) => {
        const text = `${f.week(point.week)} · ${f.date(point.starts_on)}`;
        if (!onPick) return text;
        return (
          <button type="button" class="btn btn-quiet week-button" aria-pressed={point.week === picked} onClick={() => onPick(point)}>
            {text}
          </button>
        );
      },
    },
    { key: 'infested', head: table.infested, number: true, cell: (point) => f.count(point.infested_plants) },
    { key: 'plants', head: table.plants, number: true, cell: (point) => f.count(point.plants_looked_at) },
    { key: 'percent', head: table.percent, number: true, cell: (point) => f.percent(point.infested_percent) },
    {
      key: 'interval',
      head: table.interval,
      number: true,
      cell: (point) => f.bounds(point.infested_percent, point.lower_percent, point.upper_percent),
    },
    { key: 'looks', head: table.looks, number: true, cell: (point) => f.count(point.looks) },
    { key: 'blocks', head: table.blocks, number: true, cell: (point) => f.count(point.blocks) },
    { key: 'doubt', head: table.doubt, number: true, cell: (point) => f.count(point.looks_in_doubt) },
  ];
  return <Table caption={caption} columns={columns} rows={points.toReversed()} rowKey={(point) => point.week} />;
}
