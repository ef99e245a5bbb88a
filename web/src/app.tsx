import { useEffect } from 'preact/hooks';

import { isTradeItem, scannedPlace } from './labels/scanned';
import { lazy } from './lazy';
import { Busy, Button, ButtonLink, Notice, Page } from './parts';
import { Frame } from './parts/frame';
import { go, safeReturn, useRoute, withQuery } from './router';
import { access, hasRole, readsOnly, selectedSite, session, start } from './session';
import SignIn from './sign-in';
import { words } from './words';

const pages = {
  dock: lazy('dock', () => import('./dock')),
  walk: lazy('walk', () => import('./walk')),
  week: lazy('week', () => import('./week')),
  trends: lazy('trends', () => import('./trends')),
  houses: lazy('houses', () => import('./houses')),
  season: lazy('season', () => import('./season')),
  trail: lazy('trail', () => import('./trail')),
  setup: lazy('setup', () => import('./setup')),
  labels: lazy('labels', () => import('./labels')),
  sheets: lazy('sheets', () => import('./sheets')),
  phone: lazy('phone', () => import('./phone')),
  sums: lazy('sums', () => import('./sums')),
};

/** Pages that show nothing of anybody's and ask nobody to sign in. */
function isOpen(path: string): boolean {
  return path === '/sums';
}

/** Pages on which one goes on recording when the sign-in has run out: what is tapped is kept, and sent after signing in. */
function goesOn(path: string): boolean {
  return /^\/(walk|dock|phone)(\/|$)/.test(path);
}

/** Where each role starts its day. */
function home(): string {
  const site = selectedSite.value?.id;
  if (readsOnly()) return '/trends';
  if (hasRole(site, 'owner')) return '/houses';
  if (!hasRole(site, 'grower')) return '/dock';
  return navigator.onLine ? '/week' : '/walk'; // Walk needs no network
}

function Moved({ to }: { to: string }) {
  useEffect(() => go(to, { replace: true }), [to]);
  return <Busy />;
}

function Unreachable() {
  const { common } = words.value;
  return (
    <main class="sign-in">
      <h1>{common.unreachableTitle}</h1>
      <Notice kind="problem">
        <p>{common.unreachable}</p>
        <Button onClick={() => void start()}>{common.retry}</Button>
      </Notice>
    </main>
  );
}

function NotFound() {
  const { common } = words.value;
  return (
    <Page title={common.notFoundTitle}>
      <p>{common.notFound}</p>
      <ButtonLink to="/">{common.back}</ButtonLink>
    </Page>
  );
}

function Content() {
  const { path, query } = useRoute();
  if (path === '/') return <Moved to={home()} />;
  if (path === '/sign-in') return <Moved to={safeReturn(query.get('to'))} />;
  const scanned = scannedPlace(path);
  if (scanned !== null) return <Moved to={scanned} />;
  const first = isTradeItem(path) ? 'labels' : (path.split('/')[1] ?? '');
  if (!Object.hasOwn(pages, first)) return <NotFound />;
  const Here = pages[first as keyof typeof pages];
  return <Here />;
}

/** Everything: who may see it first, then the page for the address. */
export function App() {
  const { path, query } = useRoute();
  switch (access.value) {
    case 'starting':
      return <Busy />;
    case 'unreachable':
      return isOpen(path) ? <Frame><Content /></Frame> : <Unreachable />;
    case 'signed-out':
      if (path === '/sign-in') return <SignIn />;
      if (isOpen(path)) {
        return (
          <Frame>
            <Content />
          </Frame>
        );
      }
      return <Moved to={path === '/' ? '/sign-in' : withQuery('/sign-in', { to: path + (query.size > 0 ? `?${query.toString()}` : '') })} />;
    case 'expired':
    case 'signed-in': {
      if (access.value === 'expired' && path === '/sign-in') return <SignIn expired />;
      const covered = access.value === 'expired' && !isOpen(path) && !goesOn(path);
      return (
        <>
          {covered && <SignIn expired />}
          <div hidden={covered}>
            <Frame key={session.value?.person.id}>
              <Content />
            </Frame>
          </div>
        </>
      );
    }
  }
}
