import { signal } from '@preact/signals';

/** How this phone is held and how it answers a tap. */
interface Grip {
  /** The targets are swapped for the left hand. */
  left: boolean;
  /** A mark that is kept is felt, and heard. */
  buzz: boolean;
  sound: boolean;
}

const key = 'benchtrail.walk.grip';
const atFirst: Grip = { left: false, buzz: true, sound: false };

function kept(): Grip {
  try {
    const value: unknown = JSON.parse(localStorage.getItem(key) ?? 'null');
    if (typeof value !== 'object' || value === null) return atFirst;
    const said = value as Partial<Record<keyof Grip, unknown>>;
    return { left: said.left === true, buzz: said.buzz !== false, sound: said.sound === true };
  } catch {
    return atFirst;
  }
}

/** As it was set on this phone. */
export const grip = signal<Grip>(kept());

/** Sets part of it, and keeps it on this phone. */
export function setGrip(change: Partial<Grip>): void {
  grip.value = { ...grip.peek(), ...change };
  try {
    localStorage.setItem(key, JSON.stringify(grip.peek()));
  } catch {
    // lasts as long as the page
  }
}
