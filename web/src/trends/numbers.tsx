import type { ForecastPoint, TrendGroup, TrendPoint } from '../contract.gen';
import { weekOf } from '../local/zone';
import { Table, type Column } from '../parts';
import { format, words } from '../words';
import { weeksAhead } from './ahead';
import { More } from './more';

interface NumbersProps {
  caption: string;
  group: TrendGroup;
  /** Confidence of the intervals, in percent. */
  confidence: number;
  /** Makes the weeks into buttons that open their looks. */
  onPick?: (point: TrendPoint) => void;
  /** The week whose looks are shown. */
  picked?: string | null;
}

/** A week that was looked at, or one of the forecast. */
type Row = { point: TrendPoint; ahead?: undefined } | { ahead: ForecastPoint; point?: undefined };

/** As many plants drawn one by one would tell as much; null where the server does not say. */
export function countsLike({ plants_looked_at: plants, design_effect: effect }: TrendPoint): number | null {
  return effect !== undefined && effect > 0 ? Math.max(1, Math.round(plants / effect)) : null;
}

/** The numbers behind a chart, latest week first; weeks to come stand over it and say that they are forecast. */
export function Numbers({ caption, group, confidence, onPick, picked = null }: NumbersProps) {
  const { trends: say } = words.value;
  const { table } = say;
  const f = format.value;
  const { points } = group;
  const rows: Row[] = [...points.map((point) => ({ point })), ...weeksAhead(group).map((ahead) => ({ ahead }))].toReversed();
  const counted = (cell: (point: TrendPoint) => string) => (row: Row) => (row.point ? cell(row.point) : '–');
  const column = (key: string, head: string, cell: (point: TrendPoint) => string): Column<Row> => ({ key, head, number: true, cell: counted(cell) });
  const clustered = points.some((point) => (countsLike(point) ?? point.plants_looked_at) !== point.plants_looked_at);
  const weighted = points.some((point) => point.weighted);
  const columns: Column<Row>[] = [
    {
      key: 'week',
      head: table.week,
      cell: ({ point, ahead }) => {
        if (!point) return say.forecast.row(f.week(weekOf(ahead.on)), f.date(ahead.on));
        const text = `${f.week(point.week)} · ${f.date(point.starts_on)}`;
        if (!onPick) return text;
        return (
          <button type="button" class="btn btn-quiet week-button" aria-pressed={point.week === picked} onClick={() => onPick(point)}>
            {text}
          </button>
        );
      },
    },
    column('infested', table.infested, (point) => f.of(point.infested_plants, point.plants_looked_at)),
    {
      key: 'percent',
      head: table.percent,
      number: true,
      cell: ({ point, ahead }) => {
        if (!point) return f.interval(ahead.percent, ahead.lower_90_percent, ahead.upper_90_percent);
        const share = f.interval(point.infested_percent, point.lower_percent, point.upper_percent);
        if (!point.weighted) return share;
        return (
          <>
            {share}
            <span aria-hidden="true">*</span>
            <span class="aside-only"> ({say.weighted})</span>
          </>
        );
      },
    },
  ];
  const further: Column<TrendPoint>[] = [
    { key: 'week', head: table.week, cell: (point) => f.week(point.week) },
    { key: 'looks', head: table.looks, number: true, cell: (point) => f.count(point.looks) },
    { key: 'blocks', head: table.blocks, number: true, cell: (point) => f.count(point.blocks) },
    { key: 'doubt', head: table.doubt, number: true, cell: (point) => f.count(point.looks_in_doubt) },
    ...(clustered
      ? [
          {
            key: 'counts',
            head: table.counts,
            number: true,
            cell: (point: TrendPoint) => {
              const like = countsLike(point);
              return like === null ? '–' : f.count(like);
            },
          },
        ]
      : []),
  ];
  return (
    <>
      <Table caption={caption} columns={columns} rows={rows} rowKey={({ point, ahead }) => (point ? point.week : ahead.on)} />
      {rows.length > points.length && <p class="quiet table-note">{say.forecast.rowsNote}</p>}
      {weighted && <p class="quiet table-note">{say.weightedNote}</p>}
      <More summary={table.further}>
        {() => (
          <>
            <Table caption={`${caption}: ${table.further}`} columns={further} rows={points.toReversed()} rowKey={({ week }) => week} />
            {clustered && <p class="quiet table-note">{table.countsNote(f.percent(confidence))}</p>}
          </>
        )}
      </More>
    </>
  );
}
