import { describe, expect, it } from 'vitest';

import { uuid7 } from '../../src/local/uuid7';

describe('uuid7', () => {
  it('starts with the millisecond, then version and variant', () => {
    // RFC 9562, appendix A.6: 0x017F22E279B0 is 22 February 2022, 19:22:22 UTC.
    expect(uuid7(0x017f22e279b0)).toMatch(/^017f22e2-79b0-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  });

  it('sorts by time', () => {
    const ids = [1, 255, 65_536, 2 ** 32 - 1, 2 ** 32, 2 ** 40].map((moment) => uuid7(moment));
    expect(ids.toSorted()).toEqual(ids);
  });

  it('gives no id twice', () => {
    expect(new Set(Array.from({ length: 10_000 }, () => uuid7(0))).size).toBe(10_000);
  });
});
