import type { PhotoBody } from '../contract.gen';
import type { Kept } from '../local/db';
import { keepPicture } from '../local/pictures';
import { send } from '../local/sending';
import { shrink } from '../local/shrink';
import { uuid7 } from '../local/uuid7';
import { serverNow, session } from '../session';

/** What a photo shows. */
export type Shown = Pick<PhotoBody, 'subject_noun' | 'subject_id' | 'plant' | 'what'>;

/** Keeps a photo on this phone, made smaller; it is sent after what it shows. 'no_picture': the file is none. */
export async function takePhoto(file: Blob, shown: Shown, title: string): Promise<Kept | 'no_picture'> {
  const person = session.peek()?.person;
  let jpeg: Blob;
  try {
    jpeg = await shrink(file);
  } catch {
    return 'no_picture';
  }
  const kept = await keepPicture({
    id: uuid7(),
    person_id: person?.id ?? '',
    person_name: person?.name ?? '',
    title,
    body: { ...shown, taken_at: serverNow().toISOString() },
    jpeg,
    problem: null,
  });
  if (kept === 'kept') void send();
  return kept;
}
