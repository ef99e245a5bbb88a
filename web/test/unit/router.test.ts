import { describe, expect, it } from 'vitest';

import { matchPath, parseRoute, safeReturn, withQuery } from '../../src/router';

describe('an address', () => {
  it('is read into path and query', () => {
    expect(parseRoute('/dock/?site=7').path).toBe('/dock');
    expect(parseRoute('/').path).toBe('/');
    expect(parseRoute('/trends?by=lot').query.get('by')).toBe('lot');
  });

  it('gives its named parts', () => {
    expect(matchPath('/dock/lots/:id', '/dock/lots/7')).toEqual({ id: '7' });
    expect(matchPath('/dock', '/dock')).toEqual({});
    expect(matchPath('/dock/:id', '/dock/a%20b')).toEqual({ id: 'a b' });
    expect(matchPath('/dock/:id', '/dock/')).toBeNull();
    expect(matchPath('/dock/:id', '/dock/1/2')).toBeNull();
    expect(matchPath('/dock/:id', '/walk/1')).toBeNull();
    expect(matchPath('/dock/:id', '/dock/%E0%A4')).toBeNull();
  });

  it('is built with the parameters that have a value', () => {
    expect(withQuery('/trends', { by: 'lot', house: null, week: undefined, n: 0, q: '' })).toBe('/trends?by=lot&n=0');
    expect(withQuery('/trends', {})).toBe('/trends');
  });
});

describe('the way back after signing in', () => {
  it('stays within these pages', () => {
    expect(safeReturn('/dock/lots/7?x=1')).toBe('/dock/lots/7?x=1');
    for (const foreign of [null, '', 'dock', '//evil.example', '/\\evil.example', 'https://evil.example', '/sign-in?to=/']) {
      expect(safeReturn(foreign)).toBe('/');
    }
  });
});
