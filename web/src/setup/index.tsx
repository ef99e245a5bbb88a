import './setup.css';

import type { ComponentType } from 'preact';

import { ButtonLink, Page } from '../parts';
import { useRoute } from '../router';
import { words } from '../words';
import { lazy } from '../lazy';
import Accounts from './accounts';
import Limits from './limits';
import { areas, Overview, type Area } from './overview';
import Places from './places';
import Seasons from './seasons';
import Stock from './stock';
import Tokens from './tokens';

const pages: Record<Area, ComponentType> = {
  places: Places,
  stock: Stock,
  seasons: Seasons,
  limits: Limits,
  import: lazy('imports', () => import('./import')),
  accounts: Accounts,
  tokens: Tokens,
};

/** Places, names, seasons, limits, accounts and tokens: each on a page of its own. */
export default function Setup() {
  const { setup, common } = words.value;
  const [, , name = '', ...rest] = useRoute().path.split('/');
  if (name === '') {
    return (
      <Page title={setup.title}>
        <Overview />
      </Page>
    );
  }
  const area = areas.find((one) => one === name);
  if (area === undefined || rest.length > 0) {
    return (
      <Page title={common.notFoundTitle} back={{ to: '/setup', label: setup.title }}>
        <p>{common.notFound}</p>
        <ButtonLink to="/setup">{common.back}</ButtonLink>
      </Page>
    );
  }
  const Here = pages[area];
  return (
    <Page key={area} title={setup.area[area]} back={{ to: '/setup', label: setup.title }}>
      <p class="lead">{setup.areaLead[area]}</p>
      <Here />
    </Page>
  );
}
