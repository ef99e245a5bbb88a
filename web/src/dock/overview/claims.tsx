import type { Claim, Shipment } from '../../contract.gen';
import { Details, Section, Tag } from '../../parts';
import { Link, withQuery } from '../../router';
import { format, words } from '../../words';
import { supplierName, type Names } from '../shared/names';
import { zoneOf } from '../shared/site';
import type { DueClaim } from './claims-due';

interface Props {
  due: readonly DueClaim[];
  /** Sent, with no answer yet. */
  unanswered: readonly Claim[];
  shipments: readonly Shipment[];
  names: Names;
}

function DueRow({ due: { shipment, draft, left }, names }: { due: DueClaim; names: Names }) {
  const { dock } = words.value;
  const said = dock.claim;
  const f = format.value;
  const zone = zoneOf(shipment.site_id);
  return (
    <li class="dock-line">
      <Link to={withQuery(`/dock/shipments/${shipment.id}/claim`, { claim: draft?.id })} class="dock-line-main">
        <b>{supplierName(names, shipment.supplier_id)}</b>
        <Tag strong={draft !== null}>{draft ? said.dueDraft : said.dueNone}</Tag>
        <span class="quiet">
          <b class="dock-clock">{left > 0 ? said.dueLeft(f.span(left)) : said.dueLate(f.span(-left))}</b>, {said.dueBy(f.moment(shipment.claim_closes_at ?? '', zone))}
        </span>
        <span class="dock-go">{draft ? said.openDraft : said.write}</span>
      </Link>
    </li>
  );
}

/** The claims whose clock runs, soonest first; and those that wait for an answer. */
export function ClaimsDue({ due, unanswered, shipments, names }: Props) {
  const said = words.value.dock.claim;
  if (due.length === 0 && unanswered.length === 0) return null;
  return (
    <Section title={said.due} {...(due.length > 0 && { lead: said.dueLead })}>
      {due.length > 0 && (
        <ul class="dock-list">
          {due.map((one) => (
            <DueRow key={one.shipment.id} due={one} names={names} />
          ))}
        </ul>
      )}
      {unanswered.length > 0 && (
        <Details summary={said.unanswered(unanswered.length)}>
          <ul class="dock-list">
            {unanswered.map(({ id, shipment_id, site_id, sent_at }) => (
              <li key={id} class="dock-line">
                <Link to={withQuery(`/dock/shipments/${shipment_id}/claim`, { claim: id })} class="dock-line-main">
                  <b>{supplierName(names, shipments.find((shipment) => shipment.id === shipment_id)?.supplier_id)}</b>
                  <span class="quiet">{said.sentOn(format.value.moment(sent_at ?? '', zoneOf(site_id)))}</span>
                  <span class="dock-go">{said.open}</span>
                </Link>
              </li>
            ))}
          </ul>
        </Details>
      )}
    </Section>
  );
}
