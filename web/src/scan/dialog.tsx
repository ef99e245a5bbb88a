import './scan.css';

import { useEffect, useRef, useState } from 'preact/hooks';

import type { Site } from '../contract.gen';
import { Button, Field, Form } from '../parts';
import { go } from '../router';
import { grip } from '../walk/grip';
import { canBuzz } from '../walk/tick';
import { words } from '../words';
import { CameraView, Light } from './camera-view';
import type { From } from './find';
import { FromPicture } from './from-picture';
import { Result } from './result';
import { useCamera } from './use-camera';
import { useOutcome, type Scan } from './use-outcome';
import { useFrames, useReader } from './use-reader';

/** How long what was found is shown before one is taken there. */
const shownFor = 700;

interface ScanProps {
  from: From;
  site: Site;
  onClose: () => void;
}

/** Reads a label by the camera, from a picture or as typed, and goes where it leads. */
export default function ScanDialog({ from, site, onClose }: ScanProps) {
  const { scan: said, common } = words.value;
  const dialog = useRef<HTMLDialogElement>(null);
  const title = useRef<HTMLHeadingElement>(null);
  const [scan, setScan] = useState<Scan | null>(null);
  const [typed, setTyped] = useState('');
  const outcome = useOutcome(scan, site, from);
  const kind = outcome === null || outcome === 'pending' ? null : outcome.kind;
  const { read, again } = useReader();
  const camera = useCamera(kind !== 'found' && kind !== 'choose' && read !== 'missing');
  useFrames(camera.state === 'on', read, camera.video, (texts) => setScan({ by: 'code', texts }));

  useEffect(() => {
    dialog.current?.showModal();
    title.current?.focus();
  }, []);
  const target = outcome !== null && outcome !== 'pending' && outcome.kind === 'found' ? outcome.place.address : null;
  useEffect(() => {
    if (target === null) return;
    if (grip.peek().buzz && canBuzz()) navigator.vibrate(60); // one looks at the label, not at the phone
    const timer = setTimeout(() => go(target), shownFor);
    return () => clearTimeout(timer);
  }, [target]);

  return (
    <dialog ref={dialog} class="scan" aria-labelledby="scan-title" onClose={onClose}>
      <header class="scan-head">
        <h2 id="scan-title" ref={title} tabIndex={-1}>
          {said.title}
        </h2>
        <Button onClick={() => dialog.current?.close()}>{common.close}</Button>
      </header>
      <CameraView camera={camera} read={read} onReader={again} />
      <Result outcome={outcome} looking={camera.state === 'on' && read !== null && read !== 'missing'} site={site} onAgain={() => setScan(null)} />
      {kind !== 'found' && (
        <>
          <div class="scan-tools">
            <Light camera={camera} />
            {read !== null && read !== 'missing' && <FromPicture read={read} onCodes={(texts) => setScan({ by: 'code', texts })} />}
          </div>
          <Form onSubmit={() => setScan({ by: 'name', text: typed })}>
            <Field label={said.typed} hint={said.typedHint}>
              {(attributes) => (
                <div class="scan-typed">
                  <input {...attributes} class="input" type="text" autocomplete="off" value={typed} onInput={(event) => setTyped(event.currentTarget.value)} />
                  <Button type="submit" disabled={typed.trim() === ''}>
                    {said.typedGo}
                  </Button>
                </div>
              )}
            </Field>
          </Form>
        </>
      )}
    </dialog>
  );
}
