import { fetchAll } from '../api';
import type { Crop, Cultivar, Customer, Farm, Organism, Supplier } from '../contract.gen';
import { Empty, Loaded, Section, useLoad } from '../parts';
import { words } from '../words';
import { holds } from './access';
import { crop, usualWindow } from './kinds/crop';
import { cultivar } from './kinds/cultivar';
import { customer } from './kinds/customer';
import { farm } from './kinds/farm';
import { supplier, usualClaimHours } from './kinds/supplier';
import { organismLabel } from './organisms';
import { ReadOnly } from './read-only';
import { Records } from './record/records';

interface Found {
  suppliers: Supplier[];
  farms: Farm[];
  customers: Customer[];
  crops: Crop[];
  cultivars: Cultivar[];
  organisms: Organism[];
}

function byName(a: { name: string }, b: { name: string }): number {
  return a.name.localeCompare(b.name);
}

async function fetchStock(signal: AbortSignal): Promise<Found> {
  const [suppliers, farms, customers, crops, cultivars, organisms] = await Promise.all([
    fetchAll('suppliers', {}, signal),
    fetchAll('farms', {}, signal),
    fetchAll('customers', {}, signal),
    fetchAll('crops', {}, signal),
    fetchAll('cultivars', {}, signal),
    fetchAll('organisms', {}, signal),
  ]);
  return {
    suppliers: suppliers.toSorted(byName),
    farms: farms.toSorted(byName),
    customers: customers.toSorted(byName),
    crops: crops.toSorted(byName),
    cultivars: cultivars.toSorted(byName),
    organisms,
  };
}

interface PartProps {
  found: Found;
  mayWrite: boolean;
  reload: () => void;
}

function Suppliers({ found, mayWrite, reload }: PartProps) {
  const { setup, common } = words.value;
  return (
    <Section title={setup.suppliers} lead={setup.suppliersLead}>
      <Records
        kind={supplier}
        rows={found.suppliers}
        name={(one) => one.name}
        note={(one) => [setup.claimWithin(common.hours(one.claim_hours ?? usualClaimHours)), one.country, one.note].filter(Boolean).join(' · ')}
        inside={(one) => (
          <div class="records-inside">
            <Records
              kind={farm}
              rows={found.farms.filter((row) => row.supplier_id === one.id)}
              name={(row) => row.name}
              note={(row) => [setup.farm, row.country].filter(Boolean).join(' · ')}
              mayWrite={mayWrite}
              addLabel={setup.add.farm(one.name)}
              start={() => ({ supplier_id: one.id })}
              onChange={reload}
              empty={null}
            />
          </div>
        )}
        mayWrite={mayWrite}
        addLabel={setup.add.supplier}
        start={() => ({ claim_hours: usualClaimHours })}
        onChange={reload}
        empty={
          <Empty title={setup.empty.supplierTitle}>
            <p>{setup.empty.supplier}</p>
          </Empty>
        }
      />
    </Section>
  );
}

function Customers({ found, mayWrite, reload }: PartProps) {
  const { setup } = words.value;
  return (
    <Section title={setup.customers} lead={setup.customersLead}>
      <Records
        kind={customer}
        rows={found.customers}
        name={(one) => one.name}
        note={(one) => [one.country, one.note].filter(Boolean).join(' · ')}
        mayWrite={mayWrite}
        addLabel={setup.add.customer}
        onChange={reload}
        empty={
          <Empty title={setup.empty.customerTitle}>
            <p>{setup.empty.customer}</p>
          </Empty>
        }
      />
    </Section>
  );
}

function Crops({ found, mayWrite, reload }: PartProps) {
  const { setup } = words.value;
  const organism = (id: string): string => {
    const one = found.organisms.find((row) => row.id === id);
    return one ? organismLabel(one) : words.value.common.unknown;
  };
  return (
    <Section title={setup.crops} lead={setup.cropsLead}>
      <Records
        kind={crop(found.organisms)}
        rows={found.crops}
        name={(one) => one.name}
        note={(one) =>
          [
            organism(one.main_organism_id),
            setup.secondLookIs(one.second_look_from_days ?? usualWindow.second_look_from_days, one.second_look_to_days ?? usualWindow.second_look_to_days),
          ].join(' · ')
        }
        mayWrite={mayWrite}
        addLabel={setup.add.crop}
        start={() => usualWindow}
        onChange={reload}
        empty={
          <Empty title={setup.empty.cropTitle}>
            <p>{setup.empty.crop}</p>
          </Empty>
        }
      />
    </Section>
  );
}

function Cultivars({ of, found, mayWrite, reload }: PartProps & { of: Crop }) {
  const { setup, common } = words.value;
  return (
    <Section title={setup.cultivarsOf(of.name)} lead={setup.cultivarsLead}>
      <Records
        kind={cultivar(found.crops)}
        rows={found.cultivars.filter((one) => one.crop_id === of.id)}
        name={(one) => one.name}
        note={(one) =>
          [
            setup.foliageIs(common.foliage[one.foliage]),
            one.bract_colour ? setup.bractIs(common.bract[one.bract_colour]) : setup.bractUnknown,
            one.gtin && setup.gtinIs(one.gtin),
          ]
            .filter(Boolean)
            .join(' · ')
        }
        mayWrite={mayWrite}
        addLabel={setup.add.cultivar}
        start={() => ({ crop_id: of.id })}
        onChange={reload}
        empty={
          <Empty title={setup.empty.cultivarTitle}>
            <p>{setup.empty.cultivar}</p>
          </Empty>
        }
      />
    </Section>
  );
}

/** Suppliers with their farms, customers, crops, and the cultivars of each. */
export default function Stock() {
  const { setup } = words.value;
  const load = useLoad(fetchStock, []);
  const names = holds('receiver', 'grower', 'owner');
  return (
    <>
      <ReadOnly unless={holds('owner')}>{setup.readOnly.stock}</ReadOnly>
      <Loaded of={load}>
        {(found) => (
          <>
            <Suppliers found={found} mayWrite={names} reload={load.reload} />
            <Customers found={found} mayWrite={names} reload={load.reload} />
            <Crops found={found} mayWrite={holds('owner')} reload={load.reload} />
            {found.crops.map((one) => (
              <Cultivars key={one.id} of={one} found={found} mayWrite={names} reload={load.reload} />
            ))}
          </>
        )}
      </Loaded>
    </>
  );
}
