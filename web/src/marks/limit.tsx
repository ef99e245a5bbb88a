import type { TrendLimit } from '../contract.gen';
import { format, words } from '../words';
import { weekPosition } from './geometry';

/** A limit in words: "limit 20 %, 1 Aug–15 Sep". */
export function limitLabel({ percent, from_on, to_on, effect }: TrendLimit): string {
  const { chart } = words.value.common;
  const { date, percent: write } = format.value;
  const dates = from_on === to_on ? date(to_on) : `${date(from_on)}–${date(to_on)}`;
  return effect === 'act' ? chart.limit(write(percent), dates) : chart.aim(write(percent), dates);
}

interface LimitProps {
  limit: TrendLimit;
  weeks: readonly string[];
  x: (position: number) => number;
  y: (percent: number) => number;
  left: number;
  right: number;
  /** Whether it gets its label; one of several limits of the same percent is enough. */
  named?: boolean;
}

/** From this width of the chart on, a label has room for the dates. */
const roomy = 520;

/** A dated limit: a line from its first to its last day, with its label where there is room. */
export function LimitLine({ limit, weeks, x, y, left, right, named = true }: LimitProps) {
  const start = Math.max(left, x(weekPosition(weeks, limit.from_on) - 0.5 / 7));
  const end = Math.min(right, x(weekPosition(weeks, limit.to_on) + 0.5 / 7));
  if (end <= left || start >= right) return null;
  const height = y(limit.percent);
  const short = format.value.percent(limit.percent);
  const full = limitLabel(limit);
  const fits = right - left >= roomy && end - start >= full.length * 5.6;
  const nearStart = start < (left + right) / 2;
  return (
    <g class={limit.effect === 'act' ? 'limit' : 'limit limit-aim'} aria-hidden="true">
      <line x1={start} x2={Math.max(end, start + 3)} y1={height} y2={height} />
      {limit.effect === 'act' && <line class="limit-end" x1={end} x2={end} y1={height - 4} y2={height + 4} />}
      {named && (
        <text x={nearStart ? start : end} y={height - 5} text-anchor={nearStart ? 'start' : 'end'}>
          {fits ? full : short}
        </text>
      )}
    </g>
  );
}
