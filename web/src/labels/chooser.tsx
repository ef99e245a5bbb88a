import { fetchAll } from '../api';
import type { Block, House, Shipment, Site, Supplier } from '../contract.gen';
import { ButtonLink, Empty, Loaded, Page, Section, useLoad } from '../parts';
import { Link, withQuery } from '../router';
import { format, words } from '../words';

/** As many shipments as a person looks through before reaching for the dock's own list. */
const lastShipments = 12;

interface Found {
  shipments: Shipment[];
  suppliers: Supplier[];
  houses: House[];
  blocks: Block[];
}

async function fetchChoices(siteId: string, signal: AbortSignal): Promise<Found> {
  const at = { site_id: siteId };
  const [shipments, suppliers, houses, blocks] = await Promise.all([
    fetchAll('shipments', at, signal),
    fetchAll('suppliers', {}, signal),
    fetchAll('houses', at, signal),
    fetchAll('blocks', at, signal),
  ]);
  return {
    shipments: shipments
      .filter((one) => one.lots > 0 && !one.withdrawn_because)
      .toSorted((a, b) => b.arrived_on.localeCompare(a.arrived_on))
      .slice(0, lastShipments),
    suppliers,
    houses: houses.toSorted((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true })),
    blocks,
  };
}

function Shipments({ found: { shipments, suppliers } }: { found: Found }) {
  const { labels, common } = words.value;
  return (
    <Section title={labels.forLots} lead={labels.forLotsLead}>
      {shipments.length === 0 ? (
        <Empty title={labels.emptyLotsTitle} action={<ButtonLink to="/dock">{labels.toDock}</ButtonLink>}>
          <p>{labels.noShipments}</p>
        </Empty>
      ) : (
        <ul class="label-links">
          {shipments.map((one) => (
            <li key={one.id}>
              <Link to={withQuery('/labels', { shipment: one.id })}>
                {labels.shipment(suppliers.find(({ id }) => id === one.supplier_id)?.name ?? common.unknown, format.value.fullDate(one.arrived_on), common.lots(one.lots))}
              </Link>
            </li>
          ))}
        </ul>
      )}
    </Section>
  );
}

function Houses({ site, found: { houses, blocks } }: { site: Site; found: Found }) {
  const { labels, common } = words.value;
  const count = (houseId: string): number => blocks.filter(({ house_id }) => house_id === houseId).length;
  const withBlocks = houses.filter(({ id }) => count(id) > 0);
  return (
    <Section title={labels.forBlocks} lead={labels.forBlocksLead}>
      {withBlocks.length === 0 ? (
        <Empty title={labels.emptyBlocksTitle} action={<ButtonLink to="/setup/places">{labels.toPlaces}</ButtonLink>}>
          <p>{labels.noBlocks}</p>
        </Empty>
      ) : (
        <ul class="label-links">
          {withBlocks.map(({ id, name }) => (
            <li key={id}>
              <Link to={withQuery('/labels', { house: id })}>{labels.house(name, common.blocks(count(id)))}</Link>
            </li>
          ))}
          {withBlocks.length > 1 && (
            <li>
              <Link to={withQuery('/labels', { site: site.id, of: 'blocks' })}>{labels.everyHouse(common.blocks(blocks.length))}</Link>
            </li>
          )}
        </ul>
      )}
    </Section>
  );
}

/** What labels may be for, when the address does not say. */
export function Chooser({ site }: { site: Site }) {
  const { labels } = words.value;
  const load = useLoad((signal) => fetchChoices(site.id, signal), [site.id]);
  return (
    <Page title={labels.title} back={{ to: '/setup', label: labels.back.setup }}>
      <p class="lead">{labels.lead}</p>
      <Empty title={labels.chooseTitle}>
        <p>{labels.choose}</p>
      </Empty>
      <Loaded of={load}>
        {(found) => (
          <>
            <Shipments found={found} />
            <Houses site={site} found={found} />
          </>
        )}
      </Loaded>
    </Page>
  );
}
