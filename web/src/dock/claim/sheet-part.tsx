import type { ComponentChildren } from 'preact';

/** A part of the page, under a small heading. */
export function SheetPart({ title, children }: { title: string; children: ComponentChildren }) {
  return (
    <section class="claim-part">
      <h3>{title}</h3>
      {children}
    </section>
  );
}
