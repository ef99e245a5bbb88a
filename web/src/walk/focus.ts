import { useEffect, useRef } from 'preact/hooks';

/** Moves the focus to the title of the page: from what is about to go, so that it is never lost. */
export function focusTitle(): void {
  document.querySelector<HTMLElement>('h1')?.focus({ preventScroll: true });
}

/** Moves the focus once `value` is another: what had it went with what was shown before. */
export function useFocusAfter<T>(value: T, target: (before: T) => HTMLElement | null | undefined): void {
  const before = useRef(value);
  useEffect(() => {
    const was = before.current;
    before.current = value;
    if (!Object.is(was, value)) target(was)?.focus();
  }, [value]);
}

/** Whether nothing on the page has the focus any more. */
export function focusLost(): boolean {
  return document.activeElement === null || document.activeElement === document.body || document.activeElement.matches(':disabled');
}
