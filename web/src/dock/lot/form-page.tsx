import { fetchOne } from '../../api';
import type { Lot } from '../../contract.gen';
import { Button, Notice, notify, Page } from '../../parts';
import { go } from '../../router';
import { words } from '../../words';
import { onlyNames } from '../shared/arrivals';
import { useBegun } from '../shared/begun';
import { ShowHere, useHere } from '../shared/here';
import { refuseMissing } from '../shared/missing';
import { OnlyHere } from '../shared/only-here';
import { loadNames, type Names } from '../shared/names';
import { isWaiting, save, useSaving } from '../shared/saving';
import { StaleHelp } from '../shared/stale';
import { lotTitle, shipmentTitle } from '../shared/titles';
import { Withdraw } from '../shared/withdraw';
import { draftOfLot, lotBodyOf, lotDrafts, missingInLot, newLotDraft, type LotDraft } from './draft';
import { LotFields } from './form';

/** The code the server gave a lot; null while the lot is only on this phone. */
async function codeOf(id: string): Promise<string | null> {
  if (isWaiting(id)) return null;
  return await fetchOne('lots', id).then(
    ({ code }) => code ?? null,
    () => null,
  );
}

/** Adds a lot to a shipment, and the next one after it. */
export function NewLot({ shipmentId }: { shipmentId: string }) {
  const { dock } = words.value;
  const saving = useSaving();
  const load = useHere(
    async (signal) => {
      const [shipment, names] = await Promise.all([fetchOne('shipments', shipmentId, signal), loadNames()]);
      return { arrivals: { ...onlyNames(names), shipments: [shipment] }, more: null };
    },
    ({ shipments, names }) => {
      const shipment = shipments.find((each) => each.id === shipmentId);
      return shipment && { shipment, names };
    },
    [shipmentId],
  );
  const key = `new ${shipmentId}`;
  const { id: begunId, draft, begin, notice } = useBegun(lotDrafts, key, () => newLotDraft(shipmentId));
  const submit = (names: Names, andNext: boolean): void =>
    void saving.run(async () => {
      refuseMissing(missingInLot(draft.value));
      const { id, form, farmIds, farmKnownBy } = draft.value;
      const body = lotBodyOf(draft.value);
      await save('lots', id, body, null, lotTitle(names, body), begunId);
      const code = body.code ?? (await codeOf(id));
      notify(code === null ? dock.lot.savedHere(lotTitle(names, body)) : dock.lot.saved(code));
      if (andNext) {
        begin(() => ({ ...newLotDraft(shipmentId, form), farmIds, farmKnownBy }));
        scrollTo(0, 0);
        return;
      }
      lotDrafts.drop(key);
      go(`/dock/shipments/${shipmentId}`, { replace: true });
    });
  const found = load.data;
  const label = found ? shipmentTitle(found.names, found.shipment) : dock.title;
  return (
    <Page title={dock.lot.newTitle} back={{ to: `/dock/shipments/${shipmentId}`, label }}>
      <ShowHere of={load}>
        {({ shipment, names }) => (
          <>
      {notice}
          <LotFields
            key={draft.value.id}
            draft={draft.value}
            change={(part) => (draft.value = { ...draft.value, ...part })}
            supplierId={shipment.supplier_id}
            names={names}
            saving={saving}
            onSubmit={() => submit(names, false)}
            more={
              <Button busy={saving.busy} onClick={() => submit(names, true)}>
                {dock.lot.saveAndNext}
              </Button>
            }
          />
          </>
        )}
      </ShowHere>
    </Page>
  );
}

function Correct({ lot, names, reload }: { lot: Lot; names: Names; reload: () => void }) {
  const { dock, common } = words.value;
  const saving = useSaving();
  const key = `${lot.id} ${lot.version}`;
  const { id: begunId, draft, notice } = useBegun(lotDrafts, key, () => draftOfLot(lot));
  const store = (value: LotDraft, text: string): void =>
    void saving.run(async () => {
      refuseMissing(missingInLot(value));
      const body = lotBodyOf(value);
      await save('lots', lot.id, body, lot.version, lotTitle(names, { ...lot, ...body }), begunId);
      lotDrafts.drop(key);
      notify(text);
      go(`/dock/lots/${lot.id}`);
    });
  return (
    <>
      <OnlyHere id={lot.id} mending />
      {notice}
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
  const load = useHere(
    async (signal) => {
      const [lot, names] = await Promise.all([fetchOne('lots', id, signal), loadNames()]);
      return { arrivals: { ...onlyNames(names), lots: [lot] }, more: null };
    },
    ({ lots, names }) => {
      const lot = lots.find((each) => each.id === id);
      return lot && { lot, names };
    },
    [id],
  );
  const found = load.data;
  const label = found ? lotTitle(found.names, found.lot) : dock.shipment.lot;
  return (
    <Page title={dock.lot.correctTitle} back={{ to: `/dock/lots/${id}`, label }}>
      <ShowHere of={load}>{({ lot, names }) => <Correct key={lot.version} lot={lot} names={names} reload={load.reload} />}</ShowHere>
    </Page>
  );
}
