import { words } from '../words';
import { codeSide, edge, placeAt, type Layout } from './layouts';
import { letterSize } from './letters';
import { qrOf } from './qr';
import { saidOf } from './said';
import { addressOf, type Subject } from './subjects';

/** A length that is a millimetre on paper and scales with the preview on the screen. */
function mm(length: number): string {
  return `calc(${length} * var(--mm))`;
}

function Code({ address, side }: { address: string; side: number }) {
  const drawing = qrOf(address);
  return (
    <svg
      class="label-code"
      role="img"
      aria-label={words.value.labels.code(address)}
      viewBox={`0 0 ${drawing.side} ${drawing.side}`}
      shape-rendering="crispEdges"
      style={{ width: mm(side), height: mm(side) }}
    >
      <path d={drawing.path} />
    </svg>
  );
}

/** Where something stands on the sheet. */
export function boxAt(layout: Layout, place: number): Record<'left' | 'top' | 'width' | 'height', string> {
  const { x, y } = placeAt(layout, place);
  return { left: mm(x), top: mm(y), width: mm(layout.width), height: mm(layout.height) };
}

/** One label: in large letters what it is, beside the code that opens its page. */
export function Label({ subject, layout, place, origin }: { subject: Subject; layout: Layout; place: number; origin: string }) {
  const { code, lines } = saidOf(subject);
  const side = codeSide(layout);
  const room = layout.width - side - 3 * edge;
  const least = layout.height / 10;
  const large = letterSize(code, room, least, layout.height / 3.5);
  return (
    <li class="label" style={{ ...boxAt(layout, place), padding: mm(edge), gap: mm(edge) }}>
      <div class="label-text">
        <p class={large > least ? 'label-name label-whole' : 'label-name'} style={{ fontSize: mm(large) }}>
          {code}
        </p>
        {lines.map((line, i) => (
          <p key={i} style={{ fontSize: mm(letterSize(line, room, 2.3, Math.min(layout.height / 9, 5))) }}>
            {line}
          </p>
        ))}
      </div>
      <Code address={addressOf(subject, origin)} side={side} />
    </li>
  );
}
