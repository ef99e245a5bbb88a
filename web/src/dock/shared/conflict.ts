import type { MovementConflict } from '../../contract.gen';
import { refusalText } from '../../refusal';
import type { Words } from '../../words';

/** Why a movement does not fit the book, in the reader's language with the numbers. */
export function conflictText({ code, detail }: Pick<MovementConflict, 'code' | 'detail'>, words: Words): string {
  const fields: Record<string, string> = words.problems.fields;
  return refusalText(detail, words) ?? (Object.hasOwn(fields, code) ? fields[code] : undefined) ?? detail;
}

type Advice = keyof Words['dock']['life']['conflicts']['todo'];

const advice: Record<string, Advice> = {
  not_yet_received: 'moment',
  before_birth: 'moment',
  born_twice: 'birth',
  circle: 'birth',
  never_born: 'lot',
  unknown_lot: 'lot',
  other_cultivar: 'lot',
};

/** What a person can do about it. */
export function conflictAdvice(code: string, { dock }: Words): string {
  return dock.life.conflicts.todo[(Object.hasOwn(advice, code) ? advice[code] : undefined) ?? 'number'];
}
