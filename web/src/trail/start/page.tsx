import { useMemo, useState } from 'preact/hooks';

import { fetchAll } from '../../api';
import type { Lot, Shipment } from '../../contract.gen';
import { ButtonLink, Details, Empty, Loaded, Page, Section, TextField, useLoad } from '../../parts';
import { Link } from '../../router';
import { format, words } from '../../words';
import { fetchNames, type Names } from '../names';
import { fetchDeliveries, mostCustomers } from './deliveries';
import { findables, found, type Findable } from './find';

interface Known {
  names: Names;
  shipments: Shipment[];
  lots: Lot[];
}

async function fetchKnown(signal: AbortSignal): Promise<Known> {
  const [names, shipments, lots] = await Promise.all([fetchNames(signal), fetchAll('shipments', {}, signal), fetchAll('lots', {}, signal)]);
  return { names, shipments, lots };
}

function List({ items }: { items: readonly Findable[] }) {
  return (
    <ul class="trail-list">
      {items.map(({ id, to, name, note }) => (
        <li key={id}>
          <Link to={to}>
            <b>{name}</b>
            {note !== '' && <span class="quiet"> {note}</span>}
          </Link>
        </li>
      ))}
    </ul>
  );
}

/** Before anything is asked: what can be followed, and what it is good for. */
function Teaching({ all }: { all: readonly Findable[] }) {
  const { start: say } = words.value.trail;
  const ofKind = (kind: Findable['kind']): Findable[] => all.filter((one) => one.kind === kind);
  const latest = 12;
  return (
    <>
      <Empty title={say.emptyTitle}>
        <ul class="trail-teaching">
          <li>{say.empty.forward}</li>
          <li>{say.empty.back}</li>
          <li>{say.empty.reach}</li>
        </ul>
      </Empty>
      <div>
        {(['farm', 'supplier', 'shipment', 'customer'] as const).map((kind) => (
          <Details key={kind} summary={say.browse[kind]}>
            {kind === 'customer' && ofKind(kind).length === 0 ? <p>{say.noCustomers}</p> : <List items={kind === 'shipment' ? ofKind(kind).slice(0, latest) : ofKind(kind)} />}
          </Details>
        ))}
      </div>
    </>
  );
}

function Search({ known }: { known: Known }) {
  const { start: say } = words.value.trail;
  const [text, setText] = useState('');
  // Delivery notes are fetched once somebody looks for something.
  const looking = text.trim() !== '';
  const customers = [...known.names.customers.values()];
  const deliveries = useLoad((signal) => (looking ? fetchDeliveries(customers, signal) : Promise.resolve(null)), [looking]);
  const speech = { words: words.value, format: format.value };
  const all = useMemo(() => findables({ ...known, deliveries: deliveries.data ?? [] }, speech), [known, deliveries.data, speech.words]);
  const finds = found(all, text);
  const count = finds.reduce((sum, { shown, more }) => sum + shown.length + more, 0);
  return (
    <>
      <div class="trail-search">
        <TextField label={say.search} hint={say.hint} type="search" value={text} onValue={setText} autocomplete="off" />
      </div>
      <p class="aside-only" role="status">
        {looking ? say.found(count) : ''}
      </p>
      {!looking && <Teaching all={all} />}
      {finds.map(({ kind, shown, more }) => (
        <section key={kind} class="trail-finds">
          <h2>{say.kinds[kind]}</h2>
          <List items={shown} />
          {more > 0 && <p class="quiet">{say.more(more)}</p>}
        </section>
      ))}
      {looking && deliveries.data === undefined && deliveries.loading && <p class="quiet">{say.dispatchesLater}</p>}
      {looking && finds.length === 0 && !deliveries.loading && (
        <Empty title={say.none(text.trim())}>
          <p>{say.noneHint}</p>
        </Empty>
      )}
      {looking && customers.length > mostCustomers && <p class="quiet">{say.dispatchesSome(mostCustomers)}</p>}
    </>
  );
}

/** Choosing what to follow. */
export function StartPage() {
  const { title, start: say } = words.value.trail;
  const load = useLoad(fetchKnown, []);
  return (
    <Page width="wide" title={title}>
      <div class="trail" aria-busy={load.loading}>
        <p class="lead">{say.lead}</p>
        <Loaded of={load}>{(known) => <Search known={known} />}</Loaded>
        <Section title={say.strikes} lead={say.strikesLead}>
          <div>
            <ButtonLink to="/trail/strikes">{say.strikes}</ButtonLink>
          </div>
        </Section>
      </div>
    </Page>
  );
}
