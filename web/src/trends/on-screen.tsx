import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

const seen = new WeakMap<Element, () => void>();
let watcher: IntersectionObserver | undefined;

/** One observer for all charts: they are drawn a screen before they come into sight. */
function watch(element: Element, act: () => void): () => void {
  watcher ??= new IntersectionObserver(
    (entries) => {
      for (const { isIntersecting, target } of entries) if (isIntersecting) seen.get(target)?.();
    },
    { rootMargin: '100% 0px' },
  );
  const here = watcher;
  seen.set(element, act);
  here.observe(element);
  return () => {
    here.unobserve(element);
    seen.delete(element);
  };
}

/** Draws its children once they come near the screen, or when the page is printed. Until then it keeps their room. */
export function OnScreen({ height, children }: { height: string; children: () => ComponentChildren }) {
  const place = useRef<HTMLDivElement>(null);
  const [drawn, setDrawn] = useState(false);
  useEffect(() => {
    const element = place.current;
    if (drawn || !element) return undefined;
    const draw = (): void => setDrawn(true);
    const forget = watch(element, draw);
    addEventListener('beforeprint', draw);
    return () => {
      forget();
      removeEventListener('beforeprint', draw);
    };
  }, [drawn]);
  return (
    <div ref={place} style={drawn ? undefined : { minHeight: height }}>
      {drawn && children()}
    </div>
  );
}
