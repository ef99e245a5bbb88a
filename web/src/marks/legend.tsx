import { useId } from 'preact/hooks';

import { format, words } from '../words';
import { AheadPattern } from './ahead';

/** What the marks of a series and of its forecast stand for, in words. */
export function SeriesLegend({ confidence, ahead }: { confidence: number; ahead: boolean }) {
  const id = useId();
  const { legend } = words.value.trends;
  const items = [
    {
      text: legend.seen(format.value.percent(confidence)),
      swatch: (
        <>
          <rect class="band" width="28" height="16" />
          <line class="line" x1="0" x2="28" y1="8" y2="8" />
          <circle class="dot" cx="14" cy="8" r="3.5" />
        </>
      ),
    },
    ...(ahead
      ? [
          { text: legend.middle, swatch: <line class="ahead-line" x1="0" x2="28" y1="8" y2="8" /> },
          {
            text: legend.half,
            swatch: (
              <>
                <defs>
                  <AheadPattern id={`${id}-hatch`} />
                </defs>
                <rect class="ahead-half" width="28" height="16" />
                <rect width="28" height="16" fill={`url(#${id}-hatch)`} />
              </>
            ),
          },
          { text: legend.wide, swatch: <rect class="ahead-wide" x="0.5" y="0.5" width="27" height="15" /> },
        ]
      : []),
  ];
  return (
    <ul class="legend">
      {items.map(({ text, swatch }) => (
        <li key={text}>
          <svg viewBox="0 0 28 16" width="28" height="16" aria-hidden="true">
            {swatch}
          </svg>
          <span>{text}</span>
        </li>
      ))}
    </ul>
  );
}
