import { correction, generate } from 'lean-qr';

/** Free modules on each side, which readers need to find the code (ISO/IEC 18004: four). */
export const quietZone = 4;

/** A code to draw: a path of its dark modules in a square whose side is counted in modules, quiet zone included. */
export interface QrDrawing {
  side: number;
  path: string;
}

/** Draws a text as a QR code with error correction M: a label gets wet, scratched and bent. Neighbouring dark modules become one bar. */
export function drawQr(text: string): QrDrawing {
  const code = generate(text, { minCorrectionLevel: correction.M, maxCorrectionLevel: correction.M });
  const bars: string[] = [];
  for (let y = 0; y < code.size; y++) {
    for (let x = 0; x < code.size; x++) {
      if (!code.get(x, y)) continue;
      const from = x;
      while (code.get(x + 1, y)) x++; // past the edge all is light
      const length = x - from + 1;
      bars.push(`M${from + quietZone} ${y + quietZone}h${length}v1h-${length}z`);
    }
  }
  return { side: code.size + 2 * quietZone, path: bars.join('') };
}

const drawn = new Map<string, QrDrawing>();

/** The same, drawn once for all copies of a label: working a code out takes a phone some hundredths of a second. */
export function qrOf(text: string): QrDrawing {
  let drawing = drawn.get(text);
  if (!drawing) {
    drawing = drawQr(text);
    drawn.set(text, drawing);
  }
  return drawing;
}
