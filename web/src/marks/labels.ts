/** A point that wants its name beside it, in pixels. */
export interface Named {
  name: string;
  x: number;
  y: number;
}

/** Where a name is written. */
interface Placed extends Named {
  anchor: 'start' | 'end';
  textX: number;
  textY: number;
}

/** The room for names, in pixels. */
interface Room {
  left: number;
  right: number;
  bottom: number;
}

const letter = 6.2;
const lineHeight = 13;
const gap = 7;
/** Half the width of a point's own mark. */
const mark = 5;

/**
 * Places names beside their points so that none lies on another name or on a point: right of the point, or
 * left where the right has no room, a line higher or lower where it is taken. A name that
 * finds no place is left out; the table beside the chart has them all.
 */
export function placeLabels(points: readonly Named[], { left, right, bottom }: Room): Placed[] {
  const taken = points.map(({ x, y }) => ({ from: x - mark, to: x + mark, y }));
  const placed: Placed[] = [];
  for (const point of points) {
    const wide = point.name.length * letter;
    const sides = [
      { anchor: 'start' as const, textX: point.x + gap, from: point.x + gap, to: point.x + gap + wide },
      { anchor: 'end' as const, textX: point.x - gap, from: point.x - gap - wide, to: point.x - gap },
    ].filter(({ from, to }) => from >= left && to <= right);
    const free = sides
      .flatMap((side) => [0, -lineHeight, lineHeight].map((shift) => ({ ...side, y: Math.min(point.y + shift, bottom - lineHeight / 2) })))
      .find(({ from, to, y }) => !taken.some((other) => other.from < to && from < other.to && Math.abs(other.y - y) < lineHeight));
    if (!free) continue;
    taken.push(free);
    placed.push({ ...point, anchor: free.anchor, textX: free.textX, textY: free.y });
  }
  return placed;
}
