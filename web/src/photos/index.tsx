import './photos.css';

import { useRef, useState } from 'preact/hooks';

import { fetchAll } from '../api';
import type { PhotoBody } from '../contract.gen';
import type { Picture } from '../local/db';
import { pictures } from '../local/pictures';
import { Button, useLoad } from '../parts';
import { words } from '../words';
import { One, type Shot } from './one';
import { takePhoto, type Shown } from './take';

/** What a photo can be said to show. */
export type PhotoKind = NonNullable<PhotoBody['what']>;

interface PhotosProps {
  /** What the photos show, and what a new one is of. */
  of: Shown;
  /** What a person calls it. */
  title: string;
  /** Whether one may take photos here. */
  may: boolean;
  /** Nothing of it is with the server yet, so there is nothing to ask for. */
  unsent?: boolean;
  /** A button for each: whoever reads the photo later wants to know what it shows. One button when left out. */
  kinds?: readonly PhotoKind[];
  /** Whether a line can be written under each photo. */
  captions?: boolean;
  /** A photo that the server has was changed. */
  onChanged?: () => void;
}

/** The photos of something, those that are only on this phone among them, and a way to take one. */
export function Photos({ of, title, may, unsent = false, kinds, captions = false, onChanged }: PhotosProps) {
  const { photo } = words.value.common;
  const here = pictures.value.filter(({ body }) => body.subject_id === of.subject_id && (of.plant === undefined || body.plant === of.plant));
  const sent = useLoad(
    async (signal) => (unsent ? [] : await fetchAll('photos', { subject_id: of.subject_id }, signal)),
    [of.subject_id, unsent, here.length],
  );
  const kept = useKept(here, sent.data);
  const there = (sent.data ?? []).filter((one) => one.picture && !one.withdrawn_because && (of.plant === undefined || one.plant === of.plant));
  const unseen = kept.all.filter(({ id }) => !there.some((one) => one.id === id));
  const shots = [
    ...there.map((one): Shot => ({ id: one.id, photo: one, picture: null })),
    ...unseen.map((one): Shot => ({ id: one.id, photo: null, picture: one })),
  ].toSorted((a, b) => (a.id < b.id ? -1 : 1));
  const changed = (): void => {
    sent.reload();
    onChanged?.();
  };
  return (
    <div class={captions ? 'photos photos-captioned' : 'photos'}>
      {shots.length > 0 && (
        <ul aria-label={photo.list}>
          {shots.map((shot) => (
            <One key={shot.id} shot={shot} title={title} may={may} captions={captions} changed={changed} gone={() => kept.letGo(shot.id)} />
          ))}
        </ul>
      )}
      {may && <Take of={of} title={title} kinds={kinds} />}
    </div>
  );
}

/** The photos on this phone, and those that were until they were sent, as long as the server has not been asked again: none is out of sight in between. */
function useKept(here: readonly Picture[], fetched: unknown): { all: readonly Picture[]; letGo: (id: string) => void } {
  const since = useRef<{ fetched: unknown; all: readonly Picture[] }>({ fetched, all: [] });
  const gone = since.current.fetched === fetched ? since.current.all.filter(({ id }) => !here.some((one) => one.id === id)) : [];
  const all = [...gone, ...here];
  since.current = { fetched, all };
  const letGo = (id: string): void => {
    since.current = { fetched, all: since.current.all.filter((one) => one.id !== id) };
  };
  return { all, letGo };
}

/** The buttons that open the camera, or the files where there is none. */
function Take({ of, title, kinds }: { of: Shown; title: string; kinds: readonly PhotoKind[] | undefined }) {
  const said = words.value.common.photo;
  const input = useRef<HTMLInputElement>(null);
  const kind = useRef<PhotoKind | undefined>(undefined);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<'full' | 'unkept' | 'no_picture' | null>(null);
  const take = async (files: FileList | null): Promise<void> => {
    setBusy(true);
    setFailure(null);
    for (const file of files ?? []) {
      const kept = await takePhoto(file, kind.current === undefined ? of : { ...of, what: kind.current }, title);
      if (kept !== 'kept' && kept !== 'elsewhere') setFailure(kept);
    }
    if (input.current) input.current.value = '';
    setBusy(false);
  };
  const ask = (what?: PhotoKind): void => {
    kind.current = what;
    input.current?.click();
  };
  return (
    <div>
      <input
        ref={input}
        type="file"
        accept="image/*"
        capture="environment"
        multiple
        hidden
        aria-hidden="true"
        onChange={(event) => void take(event.currentTarget.files)}
      />
      <div class="row">
        {kinds === undefined ? (
          <Button busy={busy} onClick={() => ask()}>
            {said.take}
          </Button>
        ) : (
          kinds.map((what) => (
            <Button key={what} busy={busy} onClick={() => ask(what)}>
              {said.takeOf[what]}
            </Button>
          ))
        )}
      </div>
      <p role="status" class="photo-failure">
        {failure !== null && said.failures[failure]}
      </p>
    </div>
  );
}
