import { fetchAll } from '../../api';
import type { Claim, Shipment } from '../../contract.gen';
import { ButtonLink, Loaded, Section, Tag, useLoad } from '../../parts';
import { toProblem } from '../../problem';
import { Link, withQuery } from '../../router';
import { canRecord } from '../../session';
import { format, words } from '../../words';
import { recallWorked } from '../overview/worked';
import { isSilent } from '../shared/saving';
import { seen, sent } from '../shared/sent';
import { zoneOf } from '../shared/site';
import { stateOf } from './clock';
import { latestFirst } from './found';
import { withWaiting } from './waiting';

/** The claims of a shipment; with no network those that the phone knew last. */
async function fetchClaims({ id, site_id }: Shipment, signal: AbortSignal): Promise<Claim[]> {
  try {
    return await fetchAll('claims', { shipment_id: id }, signal);
  } catch (thrown) {
    const problem = toProblem(thrown);
    if (!isSilent(problem) && problem.status !== 404) throw problem;
    return (await recallWorked(site_id)).claims.filter(({ shipment_id }) => shipment_id === id);
  }
}

/** On the page of a shipment: its claims and where they stand, or how to write one. */
export function ShipmentClaims({ shipment }: { shipment: Shipment }) {
  const said = words.value.dock.claim;
  const f = format.value;
  const zone = zoneOf(shipment.site_id);
  const load = useLoad((signal) => fetchClaims(shipment, signal), [shipment.id, sent.value.length]);
  const claims = load.data && latestFirst(withWaiting(load.data, seen(), [shipment]));
  const address = `/dock/shipments/${shipment.id}/claim`;
  const none = claims?.every(({ withdrawn_because }) => withdrawn_because) ?? false;
  return (
    <Section title={said.section} actions={none && canRecord(shipment.site_id) && <ButtonLink to={address}>{said.write}</ButtonLink>}>
      <Loaded of={load}>
        {() =>
          !claims || claims.length === 0 ? (
            <p>{said.none}</p>
          ) : (
            <ul class="dock-list">
              {claims.map((claim) => {
                const state = stateOf(claim);
                return (
                  <li key={claim.id} class="dock-line">
                    <Link to={withQuery(address, { claim: claim.id })} class="dock-line-main">
                      <Tag strong={state === 'draft'}>{said.state[state]}</Tag>
                      <b>{(claim.items ?? []).map(({ what }) => said.what[what]).filter((what, i, all) => all.indexOf(what) === i).join(', ') || said.text}</b>
                      <span class="quiet">
                        {claim.sent_at ? said.sentOn(f.moment(claim.sent_at, zone)) : `${f.moment(claim.recorded_at, zone)}, ${claim.recorded_by.name}`}
                        {claim.credit && ` · ${claim.credit.amount} ${claim.credit.currency}`}
                      </span>
                      <span class="dock-go">{state === 'draft' ? said.openDraft : said.open}</span>
                    </Link>
                  </li>
                );
              })}
            </ul>
          )
        }
      </Loaded>
    </Section>
  );
}
