import { begunBy } from '../local/begun';
import { phoneClock } from '../local/clock';
import { outbox, recordOf } from '../local/outbox';

/** All that is only on this phone, as a file a person can carry away: records as they would be sent, and looks not finished. */
export function onPhoneAsFile(personId: string): { name: string; content: Blob } {
  const at = phoneClock();
  const content = {
    saved_at: at,
    records: outbox.peek().map((one) => ({ ...recordOf(one), person: one.person_name, made_at: one.made_at, refused: one.problem })),
    not_finished: ['look', 'dock'].flatMap((kind) => begunBy(personId, kind).map(({ value }) => value)),
  };
  return {
    name: `benchtrail-phone-${at.slice(0, 16).replace(/[:T]/g, '-')}.json`,
    content: new Blob([JSON.stringify(content, null, 2)], { type: 'application/json' }),
  };
}

/** Has the browser save a file. */
export function saveFile({ name, content }: { name: string; content: Blob }): void {
  const address = URL.createObjectURL(content);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
