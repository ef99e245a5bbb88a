import { describe, expect, it } from 'vitest';

import { ApiProblem, asProblem, faultAt, networkProblem, problemText, problemTitle, toProblem } from '../../src/problem';
import * as en from '../../src/words/en';
import * as es from '../../src/words/es';

const invalid = new ApiProblem({
  type: 'about:blank',
  title: 'Unprocessable',
  status: 422,
  code: 'invalid',
  errors: [
    { pointer: '/name', code: 'missing', detail: 'name is required' },
    { pointer: '#/lots/0/plants', code: 'odd', detail: 'must be even' },
  ],
});

describe('a problem', () => {
  it('is said in the language of the reader, by its code', () => {
    expect(problemText(networkProblem(), en)).toBe(en.problems.codes.network);
    expect(problemText(networkProblem(), es)).toBe(es.problems.codes.network);
  });

  it('falls back to what the server said when the code is new', () => {
    const odd = { type: 'about:blank', title: 'Odd', status: 422, code: 'constructor' };
    expect(problemText(new ApiProblem({ ...odd, detail: 'The moon is full.' }), es)).toBe('The moon is full.');
    expect(problemText(new ApiProblem(odd), es)).toBe('Odd');
  });

  it('names a stale and a taken record for what they are', () => {
    const with_ = (status: number): ApiProblem => new ApiProblem({ type: 'about:blank', title: 't', status, code: 'c' });
    expect(problemTitle(with_(412), en)).toBe(en.problems.staleTitle);
    expect(problemTitle(with_(409), en)).toBe(en.problems.conflictTitle);
    expect(problemTitle(with_(500), en)).toBe(en.problems.title);
  });

  it('puts each fault at its field', () => {
    expect(faultAt(invalid, '/name', es)).toBe(es.problems.fields.missing);
    expect(faultAt(invalid, '/lots/0/plants', es)).toBe('must be even');
    expect(faultAt(invalid, '/lots/0', es)).toBeUndefined();
    expect(faultAt(null, '/name', es)).toBeUndefined();
    expect(faultAt(invalid, undefined, es)).toBeUndefined();
  });

  it('is read only from what is one', () => {
    expect(asProblem({ title: 'x', status: 404, code: 'not_found' })?.code).toBe('not_found');
    expect(asProblem({ title: 'x', status: '404', code: 'not_found' })).toBeNull();
    expect(asProblem('<html>')).toBeNull();
    expect(asProblem(null)).toBeNull();
  });

  it('shows no program text to people when something broke inside the page', () => {
    expect(problemText(toProblem(new TypeError('x is undefined')), en)).toBe(en.problems.unexpected);
  });
});
