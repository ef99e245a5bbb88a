import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';

interface MoreProps {
  summary: ComponentChildren;
  children: () => ComponentChildren;
  /** Open from the start. */
  open?: boolean;
  class?: string;
}

/** Like Details, but what is inside is made only once it is opened: for pages with a hundred of them. */
export function More({ summary, children, open = false, class: more }: MoreProps) {
  const [opened, setOpened] = useState(open);
  return (
    <details
      class={more ? `details ${more}` : 'details'}
      open={open}
      onToggle={(event) => {
        if (event.currentTarget.open) setOpened(true);
      }}
    >
      <summary>{summary}</summary>
      {opened && <div class="details-body">{children()}</div>}
    </details>
  );
}
