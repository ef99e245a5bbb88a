import type { Signal } from '@preact/signals';
import { useState } from 'preact/hooks';

import { client, fetchOne, read } from '../../api';
import type { Shipment } from '../../contract.gen';
import { Answer, Button, Form, Notice, notify, Page, TextArea, TextField } from '../../parts';
import { toProblem, type ApiProblem } from '../../problem';
import { go } from '../../router';
import { words } from '../../words';
import { onlyNames } from '../shared/arrivals';
import { useBegun } from '../shared/begun';
import { ShowHere, useHere } from '../shared/here';
import { Marked } from '../shared/marked';
import { loadNames, type Names } from '../shared/names';
import { save, useSaving } from '../shared/saving';
import { lotTitle, shipmentTitle } from '../shared/titles';
import { isComplete, lotBodyOfRow, pasteDrafts, rowOf, rowsToSave, withFarm, type PasteDraft, type PasteRow } from './paste';
import { PasteRowFields } from './paste-row';

function ListText({ draft, shipment }: { draft: Signal<PasteDraft>; shipment: Shipment }) {
  const said = words.value.dock.shipment.paste;
  const saving = useSaving();
  const submit = (): void =>
    void saving.run(async () => {
      const { lots } = await read(client.POST('/pasted-lots', { body: { shipment_id: shipment.id, text: draft.value.text } }));
      draft.value = { ...draft.value, rows: lots.map(rowOf) };
    });
  return (
    <Form problem={saving.problem} onSubmit={submit} class="dock-form">
      <p class="lead">{said.lead}</p>
      <TextArea
        label={said.text}
        hint={said.textHint}
        rows={10}
        pointer="/text"
        value={draft.value.text}
        onValue={(text) => (draft.value = { ...draft.value, text })}
        maxLength={100_000}
      />
      <div class="form-actions">
        <Button kind="primary" type="submit" busy={saving.busy} disabled={draft.value.text.trim() === ''}>
          {said.read}
        </Button>
      </div>
    </Form>
  );
}

function Rows({ draft, rows, shipment, names: known }: { draft: Signal<PasteDraft>; rows: readonly PasteRow[]; shipment: Shipment; names: Names }) {
  const said = words.value.dock.shipment.paste;
  const [names, setNames] = useState(known);
  const [problems, setProblems] = useState<Record<string, ApiProblem>>({});
  const saving = useSaving();
  const setRows = (change: (rows: PasteRow[]) => PasteRow[]): void => {
    draft.value = { ...draft.value, rows: change(draft.value.rows ?? []) };
  };
  const changeRow = (id: string, part: Partial<PasteRow>): void => setRows((all) => all.map((row) => (row.id === id ? { ...row, ...part } : row)));
  const open = rowsToSave(rows);
  const ready = open.filter(isComplete);
  const submit = (): void =>
    void saving.run(async () => {
      setProblems({});
      for (const row of rowsToSave(draft.value.rows ?? []).filter(isComplete)) {
        try {
          const body = lotBodyOfRow(row, shipment.id, draft.value.knownBy);
          await save('lots', row.id, body, null, lotTitle(names, body));
          changeRow(row.id, { saved: true });
        } catch (thrown) {
          const problem = toProblem(thrown);
          if (problem.status !== 422 && problem.status !== 409) throw thrown; // the next one would fail alike
          setProblems((before) => ({ ...before, [row.id]: problem }));
        }
      }
      if (rowsToSave(draft.value.rows ?? []).length > 0) return;
      notify(said.done((draft.value.rows ?? []).filter((row) => row.saved).length));
      pasteDrafts.drop(shipment.id);
      go(`/dock/shipments/${shipment.id}`, { replace: true });
    });
  if (rows.length === 0) return <Notice kind="doubt" title={said.none} />;
  return (
    <Form problem={saving.problem} onSubmit={submit} class="dock-form dock-form-wide">
      <Answer>
        <Marked text={said.answer(rows.filter((row) => row.saved || isComplete(row)).length, rows.length)} />
      </Answer>
      <TextField
        label={said.knownBy}
        hint={said.knownByHint}
        optional
        maxLength={200}
        value={draft.value.knownBy}
        onValue={(knownBy) => (draft.value = { ...draft.value, knownBy })}
      />
      <ol class="dock-pastes">
        {rows.map((row) => (
          <PasteRowFields
            key={row.id}
            row={row}
            names={names}
            supplierId={shipment.supplier_id}
            problem={problems[row.id] ?? null}
            change={(part) => changeRow(row.id, part)}
            farmAdded={async (id) => {
              const fresh = await loadNames();
              setNames(fresh);
              const farm = fresh.farms.find((each) => each.id === id);
              if (!farm) return;
              changeRow(row.id, { farmId: id });
              setRows((all) => withFarm(all, farm));
            }}
          />
        ))}
      </ol>
      <div class="form-actions">
        <Button kind="primary" type="submit" busy={saving.busy} disabled={ready.length === 0}>
          {said.save(ready.length)}
        </Button>
      </div>
    </Form>
  );
}

/** Reads lots from a supplier's list, shows how each line was understood, and saves what a person agrees with. */
export function PasteLots({ shipmentId }: { shipmentId: string }) {
  const { dock } = words.value;
  const said = dock.shipment.paste;
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
  const { draft, notice } = useBegun(pasteDrafts, shipmentId, (): PasteDraft => ({ text: '', knownBy: said.listPaper, rows: null }));
  const { rows } = draft.value;
  const found = load.data;
  const label = found ? shipmentTitle(found.names, found.shipment) : dock.title;
  const again = rows !== null && <Button onClick={() => (draft.value = { ...draft.value, rows: null })}>{said.readAgain}</Button>;
  return (
    <Page title={said.title} back={{ to: `/dock/shipments/${shipmentId}`, label }} actions={again}>
      <ShowHere of={load}>
        {({ shipment, names }) => (
          <>
            {notice}
            {rows === null ? <ListText draft={draft} shipment={shipment} /> : <Rows draft={draft} rows={rows} shipment={shipment} names={names} />}
          </>
        )}
      </ShowHere>
    </Page>
  );
}
