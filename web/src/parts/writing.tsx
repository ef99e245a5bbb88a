import type { ComponentChildren } from 'preact';

import { readsOnly } from '../session';

/** What records something; nothing of it for an account that only reads. */
export function Writing({ children }: { children: ComponentChildren }) {
  return readsOnly() ? null : <>{children}</>;
}
