import { describe, expect, it } from 'vitest';

import * as en from '../../src/words/en';
import * as es from '../../src/words/es';

/** Every string and function of a dictionary by its path. */
function leaves(node: object, path = ''): Map<string, unknown> {
  const found = new Map<string, unknown>();
  for (const [key, value] of Object.entries(node) as [string, unknown][]) {
    if (typeof value === 'object' && value !== null) {
      for (const [inner, leaf] of leaves(value, `${path}${key}.`)) found.set(inner, leaf);
    } else {
      found.set(path + key, value);
    }
  }
  return found;
}

describe('the two languages', () => {
  it('have the same strings', () => {
    expect([...leaves(es).keys()].toSorted()).toEqual([...leaves(en).keys()].toSorted());
  });

  it('leave none empty, and take the same figures', () => {
    const spanish = leaves(es);
    for (const [path, english] of leaves(en)) {
      const other = spanish.get(path);
      expect(typeof other, path).toBe(typeof english);
      if (typeof english === 'string') expect(english.trim(), path).not.toBe('');
      if (typeof other === 'string') expect(other.trim(), path).not.toBe('');
      if (typeof english === 'function' && typeof other === 'function') expect(other.length, path).toBe(english.length);
    }
  });

  it('never call a plant or a lot clean', () => {
    for (const [path, text] of [...leaves(en), ...leaves(es)]) {
      const said = typeof text === 'function' ? text.toString() : String(text);
      expect(said, path).not.toMatch(/\b(clean|limpi[oa]s?)\b/i);
    }
  });
});
