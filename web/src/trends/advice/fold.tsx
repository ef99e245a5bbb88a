import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';

/** Folded away until asked for, or open from the start; what is inside is made only once it is opened. */
export function Fold({ summary, start, children }: { summary: ComponentChildren; start: boolean; children: () => ComponentChildren }) {
  const [opened, setOpened] = useState(start);
  return (
    <details
      class="details advice-fold"
      open={start}
      onToggle={(event) => {
        if (event.currentTarget.open) setOpened(true);
      }}
    >
      <summary>{summary}</summary>
      {opened && <div class="details-body">{children()}</div>}
    </details>
  );
}
