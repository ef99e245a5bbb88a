import type { Lot, Placement } from '../../contract.gen';
import { Details, Section, Table } from '../../parts';
import { format, words } from '../../words';
import { zoneOf } from '../shared/site';
import { standingOf, staysOf } from './movement';
import { blockName, type Places } from './places';

interface Props {
  lot: Lot;
  placements: readonly Placement[];
  places: Places;
}

/** Where the lot stands, what is not yet placed, and where it stood before. */
export function Stands({ lot, placements, places }: Props) {
  const said = words.value.dock.lot;
  const f = format.value;
  const zone = zoneOf(lot.site_id);
  const standing = standingOf(lot, placements);
  const before = staysOf(placements).filter(({ until }) => until !== null);
  return (
    <Section title={said.stands} {...(standing.unplaced > 0 && { lead: said.standsLead(standing.unplaced) })}>
      <Table
        caption={said.stands}
        rows={standing.blocks}
        rowKey={({ blockId }) => blockId}
        empty={standing.unplaced > 0 ? <></> : <p class="quiet">{said.nowhere}</p>}
        columns={[
          { key: 'block', head: said.block, cell: ({ blockId }) => blockName(places, blockId) },
          { key: 'since', head: said.since, cell: ({ since }) => f.moment(since, zone) },
          { key: 'plants', head: said.plantsHead, number: true, cell: ({ plants }) => f.count(plants) },
        ]}
      />
      {before.length > 0 && (
        <Details summary={said.stoodBefore}>
          <Table
            caption={said.stoodBefore}
            rows={before}
            rowKey={({ blockId, since }) => blockId + since}
            columns={[
              { key: 'block', head: said.block, cell: ({ blockId }) => blockName(places, blockId) },
              { key: 'since', head: said.since, cell: ({ since }) => f.moment(since, zone) },
              { key: 'until', head: said.until, cell: ({ until }) => until && f.moment(until, zone) },
              { key: 'plants', head: said.plantsHead, number: true, cell: ({ plants }) => f.count(plants) },
            ]}
          />
        </Details>
      )}
    </Section>
  );
}
