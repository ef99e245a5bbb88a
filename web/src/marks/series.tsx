import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import { useEffect, useId, useRef, useState } from 'preact/hooks';

import type { TrendLimit, TrendPoint } from '../contract.gen';
import { format, words } from '../words';
import { PercentAxis, WeekAxis } from './axis';
import { runs } from './geometry';
import { LimitLine, limitLabel } from './limit';
import { useWidth } from './use-width';

interface SeriesProps {
  points: readonly TrendPoint[];
  limits?: readonly TrendLimit[];
  /** The weeks of the axis, `2026-W27` …; the same for all charts that are compared. */
  weeks: readonly string[];
  /** Top of the percent scale; the same for all charts that are compared (`percentTop`). */
  max: number;
  /** Pixels; the width of its place when left out. */
  width?: number;
  height?: number;
  /** What the chart shows, read aloud: "Frostveil, share of plants with whitefly". */
  label: string;
  /** Makes the points into buttons: Enter, Space or a click tells which week was chosen. */
  onPick?: (point: TrendPoint) => void;
}

const margin = { top: 16, right: 12, bottom: 22, left: 36 };

/** The counts of a week in words: "W33: 12 of 60 · 20 % (12–32)". */
export function pointText(point: TrendPoint): string {
  const { chart } = words.value.common;
  const text = chart.point(format.value.week(point.week), format.value.share(point));
  return point.looks_in_doubt > 0 ? `${text} · ${chart.doubt(point.looks_in_doubt)}` : text;
}

/** A weekly series: the interval as a band, the share as a line with points, limits with their dates. */
export function Series({ points, limits = [], weeks, max, width: fixed, height = 150, label, onPick }: SeriesProps) {
  const id = useId();
  const place = useRef<HTMLElement>(null);
  const measured = useWidth(place, fixed);
  const last = points.length - 1;
  const [current, setCurrent] = useState(last);
  useEffect(() => setCurrent(last), [last]);
  const { chart } = words.value.common;
  const first = points[0];
  const latest = points[last];
  if (!first || !latest) return <p class="series-empty quiet">{chart.empty}</p>;

  const right = measured - margin.right;
  const bottom = height - margin.bottom;
  const step = (right - margin.left) / Math.max(weeks.length, 1);
  const x = (position: number): number => margin.left + (position + 0.5) * step;
  const scale = scaleLinear([0, max], [bottom, margin.top]);
  const y = (percent: number): number => scale(Math.min(percent, max));
  const at = new Map(weeks.map((week, i) => [week, x(i)]));
  const px = (point: TrendPoint): number => at.get(point.week) ?? margin.left;
  const band = area<TrendPoint>(px, (p) => y(p.lower_percent), (p) => y(p.upper_percent));
  const path = line<TrendPoint>(px, (p) => y(p.infested_percent));
  const drawn = runs(weeks, points);
  const chosen = points[current] ?? latest;

  const move = (event: KeyboardEvent, i: number): void => {
    const targets: Partial<Record<string, number>> = { ArrowRight: i + 1, ArrowLeft: i - 1, Home: 0, End: last };
    const to = targets[event.key];
    if (to !== undefined && points[to]) {
      event.preventDefault();
      setCurrent(to);
      place.current?.querySelectorAll<SVGGElement>('.point')[to]?.focus();
    } else if (onPick && (event.key === 'Enter' || event.key === ' ')) {
      event.preventDefault();
      const point = points[i];
      if (point) onPick(point);
    }
  };

  return (
    <figure class="series" ref={place}>
      <svg viewBox={`0 0 ${measured} ${height}`} width={measured} height={height} role="group" aria-labelledby={`${id}-title ${id}-text`}>
        <title id={`${id}-title`}>{label}</title>
        <desc id={`${id}-text`}>
          {[chart.describe(points.length, format.value.week(first.week), format.value.week(latest.week)), ...limits.map(limitLabel)].join(' ')}
        </desc>
        <PercentAxis ticks={[0, max / 2, max]} y={y} left={margin.left} right={right} />
        <WeekAxis weeks={weeks} x={x} y={bottom} step={step} />
        {drawn.map((run) =>
          run.length > 1 ? (
            <g key={run[0]?.week} aria-hidden="true">
              <path class="band" d={band(run) ?? ''} />
              <path class="line" d={path(run) ?? ''} />
            </g>
          ) : (
            run.map((p) => (
              <rect key={p.week} class="band" x={px(p) - 4} width={8} y={y(p.upper_percent)} height={Math.max(1, y(p.lower_percent) - y(p.upper_percent))} aria-hidden="true" />
            ))
          ),
        )}
        {limits.map((limit, i) => (
          <LimitLine
            key={limit.threshold_id}
            limit={limit}
            weeks={weeks}
            x={x}
            y={y}
            left={margin.left}
            right={right}
            named={!limits.slice(0, i).some(({ percent, effect }) => percent === limit.percent && effect === limit.effect)}
          />
        ))}
        {points.map((point, i) => (
          <g
            key={point.week}
            class={point === chosen ? 'point point-chosen' : 'point'}
            role={onPick ? 'button' : 'img'}
            tabIndex={i === current ? 0 : -1}
            aria-label={pointText(point)}
            onFocus={() => setCurrent(i)}
            onPointerEnter={() => setCurrent(i)}
            onKeyDown={(event) => move(event, i)}
            onClick={() => onPick?.(point)}
          >
            <rect class="point-reach" x={px(point) - step / 2} y={margin.top} width={step} height={bottom - margin.top} />
            <line class="point-whisker" x1={px(point)} x2={px(point)} y1={y(point.lower_percent)} y2={y(point.upper_percent)} />
            <circle class={point.looks_in_doubt > 0 ? 'dot dot-doubt' : 'dot'} cx={px(point)} cy={y(point.infested_percent)} r={3.5} />
          </g>
        ))}
      </svg>
      <figcaption class="series-readout" aria-hidden="true">
        {pointText(chosen)}
      </figcaption>
    </figure>
  );
}
