import { useEffect, useMemo } from 'preact/hooks';

import { pictureAddress } from '../../api';
import type { Lot, PhotoBody } from '../../contract.gen';
import { pictures } from '../../local/pictures';
import { format, words } from '../../words';
import { zoneOf } from '../shared/site';
import type { Found } from './found';
import { subjectsOf } from './observers';
import { SheetPart } from './sheet-part';

/** A photo as the page shows it: with the server, or still on this phone. */
interface SheetPhoto {
  id: string;
  body: Pick<PhotoBody, 'subject_noun' | 'subject_id' | 'what' | 'note' | 'taken_at'>;
  by: string;
  /** The picture, when it is only on this phone. */
  jpeg: Blob | null;
}

/** The photos of a claim of these lots, taken before it was sent, in the order in which they were taken. */
export function photosOf(found: Found, lots: readonly Lot[], sentAt: string | null): SheetPhoto[] {
  const subjects = subjectsOf(found, lots);
  const there = found.photos.map((photo): SheetPhoto => ({ id: photo.id, body: photo, by: photo.recorded_by.name, jpeg: null }));
  const here = pictures.value
    .filter(({ id }) => !found.photos.some((photo) => photo.id === id))
    .map(({ id, body, person_name, jpeg }): SheetPhoto => ({ id, body, by: person_name, jpeg }));
  return [...there, ...here]
    .filter(({ body }) => subjects.has(body.subject_id) && (sentAt === null || Date.parse(body.taken_at) <= Date.parse(sentAt)))
    .toSorted((a, b) => Date.parse(a.body.taken_at) - Date.parse(b.body.taken_at));
}

/** What a photo shows, and of what. */
function captionOf({ body }: SheetPhoto, { lots, inspections }: Found): string {
  const { what } = words.value.common.photo;
  const lotId = inspections.find(({ id }) => id === body.subject_id)?.lot_id ?? body.subject_id;
  const code = lots.find(({ id }) => id === lotId)?.code;
  const kind = what[body.what ?? 'other'];
  return [kind.charAt(0).toLocaleUpperCase() + kind.slice(1), code, body.note].filter(Boolean).join(', ');
}

function Figure({ photo, number, found }: { photo: SheetPhoto; number: number; found: Found }) {
  const say = words.value.dock.claim.sheet;
  const { id, jpeg, body, by } = photo;
  const address = useMemo(() => (jpeg ? URL.createObjectURL(jpeg) : pictureAddress(id, 'full')), [id, jpeg]);
  useEffect(() => () => {
    if (jpeg) URL.revokeObjectURL(address);
  }, [address, jpeg]);
  const caption = captionOf(photo, found);
  return (
    <figure>
      <img src={address} alt={say.photoAlt(number, caption)} />
      <figcaption>
        <b>{number}</b> {caption}. <span class="quiet">{say.photoBy(by, format.value.moment(body.taken_at, zoneOf(found.shipment.site_id)))}</span>
        {jpeg && <span class="claim-unsent"> {say.notSent}</span>}
      </figcaption>
    </figure>
  );
}

/** The photos, numbered, each with what it shows, who took it and when. */
export function SheetPhotos({ photos, found }: { photos: readonly SheetPhoto[]; found: Found }) {
  const say = words.value.dock.claim.sheet;
  return (
    <SheetPart title={say.photos}>
      {photos.length === 0 ? (
        <p>{say.photosNone}</p>
      ) : (
        <div class="claim-photos">
          {photos.map((photo, i) => (
            <Figure key={photo.id} photo={photo} number={i + 1} found={found} />
          ))}
        </div>
      )}
    </SheetPart>
  );
}
