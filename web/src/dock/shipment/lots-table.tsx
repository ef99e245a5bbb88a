import type { Lot, Movement, Shipment } from '../../contract.gen';
import { ButtonLink, Table, Tag } from '../../parts';
import { Link } from '../../router';
import { readsOnly } from '../../session';
import { format, words } from '../../words';
import { cultivarName, farmName, type Names } from '../shared/names';
import { compareLots, countsOf, type Compared } from './compare';

interface Props {
  shipment: Shipment;
  lots: readonly Lot[];
  movements: readonly Movement[] | undefined;
  names: Names;
}

function Difference({ row }: { row: Compared }) {
  const said = words.value.dock.shipment;
  if (row.difference === null || row.difference === 0) return null;
  return <small class="dock-difference">{row.difference < 0 ? said.short(-row.difference) : said.over(row.difference)}</small>;
}

function State({ lot, arrived }: { lot: Lot; arrived: boolean }) {
  const { dock } = words.value;
  if (lot.verdict) return <Tag strong={lot.verdict === 'hold' || lot.verdict === 'reject'}>{dock.lot.verdict[lot.verdict]}</Tag>;
  if (lot.inspected) return <Tag>{dock.shipment.noVerdict}</Tag>;
  if (!arrived || readsOnly()) return null;
  return (
    <ButtonLink to={`/dock/lots/${lot.id}/inspect`}>
      {dock.inspect}
      <span class="aside-only"> {lot.code}</span>
    </ButtonLink>
  );
}

/** The lots of a shipment: what was ordered, what the papers say, what was counted. */
export function LotsTable({ shipment, lots, movements, names }: Props) {
  const { dock, common } = words.value;
  const said = dock.shipment;
  const f = format.value;
  const anyOrder = (shipment.order_lines ?? []).length > 0;
  const rows = compareLots(shipment, lots, countsOf(movements ?? []));
  const count = (n: number | null): string => (n === null ? '–' : f.count(n));
  return (
    <div class="dock-lots-table">
      <Table
        caption={said.lots}
        stack
        rows={rows}
        rowKey={(row) => row.key}
        columns={[
          {
            key: 'lot',
            head: said.lot,
            cell: ({ lot, cultivarId, substituteForId }) => (
              <>
                {lot ? (
                  <Link to={`/dock/lots/${lot.id}`} class="dock-lot-name">
                    <span class="dock-code">{lot.code}</span> {cultivarName(names, cultivarId)}
                  </Link>
                ) : (
                  <span class="quiet">{said.noLotOf(cultivarName(names, cultivarId))}</span>
                )}
                {substituteForId !== null && <small class="dock-instead">{said.insteadOf(cultivarName(names, substituteForId))}</small>}
              </>
            ),
          },
          {
            key: 'farm',
            head: said.farm,
            cell: ({ lot }) =>
              lot &&
              (lot.farm_ids && lot.farm_ids.length > 0 ? f.list(lot.farm_ids.map((id) => farmName(names, id))) : <span class="quiet">{common.unknown}</span>),
          },
          ...(anyOrder
            ? [
                {
                  key: 'ordered',
                  head: said.ordered,
                  number: true,
                  cell: (row: Compared) => (
                    <span>
                      {count(row.ordered)} <Difference row={row} />
                    </span>
                  ),
                },
              ]
            : []),
          { key: 'papers', head: said.onPapers, number: true, cell: ({ onPapers }) => count(onPapers) },
          { key: 'counted', head: said.counted, number: true, cell: ({ counted }) => count(counted) },
          { key: 'state', head: said.state, cell: ({ lot }) => lot && <State lot={lot} arrived={Boolean(shipment.docked_at)} /> },
        ]}
      />
    </div>
  );
}
