import './sheets.css';

import { client, read } from '../api';
import type { Daybook, Plans } from '../contract.gen';
import { commonName } from '../organism';
import { Button, ChoiceField, Empty, Loaded, NumberField, Page, Section, SelectField, useLoad } from '../parts';
import { go, useRoute } from '../router';
import { selectedSite } from '../session';
import { namesOf } from '../walk/round';
import { format, words } from '../words';
import { emptyRows, rowsOf, walkedRows } from './rows';
import { Sheet } from './sheet';
import { addressOf, kinds, papers, readState, type SheetState } from './state';

interface Found {
  book: Daybook;
  plans: Plans;
}

async function fetchSite(site_id: string, signal: AbortSignal): Promise<Found> {
  const at = { params: { query: { site_id } }, signal };
  const [book, plans] = await Promise.all([read(client.GET('/daybook', at)), read(client.GET('/plans', at))]);
  return { book, plans };
}

const byName = (a: { name: string }, b: { name: string }): number => a.name.localeCompare(b.name, undefined, { numeric: true });

function Choices({ state, siteId, houses }: { state: SheetState; siteId: string; houses: Daybook['houses'] }) {
  const { sheets } = words.value;
  const change = (part: Partial<SheetState>): void => go(addressOf({ ...state, ...part }), { replace: true });
  return (
    <div class="sheet-choices">
      <ChoiceField label={sheets.kind} value={state.kind} onValue={(kind) => change({ kind })} options={kinds.map((kind) => ({ value: kind, label: sheets.kinds[kind] }))} />
      <div class="sheet-choices-row">
        {state.kind !== 'signs' && (
          <SelectField
            label={sheets.house}
            value={state.house ?? ''}
            onValue={(house) => change(house ? { house, site: siteId } : { house: null, site: null })}
            options={[{ value: '', label: sheets.blank }, ...houses.toSorted(byName).map(({ id, name }) => ({ value: id, label: name }))]}
          />
        )}
        {state.kind === 'map' && <NumberField label={sheets.across} value={state.across} min={1} max={8} onValue={(across) => across !== null && change({ across })} />}
        <ChoiceField label={sheets.paper} value={state.paper} onValue={(paper) => change({ paper })} options={papers.map((paper) => ({ value: paper, label: sheets.papers[paper] }))} />
      </div>
    </div>
  );
}

function Content({ state, found: { book, plans } }: { state: SheetState; found: Found }) {
  const { sheets } = words.value;
  const house = book.houses.find(({ id }) => id === state.house);
  const plan = house && plans.plans.find(({ house_id }) => house_id === house.id);
  const stands = house ? rowsOf(book, house.id, plan) : [];
  const walked = walkedRows(stands);
  const organism = namesOf(book).organism(plans.organism_id ?? undefined);
  const heading = {
    site: house ? book.site.name : '',
    house: house?.name ?? '',
    week: house ? format.value.week(book.week) : '',
    organism: house && organism ? commonName(organism) : '',
  };
  return (
    <>
      <Choices state={state} siteId={book.site.id} houses={book.houses} />
      <Section title={sheets.preview} actions={<Button kind="primary" onClick={() => print()}>{sheets.print}</Button>}>
        {house && state.kind !== 'signs' && state.kind !== 'map' && walked.length === 0 && <p>{sheets.nothing}</p>}
        {house && state.kind !== 'signs' && walked.length > 0 && walked.every(({ asked }) => asked === null) && <p>{sheets.noPlan}</p>}
        <Sheet
          kind={state.kind}
          paper={state.paper}
          across={state.across}
          heading={heading}
          rows={stands.length > 0 ? stands : emptyRows()}
          walked={walked.length > 0 ? walked : emptyRows()}
        />
      </Section>
    </>
  );
}

/** Sheets to print: tallies, a map of a house, and what the signs look like. */
export default function Sheets() {
  const { query } = useRoute();
  const { sheets, common } = words.value;
  const state = readState(query);
  const site = state.site ?? selectedSite.value?.id;
  const load = useLoad((signal) => (site === undefined ? Promise.reject(new Error('no site')) : fetchSite(site, signal)), [site]);
  return (
    <Page title={sheets.title} width="wide">
      <p class="lead">{sheets.lead}</p>
      {site === undefined ? <Empty title={common.noSite} /> : <Loaded of={load}>{(found) => <Content state={state} found={found} />}</Loaded>}
    </Page>
  );
}
