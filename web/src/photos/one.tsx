import { useEffect, useMemo, useRef, useState } from 'preact/hooks';

import { pictureAddress, save } from '../api';
import type { Photo, PhotoBody } from '../contract.gen';
import type { Picture } from '../local/db';
import { dropPicture, keepPicture } from '../local/pictures';
import { Button, notify } from '../parts';
import { problemText, toProblem } from '../problem';
import { words } from '../words';

/** A photo that the server has, or one that is only on this phone. */
export type Shot = { id: string; photo: Photo; picture: null } | { id: string; photo: null; picture: Picture };

/** What a picture shows, for those who cannot see it. */
function altOf(title: string, { plant, what, note }: Pick<PhotoBody, 'plant' | 'what' | 'note'>): string {
  const { photo } = words.value.common;
  if (typeof plant === 'number') return photo.ofPlant(title, plant);
  return photo.of([title, what && photo.what[what], note].filter(Boolean).join(', '));
}

/** A line to say in what a photo shows. What is being typed is not overwritten from outside. */
function CaptionField({ alt, note, onNote }: { alt: string; note: string; onNote: (note: string | null) => void }) {
  const { photo } = words.value.common;
  const input = useRef<HTMLInputElement>(null);
  const [text, setText] = useState(note);
  useEffect(() => {
    if (document.activeElement !== input.current) setText(note);
  }, [note]);
  return (
    <input
      ref={input}
      class="input photo-caption"
      aria-label={photo.caption(alt)}
      placeholder={photo.captionHint}
      maxLength={500}
      value={text}
      onInput={(event) => setText(event.currentTarget.value)}
      onChange={(event) => onNote(event.currentTarget.value.trim() || null)}
    />
  );
}

/** Changes the record of a photo that the server has. Answers its new version. */
async function correct(photo: Photo, change: Pick<PhotoBody, 'note' | 'withdrawn_because'>, version = photo.version): Promise<number> {
  const { subject_noun, subject_id, plant, taken_at, what, note, withdrawn_because } = photo;
  const stored = await save('photos', photo.id, { subject_noun, subject_id, plant, taken_at, what, note, withdrawn_because, ...change }, version);
  return stored.version;
}

const failed = (thrown: unknown): void => notify(problemText(toProblem(thrown), words.value));

async function removeSent(photo: Photo, changed: () => void): Promise<void> {
  const said = words.value.common.photo;
  const version = await correct(photo, { withdrawn_because: said.removedBecause });
  changed();
  const undo = async (): Promise<void> => {
    await correct(photo, { withdrawn_because: null }, version);
    changed();
  };
  notify(said.removed, { undo: () => void undo().catch(failed) });
}

async function removeKept(picture: Picture, gone: () => void): Promise<void> {
  if ((await dropPicture(picture.id)) !== 'kept') return;
  gone();
  notify(words.value.common.photo.removed, { undo: () => void keepPicture(picture) });
}

function Kept({ picture: { jpeg }, alt }: { picture: Picture; alt: string }) {
  const address = useMemo(() => URL.createObjectURL(jpeg), [jpeg]);
  useEffect(() => () => URL.revokeObjectURL(address), [address]);
  return <img src={address} alt={alt} />;
}

interface Props {
  shot: Shot;
  title: string;
  may: boolean;
  captions: boolean;
  /** The server has something new. */
  changed: () => void;
  /** A photo that was only on this phone was let go. */
  gone: () => void;
}

/** One photo. It stays the same on the page when it is sent, so that a caption can be typed meanwhile. */
export function One({ shot: { photo, picture, id }, title, may, captions, changed, gone }: Props) {
  const said = words.value.common.photo;
  const body = photo ?? picture.body;
  const alt = altOf(title, body);
  const remove = (): void => void (photo ? removeSent(photo, changed) : removeKept(picture, gone)).catch(failed);
  const write = async (note: string | null): Promise<void> => {
    if (photo) {
      await correct(photo, { note });
      changed();
    } else if ((await keepPicture({ ...picture, body: { ...picture.body, note } })) !== 'kept') {
      notify(said.failures.full);
      return;
    }
    notify(said.captionSaved);
  };
  return (
    <li class={picture ? 'photo-kept' : undefined}>
      {picture ? (
        <Kept picture={picture} alt={alt} />
      ) : (
        <a href={pictureAddress(id, 'full')} target="_blank" rel="noreferrer">
          <img src={pictureAddress(id, 'small')} alt={alt} loading="lazy" />
        </a>
      )}
      {captions && body.what && <small class="photo-what">{said.what[body.what]}</small>}
      {captions && (may ? <CaptionField alt={alt} note={body.note ?? ''} onNote={(note) => void write(note).catch(failed)} /> : body.note && <small>{body.note}</small>)}
      {picture && <small>{picture.problem ? said.refused : said.onlyHere}</small>}
      {(may || picture) && (
        <Button kind="quiet" class="photo-remove" aria-label={said.remove(alt)} onClick={remove}>
          ×
        </Button>
      )}
    </li>
  );
}
