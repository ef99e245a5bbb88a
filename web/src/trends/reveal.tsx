import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

/** Brings what was just asked for into sight, and the reading focus with it. */
export function Reveal({ when, children }: { when: string; children: ComponentChildren }) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const calm = matchMedia('(prefers-reduced-motion: reduce)').matches;
    place.current?.focus({ preventScroll: true });
    place.current?.scrollIntoView({ block: 'start', behavior: calm ? 'auto' : 'smooth' });
  }, [when]);
  return (
    <div ref={place} tabIndex={-1} class="reveal">
      {children}
    </div>
  );
}
