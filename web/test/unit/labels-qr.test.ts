import readQr from 'jsqr';
import { describe, expect, it } from 'vitest';

import { blockAddress, labelAddress } from '../../src/labels/address';
import { codeSide, layoutIds, layouts } from '../../src/labels/layouts';
import { drawQr, quietZone, type QrDrawing } from '../../src/labels/qr';

/** Dots of the picture for one module. */
const scale = 4;

/** Paints what is drawn, the path and nothing else, as a camera would see it: dark on white. */
function paint({ side, path }: QrDrawing): { dots: Uint8ClampedArray; width: number } {
  const width = side * scale;
  const dots = new Uint8ClampedArray(width * width * 4).fill(255);
  for (const [, x, y, length] of path.matchAll(/M(\d+) (\d+)h(\d+)v1h-\3z/g)) {
    for (let row = Number(y) * scale; row < (Number(y) + 1) * scale; row++) {
      for (let column = Number(x) * scale; column < (Number(x) + Number(length)) * scale; column++) {
        dots.fill(0, (row * width + column) * 4, (row * width + column) * 4 + 3);
      }
    }
  }
  return { dots, width };
}

function readBack(drawing: QrDrawing): string | undefined {
  const { dots, width } = paint(drawing);
  return readQr(dots, width, width, { inversionAttempts: 'dontInvert' })?.data;
}

const lot = { id: '01990f2e-7a3c-7d10-8f00-0123456789ab', code: '31-07' };

describe('a drawn QR code', () => {
  it('is read back by another reader as the address it was made of', () => {
    for (const address of [
      labelAddress('https://bench.example', lot),
      labelAddress('https://bench.example', lot, '4006381333931'),
      labelAddress('https://bench.example', { ...lot, code: '31/07(!)' }, '4006381333931'),
      blockAddress('http://192.168.1.20:8080', lot.id),
      labelAddress('https://scouting.greenhouses.of-a-long-name.example:8443', lot),
    ]) {
      expect(readBack(drawQr(address)), address).toBe(address);
    }
  });

  it('is still read when a corner of its data is torn off', () => {
    const address = labelAddress('https://bench.example', lot);
    const { dots, width } = paint(drawQr(address));
    const torn = 5 * scale; // modules in from the lower right corner, where no finder stands
    for (let row = width - quietZone * scale - torn; row < width; row++) {
      dots.fill(255, (row * width + width - quietZone * scale - torn) * 4, (row + 1) * width * 4);
    }
    expect(readQr(dots, width, width)?.data).toBe(address);
  });

  it('keeps four modules free on each side, and touches that border', () => {
    const { side, path } = drawQr(labelAddress('https://bench.example', lot));
    const bars = [...path.matchAll(/M(\d+) (\d+)h(\d+)/g)].map(([, x, y, length]) => ({ x: Number(x), y: Number(y), end: Number(x) + Number(length) }));
    expect(quietZone).toBe(4);
    expect(Math.min(...bars.map(({ x }) => x))).toBe(4);
    expect(Math.min(...bars.map(({ y }) => y))).toBe(4);
    expect(Math.max(...bars.map(({ end }) => end))).toBe(side - 4);
    expect(Math.max(...bars.map(({ y }) => y))).toBe(side - 5);
  });

  it('has modules of 0.4 mm or more on every label, also where the address is long', () => {
    const { side } = drawQr(labelAddress('https://scouting.greenhouse.example:8443', lot));
    for (const id of layoutIds) expect(codeSide(layouts[id]) / side, id).toBeGreaterThanOrEqual(0.4);
  });
});
