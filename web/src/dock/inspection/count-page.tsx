import { fetchOne } from '../../api';
import type { Inspection, Lot } from '../../contract.gen';
import { Button, Notice, notify, Page } from '../../parts';
import { go, useRoute } from '../../router';
import { format, words } from '../../words';
import { onlyNames, type Arrivals } from '../shared/arrivals';
import { useBegun } from '../shared/begun';
import { ShowHere, useHere, type Answered } from '../shared/here';
import { refuseMissing } from '../shared/missing';
import { OnlyHere } from '../shared/only-here';
import { loadNames, supplierName, type Names } from '../shared/names';
import { save, useSaving } from '../shared/saving';
import { StaleHelp } from '../shared/stale';
import { lotTitle } from '../shared/titles';
import { Withdraw } from '../shared/withdraw';
import { CountForm } from './count-form';
import { draftOfInspection, inspectionBodyOf, inspectionDrafts, missingInInspection, newInspectionDraft, type InspectionDraft } from './draft';

/** The lens of the last inspection: people keep the one in their hand. */
let lastLens: InspectionDraft['lens'] = null;

interface Known {
  lot: Lot;
  names: Names;
}

async function fetchKnown(lotId: string, signal: AbortSignal): Promise<Answered<null>> {
  const [lot, names] = await Promise.all([fetchOne('lots', lotId, signal), loadNames()]);
  return { arrivals: { ...onlyNames(names), lots: [lot] }, more: null };
}

function knownIn({ lots, names }: Arrivals, lotId: string): Known | undefined {
  const lot = lots.find(({ id }) => id === lotId);
  return lot && { lot, names };
}

function Count({ known, kind }: { known: Known; kind: Inspection['kind'] }) {
  const { dock } = words.value;
  const { lot, names } = known;
  const saving = useSaving();
  const crop = names.crops.find((each) => each.id === lot.crop_id);
  const key = `${lot.id} ${kind}`;
  const { id: begunId, draft, notice } = useBegun(inspectionDrafts, key, () => newInspectionDraft(lot.id, kind, crop?.main_organism_id ?? '', lastLens));
  const submit = (now: string): void =>
    void saving.run(async () => {
      refuseMissing(missingInInspection(draft.value));
      const { id, lens } = draft.value;
      await save('inspections', id, inspectionBodyOf(draft.value, now, lot.form === 'rooted'), null, lotTitle(names, lot), begunId);
      lastLens = lens;
      inspectionDrafts.drop(key);
      go(`/dock/inspections/${id}`, { replace: true });
    });
  const dropDraft = (): void => {
    inspectionDrafts.drop(key);
    notify(dock.inspection.dropped);
    go(`/dock/lots/${lot.id}`);
  };
  return (
    <>
      {notice}
      <CountForm key={draft.value.id} draft={draft} lot={lot} crop={crop} names={names} saving={saving} onSubmit={submit} />
      <div class="row">
        <p class="quiet">{dock.inspection.kept}</p>
        <Button kind="quiet" onClick={dropDraft}>
          {dock.inspection.cancelDraft}
        </Button>
      </div>
    </>
  );
}

/** Inspects a lot: at the dock, or at its second look (`?kind=second_look`). */
export function InspectLot({ lotId }: { lotId: string }) {
  const { dock } = words.value;
  const { query } = useRoute();
  const kind = query.get('kind') === 'second_look' ? 'second_look' : 'dock';
  const load = useHere(
    (signal) => fetchKnown(lotId, signal),
    (arrivals) => knownIn(arrivals, lotId),
    [lotId],
  );
  const known = load.data;
  const name = known ? lotTitle(known.names, known.lot) : '';
  return (
    <Page
      title={kind === 'dock' ? dock.inspection.title(name) : dock.inspection.secondTitle(name)}
      above={known && `${supplierName(known.names, known.lot.supplier_id)} · ${format.value.date(known.lot.arrived_on)}`}
      back={{ to: `/dock/lots/${lotId}`, label: name === '' ? dock.shipment.lot : name }}
    >
      <ShowHere of={load}>{(found) => <Count key={kind} known={found} kind={kind} />}</ShowHere>
    </Page>
  );
}

function Correct({ inspection, known, reload }: { inspection: Inspection; known: Known; reload: () => void }) {
  const { dock, common } = words.value;
  const { lot, names } = known;
  const saving = useSaving();
  const key = `${inspection.id} ${inspection.version}`;
  const { id: begunId, draft, notice } = useBegun(inspectionDrafts, key, () => draftOfInspection(inspection));
  const store = (value: InspectionDraft, text: string): void =>
    void saving.run(async () => {
      refuseMissing(missingInInspection(value));
      const body = inspectionBodyOf(value, inspection.inspected_at, lot.form === 'rooted');
      await save('inspections', inspection.id, body, inspection.version, lotTitle(names, lot), begunId);
      inspectionDrafts.drop(key);
      notify(text);
      go(`/dock/inspections/${inspection.id}`);
    });
  return (
    <>
      <OnlyHere id={inspection.id} mending />
      {notice}
      {inspection.withdrawn_because && <Notice kind="doubt" title={dock.withdraw.notice(inspection.withdrawn_because)} />}
      <CountForm
        draft={draft}
        lot={lot}
        crop={names.crops.find((each) => each.id === lot.crop_id)}
        names={names}
        saving={saving}
        onSubmit={() => store(draft.value, common.saved)}
      />
      <StaleHelp problem={saving.problem} record={inspection} siteId={lot.site_id} names={names} reload={reload} />
      <Withdraw
        withdrawn={inspection.withdrawn_because ?? null}
        busy={saving.busy}
        onWithdraw={(withdrawnBecause) => store({ ...draftOfInspection(inspection), withdrawnBecause }, dock.withdraw.done)}
        onRestore={() => store({ ...draftOfInspection(inspection), withdrawnBecause: null }, dock.withdraw.restored)}
      />
    </>
  );
}

/** Corrects an inspection: a new version, with the earlier ones kept. */
export function CorrectInspection({ id }: { id: string }) {
  const { dock } = words.value;
  const load = useHere(
    async (signal) => {
      const inspection = await fetchOne('inspections', id, signal);
      const { arrivals } = await fetchKnown(inspection.lot_id, signal);
      return { arrivals: { ...arrivals, inspections: [inspection] }, more: null };
    },
    (arrivals) => {
      const inspection = arrivals.inspections.find((each) => each.id === id);
      const known = inspection && knownIn(arrivals, inspection.lot_id);
      return known && { inspection, ...known };
    },
    [id],
  );
  const name = load.data ? lotTitle(load.data.names, load.data.lot) : '';
  return (
    <Page title={dock.inspection.correctTitle(name)} back={{ to: `/dock/inspections/${id}`, label: dock.inspection.reading.title }}>
      <ShowHere of={load}>
        {({ inspection, lot, names }) => (
          <Correct key={inspection.version} inspection={inspection} known={{ lot, names }} reload={load.reload} />
        )}
      </ShowHere>
    </Page>
  );
}
