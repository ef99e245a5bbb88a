import { useRef, useState } from 'preact/hooks';

import { Button } from '../parts';
import { words } from '../words';
import { readPicture, type Read } from './reader';

/** Reads the codes in a picture one has, where the camera is not to be had. */
export function FromPicture({ read, onCodes }: { read: Read; onCodes: (texts: string[]) => void }) {
  const { scan } = words.value;
  const input = useRef<HTMLInputElement>(null);
  const [state, setState] = useState<'idle' | 'reading' | 'noCode' | 'noPicture'>('idle');
  const take = async (file: File | undefined): Promise<void> => {
    if (!file) return;
    setState('reading');
    try {
      const texts = await readPicture(read, file);
      setState(texts.length > 0 ? 'idle' : 'noCode');
      if (texts.length > 0) onCodes(texts);
    } catch {
      setState('noPicture');
    }
    if (input.current) input.current.value = ''; // so that the same one can be chosen again
  };
  return (
    <>
      <input ref={input} type="file" accept="image/*" hidden aria-hidden="true" onChange={(event) => void take(event.currentTarget.files?.[0])} />
      <Button busy={state === 'reading'} onClick={() => input.current?.click()}>
        {scan.picture}
      </Button>
      <p role="status">{state !== 'idle' && scan[state]}</p>
    </>
  );
}
