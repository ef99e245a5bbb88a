import { format, words } from '../words';
import type { Subject } from './subjects';

/** What stands on a label: the large code, and the lines under it. */
export function saidOf(subject: Subject): { code: string; lines: string[] } {
  if (subject.kind === 'block') return { code: subject.name, lines: [subject.house] };
  const { labels } = words.value;
  const day = format.value.fullDate(subject.arrivedOn);
  return {
    code: subject.code,
    lines: [
      subject.cultivar,
      subject.here ? labels.arrived(day) : labels.expected(day),
      ...(subject.supplierLotCode === null ? [] : [labels.supplierLot(subject.supplierLotCode)]),
    ],
  };
}

/** A label's name in a list. */
export function nameOf(subject: Subject): string {
  return subject.kind === 'block' ? `${subject.house}, ${subject.name}` : `${subject.code} ${subject.cultivar}`;
}
