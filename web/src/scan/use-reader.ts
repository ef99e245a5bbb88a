import type { RefObject } from 'preact';
import { useEffect, useState } from 'preact/hooks';

import { openReader, paintFrame, type Read } from './reader';

/** Between two frames: enough to seem at once, and to leave the phone some breath. */
const pause = 120;

let opening: Promise<Read> | null = null;

/** Readies the reader once for all scans. */
function readied(): Promise<Read> {
  opening ??= openReader().catch((thrown: unknown) => {
    opening = null; // there may be a network the next time
    throw thrown;
  });
  return opening;
}

/** The reader: null while it is readied, 'missing' where it cannot be fetched. */
export function useReader(): { read: Read | 'missing' | null; again: () => void } {
  const [read, setRead] = useState<Read | 'missing' | null>(null);
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    let over = false;
    const take = (next: Read | 'missing'): void => {
      if (!over) setRead(() => next);
    };
    readied().then(take, () => take('missing'));
    return () => {
      over = true;
    };
  }, [turn]);
  const again = (): void => {
    setRead(null);
    setTurn((n) => n + 1);
  };
  return { read, again };
}

/** Reads frame after frame while `on`, and says what codes are in view whenever these change. */
export function useFrames(on: boolean, read: Read | 'missing' | null, video: RefObject<HTMLVideoElement>, onCodes: (texts: string[]) => void): void {
  useEffect(() => {
    if (!on || read === null || read === 'missing') return;
    let over = false;
    let last = '';
    let timer = 0;
    const canvas = document.createElement('canvas');
    const look = async (): Promise<void> => {
      if (video.current && video.current.videoWidth > 0) {
        paintFrame(canvas, video.current);
        const texts = (await read(canvas, false).catch(() => [])).toSorted();
        const codes = texts.join('\n');
        if (!over && texts.length > 0 && codes !== last) {
          last = codes;
          onCodes(texts);
        }
      }
      if (!over) timer = window.setTimeout(() => void look(), pause);
    };
    void look();
    return () => {
      over = true;
      clearTimeout(timer);
    };
  }, [on, read]);
}
