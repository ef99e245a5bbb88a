import { useState } from 'preact/hooks';

import { Button } from '../parts';
import { words } from '../words';
import { boxAt, Label } from './label';
import type { Layout, Placed } from './layouts';
import type { Subject } from './subjects';

interface SheetProps {
  layout: Layout;
  placed: readonly Placed<Subject>[];
  /** Said of the sheet: which of how many. */
  name: string;
  /** Only this one is on the screen; all of them are printed. */
  shown: boolean;
  origin: string;
}

function Sheet({ layout, placed, name, shown, origin }: SheetProps) {
  const used = placed[0]?.place ?? 0;
  return (
    <div class={`label-sheet label-sheet-${layout.paper.toLowerCase()}`} data-shown={shown} style={{ '--wide': layout.pageWidth, '--high': layout.pageHeight }}>
      {Array.from({ length: used }, (_, place) => (
        <span key={place} class="label-used" style={boxAt(layout, place)} aria-hidden="true" />
      ))}
      <ol aria-label={name}>
        {placed.map(({ item, place }) => (
          <Label key={place} subject={item} layout={layout} place={place} origin={origin} />
        ))}
      </ol>
    </div>
  );
}

/** The sheets as they come out of the printer, one at a time on the screen. */
export function Preview({ layout, sheets, origin }: { layout: Layout; sheets: readonly Placed<Subject>[][]; origin: string }) {
  const { labels } = words.value;
  const [turned, turn] = useState(0);
  const at = Math.min(turned, sheets.length - 1);
  return (
    <div class="label-preview">
      {sheets.length > 1 && (
        <div class="label-turn">
          {/* At the ends the buttons stay, so that the focus is not lost to who turns sheets by keyboard. */}
          <Button onClick={() => turn(Math.max(0, at - 1))} aria-disabled={at === 0}>
            {labels.before}
          </Button>
          <p aria-live="polite">{labels.sheet(at + 1, sheets.length)}</p>
          <Button onClick={() => turn(Math.min(sheets.length - 1, at + 1))} aria-disabled={at === sheets.length - 1}>
            {labels.next}
          </Button>
        </div>
      )}
      <div class="label-sheets">
        {sheets.map((placed, i) => (
          <Sheet key={i} layout={layout} placed={placed} name={labels.sheet(i + 1, sheets.length)} shown={i === at} origin={origin} />
        ))}
      </div>
    </div>
  );
}
