import { Section, Table } from '../../../parts';
import { Link } from '../../../router';
import { format, words } from '../../../words';
import { supplierName } from '../../shared/names';
import { codeOf, type Found } from './found';

/** The arrivals a lot is made of, with their exact parts; nothing for a lot of one arrival. */
export function Composition({ found: { life, kin, names } }: { found: Found }) {
  const said = words.value.dock.life;
  const f = format.value;
  if (life.composition.length < 2) return null;
  const arrival = (id: string) => kin.find((lot) => lot.id === id);
  return (
    <Section title={said.composition} lead={said.compositionLead}>
      <Table
        caption={said.composition}
        rows={life.composition.toSorted((a, b) => b.percent - a.percent)}
        rowKey={({ lot_id }) => lot_id}
        columns={[
          { key: 'lot', head: said.arrival, cell: ({ lot_id }) => <Link to={`/dock/lots/${lot_id}`}>{codeOf(kin, lot_id)}</Link> },
          {
            key: 'arrived',
            head: said.arrivedOn,
            cell: ({ lot_id }) => {
              const lot = arrival(lot_id);
              return lot && f.date(lot.arrived_on);
            },
          },
          { key: 'supplier', head: said.supplier, cell: ({ lot_id }) => supplierName(names, arrival(lot_id)?.supplier_id) },
          { key: 'part', head: said.fraction, number: true, cell: ({ numerator, denominator }) => `${numerator}/${denominator}` },
          { key: 'percent', head: said.percent, number: true, cell: ({ percent }) => f.percent(percent) },
        ]}
      />
    </Section>
  );
}
