import { useState } from 'preact/hooks';

import { fetchOne } from '../../../api';
import type { MovementBody } from '../../../contract.gen';
import { Button, ButtonLink, Notice, Section } from '../../../parts';
import { words } from '../../../words';
import type { Found } from '../life/found';
import { standingOf } from '../movement';
import { MovementForm } from '../movement-form';
import { HoldForm } from './hold-form';
import { LiftForm } from './lift-form';
import { actionsFor, type Action } from './possible';
import { ask } from '../../shared/saving';
import { lotTitle } from '../../shared/titles';
import { notifyWithUndo, withdrawMoved, type HeldNow, type Moved } from './undo';

interface Born {
  id: string;
  code: string;
  plants: number;
}

/** The lot that began with a movement; null when it began none, or cannot be read now. */
async function bornOf(movement: MovementBody): Promise<Born | null> {
  const id = movement.kind === 'merge' ? movement.lot_id : movement.kind === 'split' ? movement.parts?.[0]?.lot_id : undefined;
  if (id === undefined) return null;
  return await fetchOne('lots', id).then(
    ({ code }) => ({ id, code: code ?? '', plants: movement.plants }),
    () => null,
  );
}

/** What can be done with the lot now: each opens a form that is filled in as far as it can be. */
export function Actions({ found, changed }: { found: Found; changed: () => void }) {
  const { dock } = words.value;
  const said = dock.action;
  const { lot, life, own } = found;
  const [open, setOpen] = useState<Action | null>(null);
  const [born, setBorn] = useState<Born | null>(null);
  const standing = standingOf(lot, life.placements);
  const received = own.movements.some(({ kind, withdrawn_because }) => kind === 'receive' && !withdrawn_because) || (!found.whole && lot.state !== 'expected');
  const actions = actionsFor(life, standing, Boolean(lot.shipment_id), received);
  const byMistake = dock.withdraw.byMistake;
  const name = (action: Action): string => (action === 'hold' || action === 'lift' ? said[action] : dock.lot.kind[action]);
  const done = (): void => {
    setOpen(null);
    changed();
  };
  const title = lotTitle(found.names, lot);
  const moved = (movement: Moved): void => {
    const { kind, plants } = movement.body;
    done();
    const takeBack = async (): Promise<void> => {
      await withdrawMoved(movement, byMistake, title);
      setBorn(null);
    };
    notifyWithUndo(said.done(dock.lot.kind[kind], dock.lot.did[kind](plants)), takeBack, changed);
    void bornOf(movement.body).then(setBorn);
  };
  const held = ({ id, version, body }: HeldNow): void => {
    done();
    notifyWithUndo(said.holdDone, () => ask('holds', id, { ...body, withdrawn_because: byMistake }, version, title), changed);
  };
  const lifted = ({ id, version, body }: HeldNow): void => {
    done();
    notifyWithUndo(said.liftDone, () => ask('holds', id, body, version, title), changed);
  };
  const close = (): void => setOpen(null);
  return (
    <Section title={said.title}>
      {born && (
        <Notice>
          <p>{said.born(born.plants, born.code)}</p>
          <ButtonLink to={`/dock/lots/${born.id}`}>{said.openBorn(born.code)}</ButtonLink>
        </Notice>
      )}
      <div class="row">
        {actions.map((action) => (
          <Button key={action} aria-pressed={open === action} onClick={() => setOpen(open === action ? null : action)}>
            {name(action)}
          </Button>
        ))}
      </div>
      {open === 'hold' && <HoldForm lot={lot} title={title} onSaved={held} onCancel={close} />}
      {open === 'lift' && <LiftForm found={found} onSaved={lifted} onCancel={close} />}
      {open !== null && open !== 'hold' && open !== 'lift' && (
        <MovementForm key={open} kind={open} found={found} standing={standing} onSaved={moved} onCancel={close} />
      )}
    </Section>
  );
}
