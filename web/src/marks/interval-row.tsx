interface IntervalRowProps {
  percent: number;
  lower: number;
  upper: number;
  /** A second, lesser mark: the share drawn towards a mean. */
  aside?: number;
  /** A line through all rows. */
  overall?: number;
  /** Top of the common scale. */
  max: number;
}

const height = 20;

/** A share as a dot in its interval, on a scale as wide as its place. What it shows must stand beside it in words. */
export function IntervalRow({ percent, lower, upper, aside, overall, max }: IntervalRowProps) {
  const at = (value: number): string => `${(100 * Math.min(value, max)) / max}%`;
  const middle = height / 2;
  return (
    <svg class="interval-row" width="100%" height={height} aria-hidden="true">
      <line class="interval-scale" x1="0%" x2="100%" y1={height - 0.5} y2={height - 0.5} />
      {overall !== undefined && <line class="interval-overall" x1={at(overall)} x2={at(overall)} y1="0" y2={height} />}
      <line class="interval-line" x1={at(lower)} x2={at(upper)} y1={middle} y2={middle} />
      {lower <= max && <line class="interval-line" x1={at(lower)} x2={at(lower)} y1={middle - 4} y2={middle + 4} />}
      {upper <= max && <line class="interval-line" x1={at(upper)} x2={at(upper)} y1={middle - 4} y2={middle + 4} />}
      {aside !== undefined && (
        <svg x={at(aside)} y={middle} width="1" height="1" overflow="visible">
          <path class="interval-aside" d="M0 -5 L5 0 L0 5 L-5 0 Z" />
        </svg>
      )}
      <circle class="dot" cx={at(percent)} cy={middle} r={4.5} />
    </svg>
  );
}

/** The scale over the rows. */
export function IntervalScale({ max, write }: { max: number; write: (percent: number) => string }) {
  const ticks = [0, max / 2, max];
  return (
    <svg class="interval-row axis" width="100%" height={height} aria-hidden="true">
      {ticks.map((tick, i) => (
        <g key={tick}>
          <text x={`${(100 * tick) / max}%`} y="12" text-anchor={i === 0 ? 'start' : i === 2 ? 'end' : 'middle'}>
            {write(tick)}
          </text>
          <line x1={`${(100 * tick) / max}%`} x2={`${(100 * tick) / max}%`} y1="15" y2={height} />
        </g>
      ))}
    </svg>
  );
}
