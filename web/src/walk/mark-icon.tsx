/** What a mark looks like; always with its word beside it or read aloud. */
export type MarkShape = 'none' | 'seen' | 'not-counted';

/** An open ring, a filled diamond, an open diamond. */
export function MarkIcon({ shape }: { shape: MarkShape }) {
  return (
    <svg class={`walk-icon walk-icon-${shape}`} viewBox="0 0 20 20" width="20" height="20" aria-hidden="true">
      {shape === 'none' ? <circle cx="10" cy="10" r="6.5" /> : <path d="M10 1.5 18.5 10 10 18.500 1.5 10z" />}
    </svg>
  );
}
