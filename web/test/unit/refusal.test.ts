import { describe, expect, it } from 'vitest';

import { faultText } from '../../src/problem';
import { refusalText } from '../../src/refusal';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';

const plain = (text: string | undefined): string => (text ?? '').replaceAll('\u00a0', ' ');

describe('a refusal of the book', () => {
  it('says the numbers the server found, in both languages', () => {
    const detail = '500 plants are to go but only 100 stood there on 2026-09-14';
    expect(plain(refusalText(detail, en))).toBe('500 plants asked for, but only 100 stood there on 14 Sep.');
    expect(plain(refusalText(detail, es))).toBe('Se piden 500 plantas, pero el 14 sept solo había 100.');
  });

  it('says of another movement that would no longer fit which, and why', () => {
    const detail = 'then the dispatch of 2026-09-20 no longer fits: 80 plants are named but only 60 stood there on 2026-09-20';
    expect(plain(refusalText(detail, en))).toBe(
      'Then “dispatch” of 20 Sep would no longer fit: 80 plants asked for, but only 60 stood there on 20 Sep.',
    );
  });

  it('says who holds the plants, since when and why', () => {
    const detail =
      'the plants are held since 2026-09-14 (official: Ralstonia suspected); bring them into quarantine, lift the hold, or say that it was done all the same';
    expect(plain(refusalText(detail, en))).toBe('The plants are held since 14 Sep (official hold: Ralstonia suspected).');
    expect(plain(refusalText(detail, es))).toBe('Las plantas están retenidas desde el 14 sept (retención oficial: Ralstonia suspected).');
  });

  it('says the days of a lot that had not begun', () => {
    const detail = '5 plants are asked for on 2026-09-01 but the lot had not begun (its split is of 2026-09-03)';
    expect(plain(refusalText(detail, en))).toBe('5 plants asked for on 1 Sep, but the lot began only on 3 Sep.');
  });

  it('falls back on the words for the code where the form is not known', () => {
    expect(faultText({ pointer: '/lot_id', code: 'unknown_lot', detail: 'the lot is not in the book' }, en)).toBe('This lot is not in the book.');
  });
});
