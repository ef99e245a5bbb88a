import { scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import { useId, useRef, useState } from 'preact/hooks';

import { format } from '../words';
import { PercentAxis } from './axis';
import { placeLabels } from './labels';
import { useWidth } from './use-width';

/** One group of a funnel. */
export interface FunnelPoint {
  key: string;
  name: string;
  plants: number;
  percent: number;
  outside: boolean;
  /** The point in words, for those who reach it. */
  text: string;
}

interface FunnelProps {
  points: readonly FunnelPoint[];
  /** The limits by plants looked at, fewest first. */
  limits: readonly { plants: number; lower: number; upper: number }[];
  /** The share of all together, in percent. */
  overall: number;
  /** Top of the percent scale. */
  max: number;
  label: string;
  /** What the chart shows, read aloud. */
  text: string;
  /** What the plants axis counts. */
  axis: string;
  /** Opens what is behind a point. */
  onPick?: (key: string) => void;
}

const margin = { top: 14, right: 14, bottom: 38, left: 42 };
const height = 320;

/** Shares against plants looked at, with the lines between which chance alone keeps nearly all. */
export function Funnel({ points, limits, overall, max, label, text, axis, onPick }: FunnelProps) {
  const id = useId();
  const place = useRef<HTMLElement>(null);
  const width = useWidth(place);
  const [current, setCurrent] = useState(0);
  const right = width - margin.right;
  const bottom = height - margin.bottom;
  const most = Math.max(1, ...points.map(({ plants }) => plants));
  const x = scaleLinear([0, most], [margin.left, right]).nice(4);
  const scale = scaleLinear([0, max], [bottom, margin.top]);
  const y = (percent: number): number => scale(Math.min(percent, max));
  type Limit = FunnelProps['limits'][number];
  const at = ({ plants }: Limit): number => x(plants);
  const between = area<Limit>(at, ({ lower }) => y(lower), ({ upper }) => y(upper))(limits) ?? '';
  const named = points
    .filter(({ outside }) => outside)
    .map(({ name, plants, percent }) => ({ name, x: x(plants), y: y(percent) }));
  const inOrder = points.toSorted((a, b) => a.plants - b.plants || a.percent - b.percent);
  const last = inOrder.length - 1;
  const chosen = Math.min(current, last);
  const move = (event: KeyboardEvent, i: number): void => {
    const targets: Partial<Record<string, number>> = { ArrowRight: i + 1, ArrowLeft: i - 1, Home: 0, End: last };
    const to = targets[event.key];
    const there = to === undefined ? undefined : inOrder[to];
    if (to !== undefined && there) {
      event.preventDefault();
      setCurrent(to);
      place.current?.querySelectorAll<SVGGElement>('.point')[to]?.focus();
    } else if (onPick && (event.key === 'Enter' || event.key === ' ')) {
      event.preventDefault();
      const key = inOrder[i]?.key;
      if (key !== undefined) onPick(key);
    }
  };
  return (
    <figure class="series funnel" ref={place}>
      <svg viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="group" aria-labelledby={`${id}-title ${id}-text`}>
        <title id={`${id}-title`}>{label}</title>
        <desc id={`${id}-text`}>{text}</desc>
        <PercentAxis ticks={[0, max / 2, max]} y={y} left={margin.left} right={right} />
        <g class="axis" aria-hidden="true">
          {x.ticks(width < 520 ? 4 : 8).filter(Number.isInteger).map((tick) => (
            <g key={tick}>
              <line x1={x(tick)} x2={x(tick)} y1={bottom} y2={bottom + 4} />
              <text x={x(tick)} y={bottom + 16} text-anchor="middle">
                {format.value.count(tick)}
              </text>
            </g>
          ))}
          <text x={right} y={bottom + 33} text-anchor="end">
            {axis}
          </text>
        </g>
        <path class="funnel-inside" d={between} />
        <path class="funnel-limit" d={line<Limit>(at, ({ lower }) => y(lower))(limits) ?? ''} />
        <path class="funnel-limit" d={line<Limit>(at, ({ upper }) => y(upper))(limits) ?? ''} />
        <line class="interval-overall" x1={margin.left} x2={right} y1={y(overall)} y2={y(overall)} />
        {inOrder.map(({ key, plants, percent, outside, text: said }, i) => (
          <g
            key={key}
            class={i === chosen ? 'point point-chosen' : 'point'}
            transform={`translate(${x(plants)} ${y(percent)})`}
            role={onPick ? 'button' : 'img'}
            tabIndex={i === chosen ? 0 : -1}
            aria-label={said}
            onFocus={() => setCurrent(i)}
            onPointerEnter={() => setCurrent(i)}
            onKeyDown={(event) => move(event, i)}
            onClick={() => onPick?.(key)}
          >
            <rect class="point-reach" x={-12} y={-12} width={24} height={24} />
            {outside ? <path class="funnel-outside" d="M0 -5.5 L5.5 0 L0 5.5 L-5.5 0 Z" /> : <circle class="funnel-point" r={3.5} />}
          </g>
        ))}
        <g class="funnel-names" aria-hidden="true">
          {placeLabels(named, { left: margin.left, right, bottom }).map(({ name, anchor, textX, textY }) => (
            <text key={name} x={textX} y={textY} dy="0.34em" text-anchor={anchor}>
              {name}
            </text>
          ))}
        </g>
      </svg>
      <figcaption class="series-readout" aria-hidden="true">
        {inOrder[chosen]?.text}
      </figcaption>
    </figure>
  );
}
