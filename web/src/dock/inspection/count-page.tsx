import { fetchOne, save } from '../../api';
import type { Inspection, Lot } from '../../contract.gen';
import { Button, Loaded, Notice, notify, Page, useLoad } from '../../parts';
import { toProblem } from '../../problem';
import { go, useRoute } from '../../router';
import { format, words } from '../../words';
import { mayHaveArrived, refuseMissing } from '../shared/missing';
import { cultivarName, loadNames, supplierName, type Names } from '../shared/names';
import { saveOwn, useSaving } from '../shared/saving';
import { StaleHelp } from '../shared/stale';
import { Withdraw } from '../shared/withdraw';
import { CountForm } from './count-form';
import { draftOfInspection, inspectionBodyOf, inspectionDrafts, missingInInspection, newInspectionDraft, type InspectionDraft } from './draft';

/** The lens of the last inspection: people keep the one in their hand. */
let lastLens: InspectionDraft['lens'] = null;

interface Known {
  lot: Lot;
  names: Names;
}

async function fetchKnown(lotId: string, signal: AbortSignal): Promise<Known> {
  const [lot, names] = await Promise.all([fetchOne('lots', lotId, signal), loadNames()]);
  return { lot, names };
}

function lotTitle({ lot, names }: Known): string {
  return words.value.dock.lot.title(lot.code ?? '', cultivarName(names, lot.cultivar_id));
}

function Count({ known, kind }: { known: Known; kind: Inspection['kind'] }) {
  const { dock } = words.value;
  const { lot, names } = known;
  const saving = useSaving();
  const crop = names.crops.find((each) => each.id === lot.crop_id);
  const key = `${lot.id} ${kind}`;
  const draft = inspectionDrafts.of(key, () => newInspectionDraft(lot.id, kind, crop?.main_organism_id ?? '', lastLens));
  const submit = (now: string): void =>
    void saving.run(async () => {
      refuseMissing(missingInInspection(draft.value));
      const { id, lens, inspectedAt } = draft.value;
      try {
        await saveOwn('inspections', id, inspectionBodyOf(draft.value, now, lot.form === 'rooted'));
      } catch (thrown) {
        if (mayHaveArrived(toProblem(thrown).status)) draft.value = { ...draft.value, inspectedAt: inspectedAt ?? now };
        throw thrown;
      }
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
      <CountForm draft={draft} lot={lot} crop={crop} names={names} saving={saving} onSubmit={submit} />
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
  const load = useLoad((signal) => fetchKnown(lotId, signal), [lotId]);
  const known = load.data;
  const name = known ? lotTitle(known) : '';
  return (
    <Page
      title={kind === 'dock' ? dock.inspection.title(name) : dock.inspection.secondTitle(name)}
      above={known && `${supplierName(known.names, known.lot.supplier_id)} · ${format.value.date(known.lot.arrived_on)}`}
      back={{ to: `/dock/lots/${lotId}`, label: name === '' ? dock.shipment.lot : name }}
    >
      <Loaded of={load}>{(found) => <Count key={kind} known={found} kind={kind} />}</Loaded>
    </Page>
  );
}

function Correct({ inspection, known, reload }: { inspection: Inspection; known: Known; reload: () => void }) {
  const { dock, common } = words.value;
  const { lot, names } = known;
  const saving = useSaving();
  const key = `${inspection.id} ${inspection.version}`;
  const draft = inspectionDrafts.of(key, () => draftOfInspection(inspection));
  const store = (value: InspectionDraft, text: string): void =>
    void saving.run(async () => {
      refuseMissing(missingInInspection(value));
      await save('inspections', inspection.id, inspectionBodyOf(value, inspection.inspected_at, lot.form === 'rooted'), inspection.version);
      inspectionDrafts.drop(key);
      notify(text);
      go(`/dock/inspections/${inspection.id}`);
    });
  return (
    <>
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
  const load = useLoad(async (signal) => {
    const inspection = await fetchOne('inspections', id, signal);
    return { inspection, ...(await fetchKnown(inspection.lot_id, signal)) };
  }, [id]);
  const name = load.data ? lotTitle(load.data) : '';
  return (
    <Page title={dock.inspection.correctTitle(name)} back={{ to: `/dock/inspections/${id}`, label: dock.inspection.reading.title }}>
      <Loaded of={load}>
        {({ inspection, lot, names }) => (
          <Correct key={inspection.version} inspection={inspection} known={{ lot, names }} reload={load.reload} />
        )}
      </Loaded>
    </Page>
  );
}
