import './marks.css';

import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import { useEffect, useId, useRef, useState } from 'preact/hooks';

import type { ForecastPoint, TrendLimit, TrendPoint } from '../contract.gen';
import { format, words } from '../words';
import { Ahead, aheadText } from './ahead';
import { PercentAxis, WeekAxis } from './axis';
import { runs, weekPosition } from './geometry';
import { LimitLine, limitLabel } from './limit';
import { useWidth } from './use-width';

/** Something that happened on a day: what the number on the time axis stands for must be said beside the chart. */
export interface AxisMark {
  on: string;
  number: number;
}

interface SeriesProps {
  points: readonly TrendPoint[];
  limits?: readonly TrendLimit[];
  /** Where the share may go from the latest look on. */
  forecast?: readonly ForecastPoint[];
  /** What was done in the meantime, in order of time. */
  marks?: readonly AxisMark[];
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

/** From one label of a limit to the next, in pixels. */
const labelRoom = 34;

const margin = { top: 16, right: 12, bottom: 22, left: 42 };

/** The counts of a week in words: "W33: 12 of 60 · 20 % (12–32)". */
export function pointText(point: TrendPoint): string {
  const { common, trends } = words.value;
  return [
    common.chart.point(format.value.week(point.week), format.value.share(point)),
    ...(point.weighted ? [trends.weighted] : []),
    ...(point.looks_in_doubt > 0 ? [common.chart.doubt(point.looks_in_doubt)] : []),
  ].join(' · ');
}

/** What can be stepped to in the chart: a week that was looked at, or one of the forecast. */
type Stop = { point: TrendPoint; ahead?: undefined } | { ahead: ForecastPoint; point?: undefined };

/** A weekly series: the interval as a band, the share as a line with points, limits with their dates, the forecast behind it. */
export function Series({ points, limits = [], forecast = [], marks = [], weeks, max, width: fixed, height = 150, label, onPick }: SeriesProps) {
  const id = useId();
  const place = useRef<HTMLElement>(null);
  const measured = useWidth(place, fixed);
  const latestAt = points.length - 1;
  const [current, setCurrent] = useState(latestAt);
  useEffect(() => setCurrent(latestAt), [latestAt]);
  const { chart } = words.value.common;
  const first = points[0];
  const latest = points[latestAt];
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
  const dayAt = (date: string): number => x(weekPosition(weeks, date));
  // what lies beyond the last week of the axis is not drawn; the sentence above the chart tells it
  const coming = forecast.filter(({ on }) => weekPosition(weeks, on) < weeks.length - 0.5);
  const stops: Stop[] = [
    ...points.map((point) => ({ point })),
    ...coming.filter(({ on }) => dayAt(on) > px(latest) + step / 2).map((ahead) => ({ ahead })),
  ];
  const last = stops.length - 1;
  const chosen = stops[current] ?? { point: latest };
  const textOf = (stop: Stop): string => (stop.point ? pointText(stop.point) : aheadText(stop.ahead));
  const end = forecast.at(-1);

  const move = (event: KeyboardEvent, i: number): void => {
    const targets: Partial<Record<string, number>> = { ArrowRight: i + 1, ArrowLeft: i - 1, Home: 0, End: last };
    const to = targets[event.key];
    if (to !== undefined && stops[to]) {
      event.preventDefault();
      setCurrent(to);
      place.current?.querySelectorAll<SVGGElement>('.point')[to]?.focus();
    } else if (onPick && (event.key === 'Enter' || event.key === ' ')) {
      event.preventDefault();
      const point = stops[i]?.point;
      if (point) onPick(point);
    }
  };

  return (
    <figure class="series" ref={place}>
      <svg viewBox={`0 0 ${measured} ${height}`} width={measured} height={height} role="group" aria-labelledby={`${id}-title ${id}-text`}>
        <title id={`${id}-title`}>{label}</title>
        <desc id={`${id}-text`}>
          {[
            chart.describe(points.length, format.value.week(first.week), format.value.week(latest.week)),
            ...limits.map((limit) => `${limitLabel(limit)}.`),
            ...(end ? [`${aheadText(end)}.`] : []),
          ].join(' ')}
        </desc>
        <PercentAxis ticks={[0, max / 2, max]} y={y} left={margin.left} right={right} />
        <WeekAxis weeks={weeks} x={x} y={bottom} step={step} />
        {coming.length > 1 && <Ahead points={coming} x={dayAt} y={y} id={id} />}
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
            named={!limits.slice(0, i).some(({ percent, effect, to_on: to }) => percent === limit.percent && effect === limit.effect && dayAt(limit.from_on) - dayAt(to) < labelRoom)}
          />
        ))}
        {marks
          .filter(({ on }) => weekPosition(weeks, on) > -0.5 && weekPosition(weeks, on) < weeks.length - 0.5)
          .map(({ on, number }) => (
            <g key={number} class="axis-mark" aria-hidden="true">
              <line x1={dayAt(on)} x2={dayAt(on)} y1={margin.top - 4} y2={bottom} />
              <text x={dayAt(on)} y={margin.top - 6} text-anchor="middle">
                {number}
              </text>
            </g>
          ))}
        {stops.map((stop, i) => {
          const [key, at, percent, low, high] = stop.point
            ? [stop.point.week, px(stop.point), stop.point.infested_percent, stop.point.lower_percent, stop.point.upper_percent]
            : [stop.ahead.on, dayAt(stop.ahead.on), stop.ahead.percent, stop.ahead.lower_90_percent, stop.ahead.upper_90_percent];
          const dot = stop.point ? (stop.point.looks_in_doubt > 0 ? 'dot dot-doubt' : 'dot') : 'dot-ahead';
          return (
            <g
              key={key}
              class={i === current ? 'point point-chosen' : 'point'}
              role={onPick && stop.point ? 'button' : 'img'}
              tabIndex={i === current ? 0 : -1}
              aria-label={textOf(stop)}
              onFocus={() => setCurrent(i)}
              onPointerEnter={() => setCurrent(i)}
              onKeyDown={(event) => move(event, i)}
              onClick={() => stop.point && onPick?.(stop.point)}
            >
              <rect class="point-reach" x={at - step / 2} y={margin.top} width={step} height={bottom - margin.top} />
              <line class="point-whisker" x1={at} x2={at} y1={y(low)} y2={y(high)} />
              <circle class={dot} cx={at} cy={y(percent)} r={3.5} />
            </g>
          );
        })}
      </svg>
      <figcaption class="series-readout" aria-hidden="true">
        {textOf(chosen)}
      </figcaption>
    </figure>
  );
}
