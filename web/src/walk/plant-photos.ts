import { dropPicture, keepPicture, pictures } from '../local/pictures';
import type { Picture } from '../local/db';

/** The photos of a look that are only on this phone. */
export function photosOf(lookId: string): Picture[] {
  return pictures.value.filter(({ body }) => body.subject_id === lookId);
}

/**
 * Has the photos of a look follow when a plant (counted from 1) is taken out: those of later
 * plants move up with them, one of that plant stays as a photo of the block.
 */
export async function plantTakenOut(lookId: string, plant: number): Promise<void> {
  for (const picture of photosOf(lookId)) {
    const of = picture.body.plant ?? 0;
    if (of >= plant) await keepPicture({ ...picture, body: { ...picture.body, plant: of === plant ? null : of - 1 } });
  }
}

/** Lets the photos of a look go that was let go before it was finished. Answers how to bring them back. */
export async function letPhotosGo(lookId: string): Promise<() => Promise<void>> {
  const gone = photosOf(lookId);
  for (const { id } of gone) await dropPicture(id);
  return async () => {
    for (const picture of gone) await keepPicture(picture);
  };
}
