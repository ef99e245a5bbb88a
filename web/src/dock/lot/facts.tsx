import { useState } from 'preact/hooks';

import type { Lot } from '../../contract.gen';
import { Button, ButtonLink, Form, notify, Section, Writing } from '../../parts';
import { withQuery } from '../../router';
import { format, words } from '../../words';
import { lotBody } from '../shared/bodies';
import { ArrivalFacts } from '../shared/facts';
import { farmName, supplierName, type Names } from '../shared/names';
import { save, useSaving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import { lotTitle } from '../shared/titles';
import { FarmField } from './farm-field';
import type { Found } from './life/found';

/** The farm becomes known: which, and by which paper. */
function NameFarm({ lot, names, changed }: { lot: Lot; names: Names; changed: () => void }) {
  const said = words.value.dock.lot;
  const { common } = words.value;
  const [open, setOpen] = useState(false);
  const [farmIds, setFarmIds] = useState<string[]>([]);
  const [knownBy, setKnownBy] = useState('');
  const saving = useSaving();
  if (!open) {
    return (
      <Button kind="quiet" onClick={() => setOpen(true)}>
        {said.nameFarm}
      </Button>
    );
  }
  const submit = (): void =>
    void saving.run(async () => {
      const body = { ...lotBody(lot), farm_ids: farmIds, ...(knownBy.trim() !== '' && { farm_known_by: knownBy.trim() }) };
      await save('lots', lot.id, body, lot.version, lotTitle(names, lot));
      notify(common.saved);
      changed();
    });
  return (
    <Form problem={saving.problem} onSubmit={submit} label={said.nameFarm} class="dock-inset">
      <p class="quiet">{said.farmLead}</p>
      <FarmField
        farmIds={farmIds}
        knownBy={knownBy}
        supplierId={lot.supplier_id ?? ''}
        names={names}
        change={(part) => {
          if (part.farmIds) setFarmIds(part.farmIds);
          if (part.farmKnownBy !== undefined) setKnownBy(part.farmKnownBy);
        }}
      />
      <div class="form-actions">
        <Button kind="strong" type="submit" busy={saving.busy} disabled={farmIds.length === 0}>
          {common.save}
        </Button>
        <Button onClick={() => setOpen(false)}>{common.cancel}</Button>
      </div>
    </Form>
  );
}

/** What the papers and people say of the lot itself. */
export function LotFacts({ found: { lot, shipment, names }, changed }: { found: Found; changed: () => void }) {
  const said = words.value.dock.lot;
  const { common, dock } = words.value;
  const f = format.value;
  const cultivar = names.cultivars.find((each) => each.id === lot.cultivar_id);
  const farms = lot.farm_ids ?? [];
  const arrived = shipment?.docked_at
    ? f.moment(shipment.docked_at, zoneOf(lot.site_id))
    : shipment
      ? dock.expected(f.weekday(lot.arrived_on))
      : f.weekday(lot.arrived_on);
  return (
    <Section
      title={said.facts}
      actions={
        <div class="row">
          <ButtonLink to={withQuery('/labels', { lot: lot.id })}>{said.printLabel}</ButtonLink>
          <Writing>
            <ButtonLink to={`/dock/lots/${lot.id}/correct`}>{dock.shipment.correct}</ButtonLink>
          </Writing>
        </div>
      }
    >
      <ArrivalFacts
        items={[
          {
            term: said.farm,
            value:
              farms.length > 0 ? (
                <>
                  {f.list(farms.map((id) => farmName(names, id)))}
                  {lot.farm_known_by && <span class="quiet">, {said.farmKnownBy(lot.farm_known_by)}</span>}
                </>
              ) : (
                <>
                  {said.farmUnknown}{' '}
                  <Writing>
                    <NameFarm lot={lot} names={names} changed={changed} />
                  </Writing>
                </>
              ),
          },
          { term: said.supplier, value: lot.supplier_id ? supplierName(names, lot.supplier_id) : null },
          { term: said.arrivedOn, value: arrived },
          { term: said.cultivar, value: cultivar && `${cultivar.name}, ${said.foliage(common.foliage[cultivar.foliage])}` },
          { term: said.form, value: common.form[lot.form ?? 'unrooted'] },
          { term: said.plants, value: shipment ? f.count(lot.plants) : null },
          { term: said.onHand, value: f.count(lot.plants_on_hand) },
          { term: said.supplierLotCode, value: lot.supplier_lot_code },
          { term: said.rootingStation, value: lot.rooting_station },
          { term: said.note, value: lot.note },
        ]}
      />
    </Section>
  );
}
