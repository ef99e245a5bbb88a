import { parseNumber } from '../parts/number-field';
import { withQuery } from '../router';
import { members, sumIds, type Member, type SumId } from './members';

/** What stands in the fields of a sum, by name; empty when nothing does. */
export type Texts = Readonly<Record<string, string>>;

/** The sum the address is about, with its fields; no fields when it only names the sum. */
export interface SumsState {
  sum: SumId | null;
  texts: Texts | null;
}

const mostDecimals = 6;

/** The number in a field; null when it is empty, undefined when it is no number of its kind. */
export function numberIn(member: Member, text: string): number | null | undefined {
  return parseNumber(text, member.kind === 'count' ? 0 : mostDecimals);
}

/** A field's text as the address writes it; undefined when it cannot be read. */
function plain(member: Member, text: string): string | undefined {
  if (member.kind === 'choice') return member.choices.find((choice) => choice === text);
  const number = numberIn(member, text);
  return number === undefined ? undefined : number === null ? '' : String(number);
}

/** The fields a sum opens with. */
export function example(sum: SumId): Texts {
  return Object.fromEntries(members[sum].map(({ name, example: text }) => [name, text]));
}

/** The names of the fields whose text is no number. */
export function unreadable(sum: SumId, texts: Texts): string[] {
  return members[sum].filter((member) => plain(member, texts[member.name] ?? '') === undefined).map(({ name }) => name);
}

/** Reads the address. A value that cannot be read is left empty, a choice falls back on the first; never guessed. */
export function readState(query: URLSearchParams): SumsState {
  const sum = sumIds.find((id) => id === query.get('sum')) ?? null;
  if (sum === null || !members[sum].some(({ name }) => query.has(name))) return { sum, texts: null };
  const texts = members[sum].map((member) => {
    const text = plain(member, query.get(member.name) ?? '');
    return [member.name, text ?? (member.kind === 'choice' ? member.example : '')];
  });
  return { sum, texts: Object.fromEntries(texts) as Texts };
}

/** The address of a sum with its fields. */
export function addressOf(sum: SumId, texts: Texts): string {
  const fields = members[sum].map((member) => [member.name, plain(member, texts[member.name] ?? '')]);
  return withQuery('/sums', { sum, ...(Object.fromEntries(fields) as Record<string, string | undefined>) });
}
