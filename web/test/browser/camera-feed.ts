import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { crc32, deflateSync } from 'node:zlib';

import { drawQr } from '../../src/labels/qr';

/** A grey picture as a camera would take it. */
interface Picture {
  width: number;
  height: number;
  dots: Uint8Array;
}

/** Where a code lies in a picture: the middle and the side in dots, turned by degrees. */
interface Laid {
  text: string;
  x: number;
  y: number;
  side: number;
  turn: number;
}

const width = 640;
const height = 480;
const bench = 120;
const paper = 205;
const print = 55;

/** The dark modules of a code, from the path that is printed. */
function modulesOf(text: string): { side: number; dark: Set<number> } {
  const { side, path } = drawQr(text);
  const dark = new Set<number>();
  for (const [, x, y, length] of path.matchAll(/M(\d+) (\d+)h(\d+)v1h-\3z/g)) {
    for (let i = 0; i < Number(length); i++) dark.add(Number(y) * side + Number(x) + i);
  }
  return { side, dark };
}

/** Numbers that look like chance and are the same in every run. */
function chance(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** Codes lying on a bench: turned, out of focus (each dot is the mean of those around it) and with the noise of a poor lens in dim light. */
export function pictureOf(codes: readonly Laid[], seed = 1): Picture {
  const drawn = codes.map((code) => ({ ...code, ...{ modules: modulesOf(code.text) } }));
  const shade = (px: number, py: number): number => {
    for (const { x, y, side, turn, modules } of drawn) {
      const angle = (-turn * Math.PI) / 180;
      const [dx, dy] = [px - x, py - y];
      const column = Math.floor(((dx * Math.cos(angle) - dy * Math.sin(angle)) / side + 0.5) * modules.side);
      const row = Math.floor(((dx * Math.sin(angle) + dy * Math.cos(angle)) / side + 0.5) * modules.side);
      if (column < 0 || row < 0 || column >= modules.side || row >= modules.side) continue;
      return modules.dark.has(row * modules.side + column) ? print : paper;
    }
    return bench;
  };
  const noise = chance(seed);
  const dots = new Uint8Array(width * height);
  const steps = [-1, -0.5, 0, 0.5, 1];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (const dy of steps) for (const dx of steps) sum += shade(x + dx, y + dy);
      dots[y * width + x] = sum / steps.length ** 2 + (noise() - 0.5) * 40;
    }
  }
  return { width, height, dots };
}

/** One code in the middle, a little turned. */
export const oneCode = (text: string): Laid[] => [{ text, x: 320, y: 240, side: 240, turn: 11 }];

/** Two labels side by side, each turned its own way. */
export const twoCodes = (left: string, right: string): Laid[] => [
  { text: left, x: 205, y: 240, side: 190, turn: -6 },
  { text: right, x: 435, y: 240, side: 190, turn: 9 },
];

/** Frames of a video in the plainest format that Chromium's stand-in for a camera plays; each has noise of its own. */
function y4mOf(codes: readonly Laid[]): Buffer {
  const colours = Buffer.alloc((width * height) / 2, 128);
  const frames = [1, 2, 3].flatMap((seed) => [Buffer.from('FRAME\n'), pictureOf(codes, seed).dots, colours]);
  return Buffer.concat([Buffer.from(`YUV4MPEG2 W${width} H${height} F5:1 Ip A1:1 C420jpeg\n`), ...frames]);
}

/** The switches that start Chromium with a camera which sees the codes, and what to call afterwards. */
export function cameraSeeing(codes: readonly Laid[]): { switches: string[]; remove: () => void } {
  const folder = mkdtempSync(join(tmpdir(), 'bt-feed-'));
  const file = join(folder, 'feed.y4m');
  writeFileSync(file, y4mOf(codes));
  return {
    switches: ['--use-fake-device-for-media-stream', '--use-fake-ui-for-media-stream', `--use-file-for-fake-video-capture=${file}`],
    remove: () => rmSync(folder, { recursive: true }),
  };
}

function chunk(kind: string, content: Buffer): Buffer {
  const named = Buffer.concat([Buffer.from(kind), content]);
  const [length, check] = [Buffer.alloc(4), Buffer.alloc(4)];
  length.writeUInt32BE(content.length);
  check.writeUInt32BE(crc32(named));
  return Buffer.concat([length, named, check]);
}

/** A picture as a PNG file. */
export function pngOf({ dots }: Picture): Buffer {
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head.set([8, 0, 0, 0, 0], 8); // 8 bits of grey
  const rows = Array.from({ length: height }, (_, y) => Buffer.concat([Buffer.from([0]), dots.subarray(y * width, (y + 1) * width)]));
  return Buffer.concat([Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), chunk('IHDR', head), chunk('IDAT', deflateSync(Buffer.concat(rows))), chunk('IEND', Buffer.alloc(0))]);
}
