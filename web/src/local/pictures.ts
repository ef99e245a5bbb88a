import { signal } from '@preact/signals';

import { phone, write, type Kept, type Picture } from './db';
import { onOtherTab, tellTabs } from './tabs';

/** All photos that are only on this phone, in the order they were taken. */
export const pictures = signal<readonly Picture[]>([]);

/** Reads from disk which photos wait. */
export async function readPictures(): Promise<void> {
  try {
    pictures.value = (await (await phone()).getAll('pictures')).toSorted((a, b) => (a.id < b.id ? -1 : 1));
  } catch {
    // This browser keeps nothing: photos cannot be taken.
  }
}

onOtherTab('pictures', () => void readPictures());

/** Keeps a photo, or what became of it, on this phone. */
export async function keepPicture(picture: Picture): Promise<Kept> {
  const result = await write(['pictures'], async (writing) => {
    await writing.objectStore('pictures').put(picture);
    return 'kept';
  });
  if (result !== 'kept') return result;
  pictures.value = [...pictures.peek().filter(({ id }) => id !== picture.id), picture].toSorted((a, b) => (a.id < b.id ? -1 : 1));
  tellTabs('pictures');
  return result;
}

/** Takes a photo off this phone: the server has it, or a person let it go. */
export async function dropPicture(id: string): Promise<Kept> {
  const result = await write(['pictures'], async (writing) => {
    await writing.objectStore('pictures').delete(id);
    return 'kept';
  });
  if (result !== 'kept') return result;
  pictures.value = pictures.peek().filter((one) => one.id !== id);
  tellTabs('pictures');
  return result;
}
