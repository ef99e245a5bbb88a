import { useId } from 'preact/hooks';

import { knownPart } from './geometry';

interface ShareCellProps {
  percent: number;
  lower: number;
  upper: number;
  /** The share that is drawn darkest. */
  max: number;
  /** `useHatch` of the page. */
  hatch: string;
}

const height = 14;

/** The fill of what is not known: lines that are seen in grey and in print. Drawn once on a page; cells name it. */
export function HatchPattern({ id }: { id: string }) {
  return (
    <svg class="share-hatch" width="0" height="0" aria-hidden="true">
      <defs>
        <pattern id={id} width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <line class="share-hatch-line" x1="0" x2="0" y1="0" y2="4" />
        </pattern>
      </defs>
    </svg>
  );
}

/** A name for the pattern of a page. */
export function useHatch(): string {
  return `${useId()}-unknown`;
}

/**
 * A share as a small box: the darker, the more is infested; the longer the part that is not hatched, the
 * better the share is known. What it shows must stand beside it in words.
 */
export function ShareCell({ percent, lower, upper, max, hatch }: ShareCellProps) {
  const known = `${Math.round(100 * knownPart(lower, upper))}%`;
  const dark = percent === 0 ? 0 : 0.15 + (0.85 * Math.min(percent, max)) / max;
  return (
    <svg class="share-cell" width="100%" height={height} aria-hidden="true">
      <rect width="100%" height={height} fill={`url(#${hatch})`} />
      <rect class="share-paper" width={known} height={height} />
      <rect class="share-known" width={known} height={height} fill-opacity={dark} />
    </svg>
  );
}
