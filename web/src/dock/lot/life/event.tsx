import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';

import type { Movement } from '../../../contract.gen';
import { Button, Details, Form, notify, NumberField, ProblemNotice, Tag } from '../../../parts';
import { Link } from '../../../router';
import { readsOnly } from '../../../session';
import { format, words } from '../../../words';
import { findingSentence } from '../../inspection/reading';
import { VerdictLine } from '../../inspection/verdict';
import { movementBody } from '../../shared/bodies';
import { Marked } from '../../shared/marked';
import { organismName } from '../../shared/names';
import { ask, useSaving } from '../../shared/saving';
import { lotTitle } from '../../shared/titles';
import { Withdraw } from '../../shared/withdraw';
import { movementTitle, setWithdrawn } from '../action/undo';
import { blockName } from '../places';
import type { LifeEvent } from './events';
import { codeOf, type Found } from './found';
import { ConflictLines, MovementLine } from './movement-line';

interface Props {
  event: LifeEvent;
  found: Found;
  zone: string;
  /** The address leads to this event. */
  named?: boolean;
  changed: () => void;
}

interface AfterwardsProps {
  movement: Movement;
  /** What a person calls the lot. */
  lot: string;
  changed: () => void;
}

/** Corrects the number of a movement that does not fit. */
function CorrectNumber({ movement, lot, changed }: AfterwardsProps) {
  const { dock, common } = words.value;
  const saving = useSaving();
  const [plants, setPlants] = useState<number | null>(movement.conflict?.have ?? movement.plants);
  const submit = (): void =>
    void saving.run(async () => {
      await ask('movements', movement.id, { ...movementBody(movement), plants: plants ?? 0 }, movement.version, movementTitle(movement.kind, lot));
      notify(common.saved);
      changed();
    });
  return (
    <Details summary={dock.life.correctNumber}>
      <Form problem={saving.problem} onSubmit={submit} label={dock.life.correctNumber}>
        <NumberField label={dock.lot.movePlants} pointer="/plants" min={0} steps value={plants} onValue={setPlants} />
        <Button kind="strong" type="submit" busy={saving.busy} disabled={plants === null}>
          {common.save}
        </Button>
      </Form>
    </Details>
  );
}

/** What can be done about a movement afterwards. */
function Afterwards({ movement, lot, changed }: AfterwardsProps) {
  const { dock } = words.value;
  const saving = useSaving();
  const set = (because: string | null): void =>
    void saving.run(async () => {
      await setWithdrawn(movement, because, lot);
      notify(because === null ? dock.withdraw.restored : dock.lot.takenBack);
      changed();
    });
  return (
    <>
      {movement.conflict && !readsOnly() && (movement.parts ?? []).length === 0 && <CorrectNumber movement={movement} lot={lot} changed={changed} />}
      {saving.problem && <ProblemNotice problem={saving.problem} onReload={changed} />}
      <Withdraw withdrawn={movement.withdrawn_because ?? null} busy={saving.busy} onWithdraw={set} onRestore={() => set(null)} />
    </>
  );
}

function Line({ event, found }: Pick<Props, 'event' | 'found'>): ComponentChildren {
  const { dock } = words.value;
  const said = dock.life;
  const f = format.value;
  switch (event.what) {
    case 'movement':
      return <MovementLine movement={event.movement} recount={event.recount} found={found} />;
    case 'inspection':
      return <Link to={`/dock/inspections/${event.inspection.id}`}>{said.inspected[event.inspection.kind]}</Link>;
    case 'verdict':
      return null;
    case 'look':
      return (
        <>
          <Link to={`/walk/looks/${event.look.id}`}>{said.look(blockName(found.places, event.look.block_id))}</Link>
          {event.look.purpose === 'on_purpose' && `, ${said.onPurpose}`}:{' '}
          {f.list(event.look.results.map((result) => `${organismName(found.names, result.organism_id)} ${f.share(result)}`))}
        </>
      );
    case 'held':
      return (
        <>
          <b>{said.holdBegun(said.hold[event.hold.kind], said.scope[event.hold.scope ?? 'lot'])}</b>
          {event.hold.reason && `, ${event.hold.reason}`}
        </>
      );
    case 'lifted':
      return (
        <>
          <b>{said.holdLifted(said.hold[event.hold.kind])}</b>
          {event.hold.reason && `, ${event.hold.reason}`}
        </>
      );
  }
}

function byOf(event: LifeEvent, found: Found): string {
  switch (event.what) {
    case 'movement':
      return event.movement.recorded_by.name;
    case 'inspection':
      return event.inspection.recorded_by.name;
    case 'verdict':
      return '';
    case 'look':
      return event.look.observer?.name ?? event.look.recorded_by.name;
    case 'held':
    case 'lifted':
      return found.holds.find(({ id }) => id === event.hold.id)?.recorded_by.name ?? '';
  }
}

function noteOf(event: LifeEvent): string | null | undefined {
  if (event.what === 'movement') return event.movement.note;
  if (event.what === 'inspection') return event.inspection.note;
  return event.what === 'look' ? event.look.note : null;
}

function withdrawnOf(event: LifeEvent): string | null | undefined {
  if (event.what === 'movement') return event.movement.withdrawn_because;
  if (event.what === 'inspection') return event.inspection.withdrawn_because;
  if (event.what === 'verdict') return event.verdict.withdrawn_because;
  return event.what === 'look' ? event.look.withdrawn_because : null;
}

/** One thing that happened: when, what, on which lot, and who says so. */
export function EventRow({ event, found, zone, named = false, changed }: Props) {
  const { dock } = words.value;
  const speech = { words: words.value, f: format.value, nameOf: (id: string) => organismName(found.names, id) };
  const withdrawn = withdrawnOf(event);
  const by = [byOf(event, found), noteOf(event)].filter(Boolean).join(' · ');
  const undecided =
    event.what === 'inspection' &&
    event.on === null &&
    !withdrawn &&
    !found.own.verdicts.some(({ inspection_id, withdrawn_because }) => inspection_id === event.inspection.id && !withdrawn_because);
  return (
    <li id={event.what === 'lifted' ? undefined : event.id} class={['dock-move', withdrawn && 'dock-move-withdrawn', named && 'lot-named'].filter(Boolean).join(' ')}>
      {event.what === 'verdict' ? (
        <VerdictLine verdict={event.verdict} zone={zone} />
      ) : (
        <p>
          <span class="quiet">{format.value.moment(event.at, zone)}</span> <Line event={event} found={found} />
        </p>
      )}
      {event.what === 'inspection' &&
        event.inspection.reading.findings.map((finding) => (
          <p key={finding.organism_id}>
            <Marked text={findingSentence(finding, event.inspection.reading.confidence_percent, speech)} />
          </p>
        ))}
      {undecided && (
        <p>
          <Tag>{dock.inspection.verdict.none}</Tag>
        </p>
      )}
      {(by !== '' || event.on !== null) && (
        <p class="quiet">
          {event.on !== null && <Tag>{dock.life.onParent(codeOf(found.kin, event.on))}</Tag>} {by}
        </p>
      )}
      {withdrawn && <p>{dock.withdraw.notice(withdrawn)}</p>}
      {event.what === 'movement' && event.on === null && (
        <>
          <ConflictLines movement={event.movement} found={found} zone={zone} />
          <Afterwards key={event.movement.version} movement={event.movement} lot={lotTitle(found.names, found.lot)} changed={changed} />
        </>
      )}
    </li>
  );
}
