import { grip } from './grip';

/** Whether this phone can make itself felt. */
export function canBuzz(): boolean {
  return typeof navigator !== 'undefined' && 'vibrate' in navigator;
}

/** Whether this phone can make a sound of its own. */
export function canSound(): boolean {
  return typeof AudioContext !== 'undefined';
}

let audio: AudioContext | null = null;

/** Called in the tap itself: browsers let a sound begin only there. */
export function readyToTick(): void {
  if (!grip.peek().sound || !canSound()) return;
  try {
    audio ??= new AudioContext();
    if (audio.state === 'suspended') void audio.resume().catch(() => undefined);
  } catch {
    audio = null; // no sound is no reason to lose a mark
  }
}

/** Milliseconds on, off, on: a find is felt twice. */
const felt = { none: [15], seen: [15, 50, 15] };
const hertz = { none: 520, seen: 1040 };
const seconds = 0.06;

function sound(what: keyof typeof hertz): void {
  if (audio?.state !== 'running') return;
  const tone = audio.createOscillator();
  const loudness = audio.createGain();
  const now = audio.currentTime;
  tone.frequency.value = hertz[what];
  loudness.gain.setValueAtTime(0.25, now);
  loudness.gain.exponentialRampToValueAtTime(0.001, now + seconds); // ends without a click
  tone.connect(loudness).connect(audio.destination);
  tone.start(now);
  tone.stop(now + seconds);
}

/** Lets a person feel or hear that a mark is on disk. Where the phone cannot, nothing happens. */
export function tick(what: 'none' | 'seen'): void {
  const { buzz, sound: loud } = grip.peek();
  try {
    if (buzz && canBuzz()) navigator.vibrate(felt[what]);
    if (loud) sound(what);
  } catch {
    // a tick is only a comfort
  }
}
