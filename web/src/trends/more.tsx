import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';

/** Like Details, but what is inside is made only once it is opened: for pages with a hundred of them. */
export function More({ summary, children, open = false }: { summary: ComponentChildren; children: () => ComponentChildren; open?: boolean }) {
  const [opened, setOpened] = useState(open);
  return (
    <details
      class="details"
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
