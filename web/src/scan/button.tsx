import { useState } from 'preact/hooks';

import type { Site } from '../contract.gen';
import { lazy } from '../lazy';
import { Button } from '../parts';
import { words } from '../words';
import type { From } from './find';

const Dialog = lazy('scan', () => import('./dialog'));

/** Opens the camera to read a label, and goes where it leads. */
export function ScanButton({ from, site }: { from: From; site: Site }) {
  const [open, setOpen] = useState(false);
  return (
    <>
      <Button onClick={() => setOpen(true)}>{words.value.common.scanLabel}</Button>
      {open && <Dialog from={from} site={site} onClose={() => setOpen(false)} />}
    </>
  );
}
