import type { Reason } from '../../contract.gen';
import { words } from '../../words';
import { asSentence } from './marked';
import { organismName, type Names } from './names';

/** A reason of the server in a sentence; figures may stand between `**`. */
export function reasonText(reason: Reason, organism: string): string {
  const table: Record<string, (figures: (name: string) => number, organism: string) => string> = words.value.dock.reasons;
  const say = Object.hasOwn(table, reason.code) ? table[reason.code] : undefined;
  return say ? asSentence(say((name) => reason.numbers?.[name] ?? 0, organism)) : reason.code;
}

/** The same with the organism's name looked up. */
export function reasonOf(reason: Reason, names: Names): string {
  return reasonText(reason, organismName(names, reason.organism_id));
}
