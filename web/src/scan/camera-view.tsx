import { useState } from 'preact/hooks';

import { Button, Notice } from '../parts';
import { words } from '../words';
import type { Read } from './reader';
import type { Camera } from './use-camera';

interface ViewProps {
  camera: Camera;
  read: Read | 'missing' | null;
  /** Tries to fetch the reader again. */
  onReader: () => void;
}

/** What the camera sees, or why it sees nothing. */
export function CameraView({ camera, read, onReader }: ViewProps) {
  const { scan, common } = words.value;
  const { state } = camera;
  const trouble = read === 'missing' ? 'no_reader' : state === 'on' || state === 'asking' || state === 'resting' ? null : state;
  const waits = state === 'asking' ? scan.asking : read === null ? scan.readying : null;
  return (
    <>
      <div class="scan-view" hidden={trouble !== null || state === 'resting'}>
        <video ref={camera.video} aria-label={scan.sees} muted playsInline />
        <span class="scan-aim" aria-hidden="true" />
      </div>
      <div role="status">
        {trouble === null ? (
          waits
        ) : (
          <Notice kind="doubt" title={scan.trouble[trouble].title}>
            <p>
              {scan.trouble[trouble].text} {trouble === 'no_reader' ? scan.onlyTyping : scan.stillTyping}
            </p>
          </Notice>
        )}
      </div>
      {trouble !== null && trouble !== 'insecure' && <Button class="scan-try" onClick={trouble === 'no_reader' ? onReader : camera.again}>{common.retry}</Button>}
    </>
  );
}

/** Switches the camera's light, where it has one. */
export function Light({ camera: { state, light, setLight } }: { camera: Camera }) {
  const { scan } = words.value;
  const [dark, setDark] = useState(false);
  if (state !== 'on' || light === null) return null;
  return (
    <>
      <Button aria-pressed={light} onClick={() => void setLight(!light).then((worked) => setDark(!worked))}>
        {scan.light}
      </Button>
      <p role="status">{dark && scan.noLight}</p>
    </>
  );
}
