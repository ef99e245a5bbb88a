import { area, line } from 'd3-shape';

import type { ForecastPoint } from '../contract.gen';
import { format, words } from '../words';

/** A forecast in words: "Forecast for 15 Sep: 34 % (21–50)". */
export function aheadText(point: ForecastPoint): string {
  const { forecast } = words.value.trends;
  return forecast.point(format.value.date(point.on), format.value.interval(point.percent, point.lower_90_percent, point.upper_90_percent));
}

interface AheadProps {
  points: readonly ForecastPoint[];
  /** Where a day lies, in pixels. */
  x: (date: string) => number;
  y: (percent: number) => number;
  /** Makes the names of the pattern its own on a page of many charts. */
  id: string;
}

/** The lines that fill the band of the likelier half: told from the wide band without colour, and in print. */
export function AheadPattern({ id }: { id: string }) {
  return (
    <pattern id={id} width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
      <line class="ahead-hatch" x1="0" x2="0" y1="0" y2="5" />
    </pattern>
  );
}

/** Where the share may go: a wide band with a dotted edge, a narrower hatched one, a dashed line in the middle. */
export function Ahead({ points, x, y, id }: AheadProps) {
  const px = (point: ForecastPoint): number => x(point.on);
  const wide = area<ForecastPoint>(px, (p) => y(p.lower_90_percent), (p) => y(p.upper_90_percent))(points) ?? '';
  const half = area<ForecastPoint>(px, (p) => y(p.lower_50_percent), (p) => y(p.upper_50_percent))(points) ?? '';
  return (
    <g aria-hidden="true">
      <defs>
        <AheadPattern id={`${id}-hatch`} />
      </defs>
      <path class="ahead-wide" d={wide} />
      <path class="ahead-half" d={half} />
      <path d={half} fill={`url(#${id}-hatch)`} />
      <path class="ahead-line" d={line<ForecastPoint>(px, (p) => y(p.percent))(points) ?? ''} />
    </g>
  );
}
