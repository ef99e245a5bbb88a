import { signal } from '@preact/signals';
import type { AnchorHTMLAttributes, ComponentChildren, JSX } from 'preact';

/** Where the reader is: `path` without a closing slash, `query` as given. */
export interface Route {
  path: string;
  query: URLSearchParams;
}

/** An address of the pages as a route. */
export function parseRoute(address: string): Route {
  const url = new URL(address, 'http://pages.invalid');
  const path = url.pathname.replace(/\/+$/, '');
  return { path: path === '' ? '/' : path, query: url.searchParams };
}

/**
 * The named parts of a path, or null when it does not fit:
 * `matchPath('/dock/lots/:id', '/dock/lots/7')` is `{ id: '7' }`.
 */
export function matchPath(pattern: string, path: string): Record<string, string> | null {
  const wanted = pattern.split('/');
  const given = path.split('/');
  if (wanted.length !== given.length) return null;
  const found: Record<string, string> = {};
  for (const [i, part] of wanted.entries()) {
    const value = given[i] ?? '';
    if (part.startsWith(':')) {
      if (value === '') return null;
      try {
        found[part.slice(1)] = decodeURIComponent(value);
      } catch {
        return null;
      }
    } else if (part !== value) {
      return null;
    }
  }
  return found;
}

/** An address to return to, if it lies within these pages; else the start. */
export function safeReturn(address: string | null): string {
  if (address === null || !/^\/(?![/\\])/.test(address) || /^\/sign-in\b/.test(address)) return '/';
  return address;
}

/** A path with the query parameters that have a value. */
export function withQuery(path: string, query: Record<string, string | number | null | undefined>): string {
  const search = new URLSearchParams();
  for (const [name, value] of Object.entries(query)) {
    if (value !== null && value !== undefined && value !== '') search.set(name, String(value));
  }
  const text = search.toString();
  return text === '' ? path : `${path}?${text}`;
}

function here(): string {
  return typeof location === 'undefined' ? '/' : location.pathname + location.search;
}

const current = signal<Route>(parseRoute(here()));

/** The current route; a component that calls it is drawn again when it changes. */
export function useRoute(): Route {
  return current.value;
}

/** Goes to an address of these pages. `replace` leaves no step to go back to. */
export function go(address: string, { replace = false, keepScroll = false } = {}): void {
  const before = current.peek().path;
  if (replace) history.replaceState(null, '', address);
  else history.pushState(null, '', address);
  current.value = parseRoute(here());
  if (!keepScroll && current.peek().path !== before) scrollTo(0, 0);
}

if (typeof addEventListener !== 'undefined') {
  addEventListener('popstate', () => {
    current.value = parseRoute(here());
  });
}

type LinkProps = Omit<AnchorHTMLAttributes, 'href'> & { to: string; children: ComponentChildren };

/** A link within the pages. Opens in a new tab like any other when asked to. */
export function Link({ to, children, onClick, ...rest }: LinkProps): JSX.Element {
  return (
    <a
      {...rest}
      href={to}
      onClick={(event) => {
        onClick?.(event);
        if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
        event.preventDefault();
        go(to);
      }}
    >
      {children}
    </a>
  );
}
