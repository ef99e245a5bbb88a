import type { TrendAnswer } from '../contract.gen';
import { words } from '../words';

/** The shapes are told apart without colour: over a line, on it, under it. */
const shapes: Record<TrendAnswer['code'], string> = {
  above: 'M6 1 L11 8 L1 8 Z M1 11 L11 11',
  too_close: 'M1 6 L11 6 M6 3 L9 6 L6 9 L3 6 Z',
  too_few: 'M1 6 L4 6 M8 6 L11 6',
  no_limit: '',
  below: 'M1 1 L11 1 M6 11 L11 4 L1 4 Z',
  no_looks: '',
};

/** Where a group stands, as a word with a shape. With `of`, it says what stands there. */
export function Standing({ code, of }: { code: TrendAnswer['code']; of?: string }) {
  const { trends: say } = words.value;
  return (
    <span class={code === 'above' ? 'tag tag-strong standing' : 'tag standing'}>
      {shapes[code] !== '' && (
        <svg viewBox="0 0 12 12" width="12" height="12" aria-hidden="true">
          <path d={shapes[code]} fill="currentColor" stroke="currentColor" stroke-width="1.5" stroke-linejoin="round" />
        </svg>
      )}
      {of === undefined ? say.standing[code] : say.standingOf(of, say.standing[code])}
    </span>
  );
}
