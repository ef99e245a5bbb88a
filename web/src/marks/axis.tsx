import { format } from '../words';
import { labelled } from './geometry';

/** The axis of ISO weeks under a chart. `x` gives the place of the i-th week. */
export function WeekAxis({ weeks, x, y, step }: { weeks: readonly string[]; x: (i: number) => number; y: number; step: number }) {
  const shown = labelled(weeks.length, step);
  return (
    <g class="axis" aria-hidden="true">
      {weeks.map((week, i) => (
        <g key={week}>
          <line x1={x(i)} x2={x(i)} y1={y} y2={y + (shown(i) ? 5 : 3)} />
          {shown(i) && (
            <text x={x(i)} y={y + 16} text-anchor="middle">
              {format.value.week(week)}
            </text>
          )}
        </g>
      ))}
    </g>
  );
}

/** Lines and labels of a percent scale. */
export function PercentAxis({ ticks, y, left, right }: { ticks: readonly number[]; y: (percent: number) => number; left: number; right: number }) {
  return (
    <g class="axis" aria-hidden="true">
      {ticks.map((tick, i) => (
        <g key={tick}>
          <line class={tick === 0 ? 'axis-ground' : 'axis-grid'} x1={left} x2={right} y1={y(tick)} y2={y(tick)} />
          <text x={left - 6} y={y(tick)} dy="0.34em" text-anchor="end">
            {i === ticks.length - 1 ? format.value.percent(tick) : format.value.number(tick)}
          </text>
        </g>
      ))}
    </g>
  );
}
