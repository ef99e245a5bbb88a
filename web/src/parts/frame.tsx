import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

import { notify, Toasts } from './notice';
import { problemText, toProblem } from '../problem';
import { Strip } from '../phone/strip';
import { Link, useRoute, withQuery } from '../router';
import { readsOnly, selectedSite, serverNow, session, signOut } from '../session';
import { format, words } from '../words';
import { DockIcon, HousesIcon, SetupIcon, SignInIcon, SumsIcon, TrailIcon, TrendsIcon, WalkIcon, WeekIcon, Wordmark } from './icons';
import { LanguageSwitch } from './language-switch';
import { Said } from './say';
import { SiteChooser } from './site-chooser';

interface Place {
  to: string;
  key: 'dock' | 'walk' | 'week' | 'trends' | 'houses' | 'trail' | 'setup' | 'sums' | 'signIn';
  icon: () => JSX.Element;
  /** Pages outside its addresses that belong to it. */
  holds?: readonly string[];
  /** Not of every day: on a phone it stands in the foot, where the thumb's bar has no room for it. */
  aside?: true;
}

const places: readonly Place[] = [
  { to: '/dock', key: 'dock', icon: DockIcon },
  { to: '/walk', key: 'walk', icon: WalkIcon },
  { to: '/week', key: 'week', icon: WeekIcon },
  { to: '/trends', key: 'trends', icon: TrendsIcon },
  { to: '/trail', key: 'trail', icon: TrailIcon },
  { to: '/houses', key: 'houses', icon: HousesIcon, holds: ['/season'], aside: true },
  { to: '/setup', key: 'setup', icon: SetupIcon, holds: ['/labels', '/sheets'], aside: true },
  { to: '/sums', key: 'sums', icon: SumsIcon, aside: true },
];

/** `aria-current` of a link to a place: on its page, or further in. */
function currentAt(path: string, { to, holds }: Place): 'page' | 'true' | undefined {
  if (path === to) return 'page';
  return path.startsWith(`${to}/`) || holds?.includes(path) ? 'true' : undefined;
}

const openPlaces: readonly Place[] = [
  { to: '/sums', key: 'sums', icon: SumsIcon },
  { to: '/sign-in', key: 'signIn', icon: SignInIcon },
];

function Navigation() {
  const { path, query } = useRoute();
  const address = query.size > 0 ? `${path}?${query.toString()}` : path;
  return (
    <nav class="navigation" aria-label={words.value.common.navigation}>
      <ul>
        {(session.value ? places : openPlaces).map((place) => {
          const { to, key, icon: Icon, aside } = place;
          return (
            <li key={to} class={aside && 'navigation-aside'}>
              <Link to={key === 'signIn' ? withQuery(to, { to: address }) : to} aria-current={currentAt(path, place)}>
                <Icon />
                <span>{key === 'signIn' ? words.value.signIn.title : words.value.common.pages[key]}</span>
              </Link>
            </li>
          );
        })}
      </ul>
    </nav>
  );
}

/** The places that the bar of a phone has no room for. */
function FootPlaces() {
  const { common } = words.value;
  const { path } = useRoute();
  return (
    <ul class="foot-places">
      {places.map(
        (place) =>
          place.aside &&
          place.key !== 'signIn' && (
            <li key={place.to}>
              <Link to={place.to} class="btn btn-quiet" aria-current={currentAt(path, place)}>
                {common.pages[place.key]}
              </Link>
            </li>
          ),
      )}
    </ul>
  );
}

function Foot() {
  const { common } = words.value;
  const who = session.value;
  if (!who) return null;
  const zone = selectedSite.value?.time_zone ?? 'UTC';
  return (
    <footer class="foot">
      <p>
        {common.signedInAs(who.person.name)}
        {who.ends_on && ` ${common.until(format.value.fullDate(who.ends_on))}`}
        <button
          type="button"
          class="btn btn-quiet"
          onClick={() => {
            signOut().catch((thrown: unknown) => notify(problemText(toProblem(thrown), words.value)));
          }}
        >
          {common.signOut}
        </button>
      </p>
      {readsOnly() && <p>{common.readsOnly}.</p>}
      <FootPlaces />
      {who.demo && (
        <p>
          {common.demoClock(format.value.moment(serverNow(), zone))} · {common.demoNote}
        </p>
      )}
    </footer>
  );
}

/** What stands around every page: name, site, language, navigation, foot and passing notices. */
export function Frame({ children }: { children: ComponentChildren }) {
  return (
    <div class="frame">
      <a class="skip" href="#page">
        {words.value.common.skipToContent}
      </a>
      <div class="top">
      <header class="head">
        <Link to="/" class="wordmark" aria-label={words.value.common.name}>
          <Wordmark />
        </Link>
        {session.value && <SiteChooser />}
        <LanguageSwitch />
      </header>
      {session.value && <Strip />}
      </div>
      <Navigation />
      <div class="paper">
        <main id="page" tabIndex={-1}>
          {children}
        </main>
        <Foot />
      </div>
      <Toasts />
      <Said />
    </div>
  );
}

interface PageProps {
  title: string;
  /** A line above the title: where this belongs. */
  above?: ComponentChildren;
  /** A link back, `{ to, label }`. */
  back?: { to: string; label: string };
  actions?: ComponentChildren;
  /** `reading`: one column for text and forms; `wide`: charts and tables use all the room. */
  width?: 'reading' | 'wide';
  children: ComponentChildren;
}

/** One page: its title (also the window's), a way back, its actions. Moves the reading focus to the title when it opens. */
export function Page({ title, above, back, actions, width = 'reading', children }: PageProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  const { path } = useRoute();
  useEffect(() => {
    document.title = `${title} · ${words.value.common.name}`;
  }, [title]);
  useEffect(() => {
    heading.current?.focus({ preventScroll: true });
  }, [path]);
  return (
    <article class={`page page-${width}`}>
      <header class="page-head">
        {back && (
          <Link to={back.to} class="page-back">
            <span aria-hidden="true">← </span>
            {back.label}
          </Link>
        )}
        {above !== undefined && <p class="page-above">{above}</p>}
        <div class="page-title">
          <h1 ref={heading} tabIndex={-1}>
            {title}
          </h1>
          {actions !== undefined && <div class="page-actions">{actions}</div>}
        </div>
      </header>
      {children}
    </article>
  );
}
