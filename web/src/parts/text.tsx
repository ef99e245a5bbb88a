import type { ComponentChildren } from 'preact';

/** The answer in a sentence, at the top of a reading. `small`: inside a list. Mark figures with `<b>`. */
export function Answer({ children, small = false }: { children: ComponentChildren; small?: boolean }) {
  return <p class={small ? 'answer answer-small' : 'answer'}>{children}</p>;
}

/** Nothing here yet: says what will stand here and what to do first. */
export function Empty({ title, children, action }: { title: string; children?: ComponentChildren; action?: ComponentChildren }) {
  return (
    <div class="empty">
      <p class="empty-title">{title}</p>
      {children !== undefined && <div class="empty-text">{children}</div>}
      {action}
    </div>
  );
}

/** A part of a page under its own heading. */
export function Section({ title, children, actions, lead }: { title: string; children: ComponentChildren; actions?: ComponentChildren; lead?: string }) {
  return (
    <section class="section">
      <header class="section-head">
        <h2>{title}</h2>
        {actions}
      </header>
      {lead !== undefined && <p class="lead">{lead}</p>}
      {children}
    </section>
  );
}

/** Terms with their values, aligned. Null and undefined values are left out. */
export function Facts({ items }: { items: readonly { term: string; value: ComponentChildren }[] }) {
  return (
    <dl class="facts">
      {items
        .filter(({ value }) => value !== null && value !== undefined)
        .map(({ term, value }) => (
          <div key={term}>
            <dt>{term}</dt>
            <dd>{value}</dd>
          </div>
        ))}
    </dl>
  );
}

/** A word that marks a state: `held`, `late`. Told by its word and outline, never by colour alone. */
export function Tag({ children, strong = false }: { children: ComponentChildren; strong?: boolean }) {
  return <span class={strong ? 'tag tag-strong' : 'tag'}>{children}</span>;
}

/** More, for those who ask. */
export function Details({ summary, children, open }: { summary: ComponentChildren; children: ComponentChildren; open?: boolean }) {
  return (
    <details class="details" open={open}>
      <summary>{summary}</summary>
      <div class="details-body">{children}</div>
    </details>
  );
}
