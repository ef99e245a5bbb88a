import { scaleLinear } from 'd3-scale';
import { curveStepAfter, line } from 'd3-shape';
import { useId, useRef } from 'preact/hooks';

import type { StopLine, StopLinesSum } from '../contract.gen';
import { useWidth } from '../marks';
import { format, words } from '../words';

const margin = { top: 24, right: 12, bottom: 38, left: 36 };
const height = 260;

/** The two stop lines: plants looked at to the right, infested ones upwards. */
export function StopChart({ sum, text }: { sum: StopLinesSum; text: string }) {
  const id = useId();
  const place = useRef<HTMLElement>(null);
  const width = useWidth(place);
  const { chart } = words.value.sums;
  const right = width - margin.right;
  const bottom = height - margin.bottom;
  const top = Math.max(2, ...sum.lines.map(({ above_if_at_least: least }) => least ?? 0));
  const x = scaleLinear([0, sum.maximum], [margin.left, right]);
  const y = scaleLinear([0, top], [bottom, margin.top]);
  const draw = (value: (at: StopLine) => number | null): string =>
    line<StopLine>()
      .defined((at) => value(at) !== null)
      .x((at) => x(at.plants))
      .y((at) => y(value(at) ?? 0))
      .curve(curveStepAfter)(sum.lines) ?? '';
  const middle = sum.lines.find(({ plants, below_if_at_most: most, above_if_at_least: least }) => plants >= sum.maximum / 2 && most !== null && least !== null);
  const between = middle && { x: x(middle.plants), low: y(middle.below_if_at_most ?? 0), high: y(middle.above_if_at_least ?? 0) };
  const whole = (tick: number): boolean => Number.isInteger(tick);
  return (
    <figure class="series stop-chart" ref={place}>
      <svg viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="img" aria-labelledby={`${id}-title ${id}-text`}>
        <title id={`${id}-title`}>{chart.label(format.value.count(sum.maximum))}</title>
        <desc id={`${id}-text`}>{text}</desc>
        <g class="axis" aria-hidden="true">
          {y.ticks(5).filter(whole).map((tick) => (
            <g key={tick}>
              <line class={tick === 0 ? 'axis-ground' : 'axis-grid'} x1={margin.left} x2={right} y1={y(tick)} y2={y(tick)} />
              <text x={margin.left - 6} y={y(tick)} dy="0.34em" text-anchor="end">
                {format.value.count(tick)}
              </text>
            </g>
          ))}
          {x.ticks(width < 520 ? 4 : 8).filter(whole).map((tick) => (
            <g key={tick}>
              <line x1={x(tick)} x2={x(tick)} y1={bottom} y2={bottom + 4} />
              <text x={x(tick)} y={bottom + 16} text-anchor="middle">
                {format.value.count(tick)}
              </text>
            </g>
          ))}
          <text x={right} y={bottom + 33} text-anchor="end">
            {chart.x}
          </text>
          <text x={margin.left - 24} y={10}>
            {chart.y}
          </text>
        </g>
        <path class="stop-above" d={draw((at) => at.above_if_at_least)} />
        <path class="stop-below" d={draw((at) => at.below_if_at_most)} />
        <g class="stop-names" aria-hidden="true">
          <text x={x(sum.maximum * 0.25)} y={y(top * 0.85)} text-anchor="middle">
            {chart.above}
          </text>
          {between && between.low - between.high > 44 && (
            <text x={between.x} y={(between.low + between.high) / 2 + 4} text-anchor="middle">
              {chart.goOn}
            </text>
          )}
          <text x={x(sum.maximum * 0.85)} y={y(top * 0.12)} text-anchor="middle">
            {chart.below}
          </text>
        </g>
      </svg>
    </figure>
  );
}
