import type { ComponentChildren } from 'preact';

/** What is drawn: the stages that a scout tells apart, and two states that are easily mistaken for them. */
export const drawn = ['egg', 'small_nymph', 'large_nymph', 'pupa', 'empty_case', 'adult', 'parasitised', 'left_by_wasp'] as const;
export type Drawn = (typeof drawn)[number];

/** An oval seen from above, pointed at the lower end, with its middle at 0,0. */
const scale = (w: number, h: number): string => `M 0 ${-h} C ${w} ${-h} ${w * 1.1} ${h * 0.35} 0 ${h} C ${-w * 1.1} ${h * 0.35} ${-w} ${-h} 0 ${-h} Z`;

function Egg({ x, y, lean }: { x: number; y: number; lean: number }) {
  return (
    <g transform={`translate(${x} ${y}) rotate(${lean})`}>
      <path d="M 0 0 V -3" />
      <path d="M 0 -3 C 3 -5 2.6 -11 0 -14 C -2.6 -11 -3 -5 0 -3 Z" class="sign-body" />
    </g>
  );
}

const drawings: Record<Drawn, ComponentChildren> = {
  egg: (
    <>
      <path d="M 6 34 C 20 31 40 31 54 34" />
      {[
        [14, 33, -12],
        [23, 32, -5],
        [31, 32, 3],
        [39, 32, 8],
        [47, 33, 14],
      ].map(([x = 0, y = 0, lean = 0]) => (
        <Egg key={x} x={x} y={y} lean={lean} />
      ))}
    </>
  ),
  small_nymph: (
    <g transform="translate(30 20)">
      <path d={scale(7, 9)} class="sign-body" />
      <path d="M -2.5 -7.5 L -4.5 -11 M 2.5 -7.5 L 4.5 -11 M -6 -3 L -9 -4.5 M 6 -3 L 9 -4.5 M -6 2 L -9 3 M 6 2 L 9 3" />
      <circle cx="-2" cy="-5" r="0.8" class="sign-full" />
      <circle cx="2" cy="-5" r="0.8" class="sign-full" />
    </g>
  ),
  large_nymph: (
    <g transform="translate(30 20)">
      <path d={scale(11, 14)} class="sign-body" />
      <path d="M -7.5 -4 Q 0 -2 7.5 -4 M -8 1 Q 0 3 8 1 M -6 6 Q 0 8 6 6" class="sign-thin" />
    </g>
  ),
  pupa: (
    <g transform="translate(30 20)">
      <path d={scale(13, 16)} class="sign-body" />
      <path d={scale(10, 12.5)} class="sign-thin" />
      <circle cx="-4" cy="-7" r="1.8" class="sign-full" />
      <circle cx="4" cy="-7" r="1.8" class="sign-full" />
      <path d="M -12 -9 L -15 -12 M 12 -9 L 15 -12 M -13 2 L -17 3 M 13 2 L 17 3 M -6 12 L -8 16 M 6 12 L 8 16" class="sign-thin" />
    </g>
  ),
  empty_case: (
    <g transform="translate(30 20)">
      <path d={scale(13, 16)} class="sign-open" />
      <path d="M -7 -4 Q 0 -6 7 -4 M 0 -5 V -15" class="sign-slit" />
    </g>
  ),
  adult: (
    <g transform="translate(30 20)">
      <path d="M 0 -9 C -9 -8 -14 4 -10 15 C -6 16 -2 12 0 6 C 2 12 6 16 10 15 C 14 4 9 -8 0 -9 Z" class="sign-body" />
      <path d="M 0 -8 V 6" class="sign-thin" />
      <circle cx="0" cy="-11.5" r="3.2" class="sign-body" />
      <circle cx="-2" cy="-12.2" r="1" class="sign-full" />
      <circle cx="2" cy="-12.2" r="1" class="sign-full" />
      <path d="M -1.5 -14.5 L -5 -18 M 1.5 -14.5 L 5 -18" />
    </g>
  ),
  parasitised: (
    <g transform="translate(30 20)">
      <path d={scale(13, 16)} class="sign-dark" />
    </g>
  ),
  left_by_wasp: (
    <g transform="translate(30 20)">
      <path d={scale(13, 16)} class="sign-open" />
      <circle cx="0.5" cy="-7.5" r="3.8" class="sign-hole" />
    </g>
  ),
};

/** A sign as it looks through a lens, as lines that a copier keeps. The name stands beside it, so it is not read aloud. */
export function Drawing({ of }: { of: Drawn }) {
  return (
    <svg class="sign-drawing" viewBox="0 0 60 40" aria-hidden="true">
      {drawings[of]}
    </svg>
  );
}

/** A plant from the side: where on it which stages are found. Its words are the caption's. */
export function PlantDrawing() {
  const leaf = (x: number, y: number, turn: number, size: number) => (
    <g key={`${x} ${y}`} transform={`translate(${x} ${y}) rotate(${turn}) scale(${size})`}>
      <path d="M 0 0 C 8 -8 22 -9 34 0 C 22 9 8 8 0 0 Z" class="sign-body" />
      <path d="M 0 0 H 30" class="sign-thin" />
    </g>
  );
  return (
    <svg class="sheet-plant" viewBox="0 0 120 120" aria-hidden="true">
      <path d="M 60 98 V 16" />
      {[leaf(60, 24, -58, 0.5), leaf(60, 24, 238, 0.5), leaf(60, 34, -28, 0.75), leaf(60, 38, 208, 0.75)]}
      {[leaf(60, 56, -8, 1.15), leaf(60, 60, 188, 1.15), leaf(60, 78, 14, 1.35), leaf(60, 82, 166, 1.35)]}
      <path d="M 42 98 H 78 L 74 118 H 46 Z" class="sign-body" />
      <path d="M 4 46 H 22 M 98 46 H 116" stroke-dasharray="2 2" />
      <text x="6" y="38">1</text>
      <text x="6" y="62">2</text>
    </svg>
  );
}
