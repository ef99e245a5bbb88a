import { fetchOne } from '../../api';
import type { Shipment, Site } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import { Notice, notify, Page } from '../../parts';
import { go } from '../../router';
import { serverNow } from '../../session';
import { words } from '../../words';
import { onlyNames } from '../shared/arrivals';
import { useBegun } from '../shared/begun';
import { ShowHere, useHere } from '../shared/here';
import { refuseMissing } from '../shared/missing';
import { OnlyHere } from '../shared/only-here';
import { loadNames, type Names } from '../shared/names';
import { save, useSaving } from '../shared/saving';
import { StaleHelp } from '../shared/stale';
import { shipmentTitle } from '../shared/titles';
import { Withdraw } from '../shared/withdraw';
import { draftOfShipment, missingInShipment, newShipmentDraft, shipmentBodyOf, shipmentDrafts, type ShipmentDraft } from './draft';
import { ShipmentForm } from './form';

/** Writes down a shipment. What was typed waits here until it is saved. */
export function NewShipment({ site }: { site: Site }) {
  const { dock } = words.value;
  const load = useHere(
    async () => ({ arrivals: onlyNames(await loadNames()), more: null }),
    ({ names }) => names,
    [],
  );
  const saving = useSaving();
  const key = `new ${site.id}`;
  const { id: begunId, draft, notice } = useBegun(shipmentDrafts, key, () => newShipmentDraft(site.id, dateAt(serverNow(), site.time_zone)));
  const change = (part: Partial<ShipmentDraft>): void => {
    draft.value = { ...draft.value, ...part };
  };
  const submit = (names: Names): void =>
    void saving.run(async () => {
      refuseMissing(missingInShipment(draft.value));
      const { id } = draft.value;
      const body = shipmentBodyOf(draft.value);
      await save('shipments', id, body, null, shipmentTitle(names, body), begunId);
      shipmentDrafts.drop(key);
      notify(dock.shipment.created);
      go(`/dock/shipments/${id}`, { replace: true });
    });
  return (
    <Page title={dock.shipment.newTitle} back={{ to: '/dock', label: dock.title }}>
      <ShowHere of={load}>
        {(names) => (
          <>
      {notice}
            <ShipmentForm key={draft.value.id} draft={draft.value} change={change} names={names} saving={saving} onSubmit={() => submit(names)} submit={dock.shipment.create} />
          </>
        )}
      </ShowHere>
    </Page>
  );
}

function Correct({ shipment, names, reload }: { shipment: Shipment; names: Names; reload: () => void }) {
  const { dock } = words.value;
  const saving = useSaving();
  const key = `${shipment.id} ${shipment.version}`;
  const { id: begunId, draft, notice } = useBegun(shipmentDrafts, key, () => draftOfShipment(shipment));
  const done = (text: string): void => {
    shipmentDrafts.drop(key);
    notify(text);
    go(`/dock/shipments/${shipment.id}`);
  };
  const store = (value: ShipmentDraft, text: string): void =>
    void saving.run(async () => {
      refuseMissing(missingInShipment(value));
      const body = shipmentBodyOf(value);
      await save('shipments', shipment.id, body, shipment.version, shipmentTitle(names, body), begunId);
      done(text);
    });
  return (
    <>
      <OnlyHere id={shipment.id} mending />
      {notice}
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
  const load = useHere(
    async (signal) => {
      const [shipment, names] = await Promise.all([fetchOne('shipments', id, signal), loadNames()]);
      return { arrivals: { ...onlyNames(names), shipments: [shipment] }, more: null };
    },
    ({ shipments, names }) => {
      const shipment = shipments.find((each) => each.id === id);
      return shipment && { shipment, names };
    },
    [id],
  );
  const found = load.data;
  const label = found ? shipmentTitle(found.names, found.shipment) : dock.title;
  return (
    <Page title={dock.shipment.correctTitle} back={{ to: `/dock/shipments/${id}`, label }}>
      <ShowHere of={load}>{({ shipment, names }) => <Correct key={shipment.version} shipment={shipment} names={names} reload={load.reload} />}</ShowHere>
    </Page>
  );
}
