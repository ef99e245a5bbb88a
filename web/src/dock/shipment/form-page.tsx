import { fetchOne, save } from '../../api';
import type { Shipment, Site } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import { Loaded, Notice, notify, Page, useLoad } from '../../parts';
import { go } from '../../router';
import { serverNow } from '../../session';
import { format, words } from '../../words';
import { refuseMissing } from '../shared/missing';
import { loadNames, supplierName, type Names } from '../shared/names';
import { saveOwn, useSaving } from '../shared/saving';
import { StaleHelp } from '../shared/stale';
import { Withdraw } from '../shared/withdraw';
import { draftOfShipment, missingInShipment, newShipmentDraft, shipmentBodyOf, shipmentDrafts, type ShipmentDraft } from './draft';
import { ShipmentForm } from './form';

/** Writes down a shipment. What was typed waits here until it is saved. */
export function NewShipment({ site }: { site: Site }) {
  const { dock } = words.value;
  const load = useLoad(loadNames, []);
  const saving = useSaving();
  const key = `new ${site.id}`;
  const draft = shipmentDrafts.of(key, () => newShipmentDraft(site.id, dateAt(serverNow(), site.time_zone)));
  const change = (part: Partial<ShipmentDraft>): void => {
    draft.value = { ...draft.value, ...part };
  };
  const submit = (): void =>
    void saving.run(async () => {
      refuseMissing(missingInShipment(draft.value));
      const { id } = draft.value;
      await saveOwn('shipments', id, shipmentBodyOf(draft.value));
      shipmentDrafts.drop(key);
      notify(dock.shipment.created);
      go(`/dock/shipments/${id}`, { replace: true });
    });
  return (
    <Page title={dock.shipment.newTitle} back={{ to: '/dock', label: dock.title }}>
      <Loaded of={load}>
        {(names) => (
          <ShipmentForm draft={draft.value} change={change} names={names} saving={saving} onSubmit={submit} submit={dock.shipment.create} />
        )}
      </Loaded>
    </Page>
  );
}

function Correct({ shipment, names, reload }: { shipment: Shipment; names: Names; reload: () => void }) {
  const { dock } = words.value;
  const saving = useSaving();
  const key = `${shipment.id} ${shipment.version}`;
  const draft = shipmentDrafts.of(key, () => draftOfShipment(shipment));
  const done = (text: string): void => {
    shipmentDrafts.drop(key);
    notify(text);
    go(`/dock/shipments/${shipment.id}`);
  };
  const store = (value: ShipmentDraft, text: string): void =>
    void saving.run(async () => {
      refuseMissing(missingInShipment(value));
      await save('shipments', shipment.id, shipmentBodyOf(value), shipment.version);
      done(text);
    });
  return (
    <>
      {shipment.withdrawn_because && <Notice kind="doubt" title={dock.withdraw.notice(shipment.withdrawn_because)} />}
      <ShipmentForm
        draft={draft.value}
        change={(part) => (draft.value = { ...draft.value, ...part })}
        names={names}
        saving={saving}
        onSubmit={() => store(draft.value, words.value.common.saved)}
        submit={words.value.common.save}
      />
      <StaleHelp problem={saving.problem} record={shipment} siteId={shipment.site_id} names={names} reload={reload} />
      <Withdraw
        withdrawn={shipment.withdrawn_because ?? null}
        busy={saving.busy}
        onWithdraw={(withdrawnBecause) => store({ ...draftOfShipment(shipment), withdrawnBecause }, dock.withdraw.done)}
        onRestore={() => store({ ...draftOfShipment(shipment), withdrawnBecause: null }, dock.withdraw.restored)}
      />
    </>
  );
}

/** Corrects a shipment: a new version, with the earlier ones kept. */
export function CorrectShipment({ id }: { id: string }) {
  const { dock } = words.value;
  const load = useLoad(async (signal) => {
    const [shipment, names] = await Promise.all([fetchOne('shipments', id, signal), loadNames()]);
    return { shipment, names };
  }, [id]);
  const found = load.data;
  const label = found ? dock.shipment.title(supplierName(found.names, found.shipment.supplier_id), format.value.date(found.shipment.arrived_on)) : dock.title;
  return (
    <Page title={dock.shipment.correctTitle} back={{ to: `/dock/shipments/${id}`, label }}>
      <Loaded of={load}>{({ shipment, names }) => <Correct key={shipment.version} shipment={shipment} names={names} reload={load.reload} />}</Loaded>
    </Page>
  );
}
