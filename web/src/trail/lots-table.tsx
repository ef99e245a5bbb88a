import type { Trail, TrailLot } from '../contract.gen';
import { dateAt } from '../local/zone';
import { Table, Tag, type Column } from '../parts';
import { Link } from '../router';
import { format, words } from '../words';
import { isMixed } from './balance';
import { perLot } from './flow/graph';
import { houseName, houseOf, nameIn, zoneOf, type Names } from './names';
import { trailAddress } from './state';
import { standingNow, type Standing } from './where';

interface LotsTableProps {
  trail: Trail;
  lots: readonly TrailLot[];
  names: Names;
  caption: string;
  /** On paper there is nothing to open. */
  plain?: boolean;
}

/** Writes a count; a dash for none, so that what is there stands out. */
function count(n: number): string {
  return n === 0 ? '–' : format.value.count(n);
}

function byHouse(standing: readonly Standing[], names: Names): Map<string, Standing[]> {
  const houses = new Map<string, Standing[]>();
  for (const one of standing) {
    const house = houseOf(names, one.blockId);
    houses.set(house, [...(houses.get(house) ?? []), one]);
  }
  return houses;
}

function LotName({ lot, cultivar, plain }: { lot: TrailLot; cultivar: string; plain: boolean }) {
  const { table: say } = words.value.trail;
  return (
    <>
      {plain ? lot.code : <Link to={trailAddress('lot', lot.lot_id)} class="trail-link">{lot.code}</Link>}
      {lot.held && (
        <>
          {' '}
          <Tag strong>{say.held}</Tag>
        </>
      )}
      {!lot.certain && (
        <>
          {' '}
          <Tag>{say.uncertain}</Tag>
        </>
      )}
      <span class="trail-line trail-cultivar">{cultivar}</span>
      {isMixed(lot) && <small class="quiet trail-line">{say.mixed(format.value.percent(lot.percent ?? 0))}</small>}
    </>
  );
}

/** Every lot with its own counts: what the diagram shows, in words. */
export function LotsTable({ trail, lots, names, caption, plain = false }: LotsTableProps) {
  const { table: say } = words.value.trail;
  const f = format.value;
  const codes = new Map(trail.lots.map((lot) => [lot.lot_id, lot.code]));
  const parents = perLot(trail.links, (link) => link.to_lot_id);
  const standing = perLot(standingNow(trail.placements), ({ lotId }) => lotId);
  const shipments = new Map(trail.shipments.map((shipment) => [shipment.shipment_id, shipment]));
  const origin = (lot: TrailLot): string => {
    const shipment = shipments.get(lot.shipment_id ?? '');
    if (shipment) {
      const arrived = say.arrived(f.date(shipment.arrived_on), nameIn(names.suppliers, shipment.supplier_id));
      return lot.supplier_lot_code ? `${arrived}, ${say.supplierCode(lot.supplier_lot_code)}` : arrived;
    }
    const day = lot.born_at ? f.date(dateAt(lot.born_at, zoneOf(lot.site_id))) : words.value.common.unknown;
    const from = [...new Set(parents(lot.lot_id).map((link) => codes.get(link.from_lot_id) ?? ''))];
    return from.length > 0 ? say.madeOf(f.list(from), day) : say.madeOfOthers(day);
  };
  const stands = (lot: TrailLot) => {
    const houses = [...byHouse(standing(lot.lot_id), names)];
    const { unplaced } = lot.tally;
    return (
      <span class="trail-stands">
        {houses.map(([house, blocks]) => (
          <span key={house} class="trail-line">
            {houseName(names, house)}:
            {blocks.map(({ blockId, plants }, i) => (
              <span key={blockId}>
                {' '}
                <span class="trail-whole">
                  {say.inBlock(nameIn(names.blocks, blockId), f.count(plants))}
                  {i < blocks.length - 1 && ';'}
                </span>
              </span>
            ))}
          </span>
        ))}
        {unplaced > 0 && <span class="trail-line">{say.notPlaced(f.count(unplaced))}</span>}
        {houses.length === 0 && unplaced === 0 && say.nowhere}
      </span>
    );
  };
  const otherwise = ({ tally }: TrailLot): string => {
    const became = tally.split_off + tally.merged_away;
    return [became > 0 && say.became(f.count(became)), tally.lost > 0 && say.missing(f.count(tally.lost)), tally.gained > 0 && say.found(f.count(tally.gained))].filter(Boolean).join(', ');
  };
  const some = lots.some((lot) => otherwise(lot) !== '');
  const columns: Column<TrailLot>[] = [
    { key: 'lot', head: say.lotCultivar, cell: (lot) => <LotName lot={lot} cultivar={nameIn(names.cultivars, lot.cultivar_id)} plain={plain} /> },
    { key: 'origin', head: say.origin, cell: (lot) => <span class="trail-origin">{origin(lot)}</span> },
    { key: 'received', head: say.received, number: true, cell: ({ tally }) => f.count(tally.received) },
    { key: 'onHand', head: say.onHand, number: true, cell: (lot) => count(lot.on_hand) },
    { key: 'dispatched', head: say.dispatched, number: true, cell: ({ tally }) => count(tally.dispatched) },
    { key: 'discarded', head: say.discarded, number: true, cell: ({ tally }) => count(tally.discarded) },
    ...(some ? [{ key: 'otherwise', head: say.otherwise, cell: (lot: TrailLot) => otherwise(lot) || '–' }] : []),
    { key: 'stands', head: say.stands, cell: stands },
  ];
  return (
    <div class="trail-lots">
      <Table caption={caption} stack columns={columns} rows={lots} rowKey={({ lot_id: id }) => id} />
    </div>
  );
}
