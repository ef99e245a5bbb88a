import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import wasmAddress from 'zxing-wasm/reader/zxing_reader.wasm?url';

import type { Read } from './reader';

/** Readies the reader that comes with the pages. Rejects where its large part cannot be fetched. */
export async function openOwnReader(): Promise<Read> {
  // Without an address it would ask a server of somebody else's.
  await prepareZXingModule({ overrides: { locateFile: () => wasmAddress }, fireImmediately: true });
  return async (canvas, thorough) => {
    const dots = canvas.getContext('2d')?.getImageData(0, 0, canvas.width, canvas.height);
    if (!dots) return [];
    const found = await readBarcodes(dots, {
      formats: ['QRCode'],
      maxNumberOfSymbols: 8,
      textMode: 'Plain',
      tryHarder: thorough,
      tryDownscale: thorough,
      tryInvert: thorough,
      tryRotate: false, // a square code is found however it is turned
    });
    return found.map(({ text }) => text);
  };
}
