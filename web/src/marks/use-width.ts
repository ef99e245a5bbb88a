import type { RefObject } from 'preact';
import { useLayoutEffect, useState } from 'preact/hooks';

/** The width in pixels of an element, followed as it changes; `fixed` wins. */
export function useWidth(place: RefObject<HTMLElement>, fixed?: number): number {
  const [width, setWidth] = useState(320);
  useLayoutEffect(() => {
    const element = place.current;
    if (fixed !== undefined || !element) return undefined;
    const measure = (): void => {
      if (element.clientWidth > 0) setWidth(element.clientWidth);
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [fixed]);
  return fixed ?? width;
}
