import { signal } from '@preact/signals';

const said = signal('');

/** Reads a sentence aloud to those who hear the page; nothing of it is shown. Said once more, the same sentence is read once more. */
export function say(text: string): void {
  said.value = said.peek() === text ? `${text}\u00a0` : text;
}

/** Where `say` speaks; part of the frame, for what comes into the page only with its words is often not read. */
export function Said() {
  return (
    <p class="aside-only" role="status">
      {said.value}
    </p>
  );
}

/** A pause for those who hear a link or a button: what stands in lines under each other would run into one sentence. */
export function Pause() {
  return <span class="aside-only">. </span>;
}
