import { client, read } from '../api';
import type { paths } from '../contract.gen';
import { members, type SumId } from './members';
import { numberIn, type Texts } from './state';

type GetOf<S extends SumId> = paths[`/sums/${S}`]['get'];

/** What a sum is asked with. */
export type QueryOf<S extends SumId> = GetOf<S>['parameters']['query'];

/** What a sum answers. */
export type AnswerOf<S extends SumId> = GetOf<S>['responses'][200]['content']['application/json'];

const askers: { [S in SumId]: (query: QueryOf<S>, signal: AbortSignal) => Promise<AnswerOf<S>> } = {
  'sample-size': (query, signal) => read(client.GET('/sums/sample-size', { params: { query }, signal })),
  proportion: (query, signal) => read(client.GET('/sums/proportion', { params: { query }, signal })),
  difference: (query, signal) => read(client.GET('/sums/difference', { params: { query }, signal })),
  'stop-lines': (query, signal) => read(client.GET('/sums/stop-lines', { params: { query }, signal })),
  'degree-days': (query, signal) => read(client.GET('/sums/degree-days', { params: { query }, signal })),
};

/** The query for the fields as they stand. Empty ones are left out: the server says which it misses. */
export function queryOf(sum: SumId, texts: Texts): Record<string, string | number> {
  const query: Record<string, string | number> = {};
  for (const member of members[sum]) {
    const text = texts[member.name] ?? '';
    const value = member.kind === 'choice' ? text : numberIn(member, text);
    if (value !== null && value !== undefined && value !== '') query[member.name] = value;
  }
  return query;
}

/** Asks the server for a sum. Throws ApiProblem; its faults point at the query, `#query/examined`. */
export async function ask<S extends SumId>(sum: S, texts: Texts, signal: AbortSignal): Promise<AnswerOf<S>> {
  return askers[sum](queryOf(sum, texts) as QueryOf<S>, signal);
}
