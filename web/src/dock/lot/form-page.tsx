import { fetchOne, save } from '../../api';
import type { Lot } from '../../contract.gen';
import { Button, Loaded, Notice, notify, Page, useLoad } from '../../parts';
import { go } from '../../router';
import { format, words } from '../../words';
import { refuseMissing } from '../shared/missing';
import { cultivarName, loadNames, supplierName, type Names } from '../shared/names';
import { saveOwn, useSaving } from '../shared/saving';
import { StaleHelp } from '../shared/stale';
import { Withdraw } from '../shared/withdraw';
import { draftOfLot, lotBodyOf, lotDrafts, missingInLot, newLotDraft, type LotDraft } from './draft';
import { LotFields } from './form';

/** Adds a lot to a shipment, and the next one after it. */
export function NewLot({ shipmentId }: { shipmentId: string }) {
  const { dock } = words.value;
  const saving = useSaving();
  const load = useLoad(async (signal) => {
    const [shipment, names] = await Promise.all([fetchOne('shipments', shipmentId, signal), loadNames()]);
    return { shipment, names };
  }, [shipmentId]);
  const key = `new ${shipmentId}`;
  const draft = lotDrafts.of(key, () => newLotDraft(shipmentId));
  const submit = (andNext: boolean): void =>
    void saving.run(async () => {
      refuseMissing(missingInLot(draft.value));
      const { id, form, farmIds, farmKnownBy } = draft.value;
      const lot = await saveOwn('lots', id, lotBodyOf(draft.value));
      notify(dock.lot.saved(lot.code ?? ''));
      if (andNext) {
        draft.value = { ...newLotDraft(shipmentId, form), farmIds, farmKnownBy };
        scrollTo(0, 0);
        return;
      }
      lotDrafts.drop(key);
      go(`/dock/shipments/${shipmentId}`, { replace: true });
    });
  const found = load.data;
  const label = found ? dock.shipment.title(supplierName(found.names, found.shipment.supplier_id), format.value.date(found.shipment.arrived_on)) : dock.title;
  return (
    <Page title={dock.lot.newTitle} back={{ to: `/dock/shipments/${shipmentId}`, label }}>
      <Loaded of={load}>
        {({ shipment, names }) => (
          <LotFields
            key={draft.value.id}
            draft={draft.value}
            change={(part) => (draft.value = { ...draft.value, ...part })}
            supplierId={shipment.supplier_id}
            names={names}
            saving={saving}
            onSubmit={() => submit(false)}
            more={
              <Button busy={saving.busy} onClick={() => submit(true)}>
                {dock.lot.saveAndNext}
              </Button>
            }
          />
        )}
      </Loaded>
    </Page>
  );
}

function Correct({ lot, names, reload }: { lot: Lot; names: Names; reload: () => void }) {
  const { dock, common } = words.value;
  const saving = useSaving();
  const key = `${lot.id} ${lot.version}`;
  const draft = lotDrafts.of(key, () => draftOfLot(lot));
  const store = (value: LotDraft, text: string): void =>
    void saving.run(async () => {
      refuseMissing(missingInLot(value));
      await save('lots', lot.id, lotBodyOf(value), lot.version);
      lotDrafts.drop(key);
      notify(text);
      go(`/dock/lots/${lot.id}`);
    });
  return (
    <>
      {lot.withdrawn_because && <Notice kind="doubt" title={dock.withdraw.notice(lot.withdrawn_because)} />}
      <LotFields
        draft={draft.value}
        change={(part) => (draft.value = { ...draft.value, ...part })}
        supplierId={lot.supplier_id ?? ''}
        names={names}
        saving={saving}
        onSubmit={() => store(draft.value, common.saved)}
      />
      <StaleHelp problem={saving.problem} record={lot} siteId={lot.site_id} names={names} reload={reload} />
      <Withdraw
        withdrawn={lot.withdrawn_because ?? null}
        busy={saving.busy}
        onWithdraw={(withdrawnBecause) => store({ ...draftOfLot(lot), withdrawnBecause }, dock.withdraw.done)}
        onRestore={() => store({ ...draftOfLot(lot), withdrawnBecause: null }, dock.withdraw.restored)}
      />
    </>
  );
}

/** Corrects a lot: a new version, with the earlier ones kept. */
export function CorrectLot({ id }: { id: string }) {
  const { dock } = words.value;
  const load = useLoad(async (signal) => {
    const [lot, names] = await Promise.all([fetchOne('lots', id, signal), loadNames()]);
    return { lot, names };
  }, [id]);
  const found = load.data;
  const label = found ? dock.lot.title(found.lot.code ?? '', cultivarName(found.names, found.lot.cultivar_id)) : dock.shipment.lot;
  return (
    <Page title={dock.lot.correctTitle} back={{ to: `/dock/lots/${id}`, label }}>
      <Loaded of={load}>{({ lot, names }) => <Correct key={lot.version} lot={lot} names={names} reload={load.reload} />}</Loaded>
    </Page>
  );
}
