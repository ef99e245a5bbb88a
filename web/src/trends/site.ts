import { useEffect, useRef } from 'preact/hooks';

import { go } from '../router';
import { chooseSite, selectedSite, sites } from '../session';
import { allSites } from './state';

/** The site in force; the address and the site of all pages are kept in step. `at`: the address of the same page about a site, which may be another one. */
export function useSite(site: string | null, at: (site: string, another: boolean) => string): string {
  const chosen = selectedSite.value?.id ?? allSites;
  const before = useRef(chosen);
  useEffect(() => {
    if (before.current !== chosen) {
      // chosen in the frame of the page: the address follows
      before.current = chosen;
      if (site !== chosen) go(at(chosen, true), { replace: true, keepScroll: true });
    } else if (site === null && chosen !== allSites) {
      // an address without a site: it says from now on which one it is about, so that it can be passed on
      go(at(chosen, false), { replace: true, keepScroll: true });
    } else if (site !== null && site !== chosen && sites.value.some(({ id }) => id === site)) {
      // an address that names another site: the frame follows
      before.current = site;
      chooseSite(site);
    }
  }, [chosen, site]);
  return site ?? chosen;
}
