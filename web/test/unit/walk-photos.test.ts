import 'fake-indexeddb/auto';

import { afterEach, describe, expect, it } from 'vitest';

import { forgetAll } from '../../src/local/db';
import { keepPicture, pictures, readPictures } from '../../src/local/pictures';
import { letPhotosGo, photosOf, plantTakenOut } from '../../src/walk/plant-photos';

async function photo(id: string, plant: number | null, look = 'look'): Promise<void> {
  await keepPicture({
    id,
    person_id: 'scout',
    person_name: 'Scout',
    title: 'House 2',
    body: { subject_noun: 'looks', subject_id: look, taken_at: '2026-09-14T07:05:00Z', ...(plant !== null && { plant }) },
    jpeg: new Blob(['x']),
    problem: null,
  });
}

const plants = (look = 'look'): unknown[] => photosOf(look).map(({ id, body }) => [id, body.plant ?? null]);

afterEach(async () => {
  await forgetAll();
  pictures.value = [];
});

describe('the photos of plants in a look that is being made', () => {
  it('follow their plants when one before them is taken out', async () => {
    await photo('a', 1);
    await photo('b', 3);
    await photo('c', 4);
    await photo('d', null);
    await photo('e', 5, 'another');
    await plantTakenOut('look', 3);
    expect(plants()).toEqual([['a', 1], ['b', null], ['c', 3], ['d', null]]);
    expect(plants('another')).toEqual([['e', 5]]);
    pictures.value = [];
    await readPictures();
    expect(plants()).toEqual([['a', 1], ['b', null], ['c', 3], ['d', null]]); // on disk, too
  });

  it('go with a look that is let go, and come back with it', async () => {
    await photo('a', 1);
    await photo('e', 5, 'another');
    const bringBack = await letPhotosGo('look');
    expect([plants(), plants('another')]).toEqual([[], [['e', 5]]]);
    await bringBack();
    expect(plants()).toEqual([['a', 1]]);
  });
});
