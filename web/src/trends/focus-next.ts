import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

/** What takes the focus, sought inside a place. */
type Sought<T extends HTMLElement> = (place: T) => HTMLElement | null | undefined;

/**
 * Hands the focus on when what had it goes away: a form that closes, a button that is used up. Call
 * `next` with what is to have it; it is given as soon as that is there, unless the person went elsewhere meanwhile.
 */
export function useFocusNext<T extends HTMLElement>(): { place: RefObject<T>; next: (sought: Sought<T>) => void } {
  const place = useRef<T>(null);
  const wanted = useRef<Sought<T> | null>(null);
  useEffect(() => {
    const found = place.current && wanted.current?.(place.current);
    if (!found) return;
    wanted.current = null;
    const { activeElement } = document;
    if (activeElement === null || activeElement === document.body) found.focus();
  });
  return {
    place,
    next: (sought) => {
      wanted.current = sought;
    },
  };
}
