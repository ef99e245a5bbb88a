import type { RefObject } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

import { closeCamera, hasLight, openCamera, switchLight, troubleBefore, troubleOf, type Trouble } from './camera';

/** `resting`: stopped, because nothing is looked for or nobody looks. */
export type CameraState = 'asking' | 'on' | 'resting' | Trouble;

export interface Camera {
  state: CameraState;
  /** The element that shows what it sees. */
  video: RefObject<HTMLVideoElement>;
  /** Whether its light is on; null where it has none. */
  light: boolean | null;
  /** Switches the light; answers whether that worked. */
  setLight: (on: boolean) => Promise<boolean>;
  again: () => void;
}

/** Whether the page can be seen: in a pocket the camera has nothing to do. */
function useSeen(): boolean {
  const [seen, setSeen] = useState(!document.hidden);
  useEffect(() => {
    const look = (): void => setSeen(!document.hidden);
    document.addEventListener('visibilitychange', look);
    return () => document.removeEventListener('visibilitychange', look);
  }, []);
  return seen;
}

/** The camera, open for as long as it is wanted and the page is seen. */
export function useCamera(wanted: boolean): Camera {
  const video = useRef<HTMLVideoElement>(null);
  const stream = useRef<MediaStream | null>(null);
  const [state, setState] = useState<CameraState>('asking');
  const [light, setLight] = useState<boolean | null>(null);
  const [turn, setTurn] = useState(0);
  const seen = useSeen();

  useEffect(() => {
    setLight(null);
    const before = troubleBefore();
    if (before || !wanted || !seen) {
      setState(before ?? 'resting');
      return;
    }
    let over = false;
    const open = async (): Promise<void> => {
      const opened = await openCamera();
      if (over) {
        closeCamera(opened);
        return;
      }
      stream.current = opened;
      opened.getVideoTracks()[0]?.addEventListener('ended', () => setState('busy'));
      if (video.current) {
        video.current.srcObject = opened;
        await video.current.play();
      }
    };
    setState('asking');
    open().then(
      () => {
        if (over || !stream.current) return;
        setLight(hasLight(stream.current) ? false : null);
        setState('on');
      },
      (thrown: unknown) => {
        if (!over) setState(troubleOf(thrown));
      },
    );
    return () => {
      over = true;
      if (stream.current) closeCamera(stream.current);
      stream.current = null;
      if (video.current) video.current.srcObject = null;
    };
  }, [wanted, seen, turn]);

  const turnLight = async (on: boolean): Promise<boolean> => {
    const worked = stream.current !== null && (await switchLight(stream.current, on));
    if (worked) setLight(on);
    return worked;
  };
  return { state, video, light, setLight: turnLight, again: () => setTurn((n) => n + 1) };
}
