import { useState } from 'preact/hooks';

import { save } from '../../api';
import type { Lot, Movement, MovementKind, Placement } from '../../contract.gen';
import { Button, Details, Empty, notify, ProblemNotice, Section, Table, Tag } from '../../parts';
import { problemText, toProblem } from '../../problem';
import { format, words } from '../../words';
import { movementBody } from '../shared/bodies';
import { useSaving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import { Withdraw } from '../shared/withdraw';
import { standingOf } from './movement';
import { MovementForm } from './movement-form';
import { blockName, type Places } from './places';

interface Props {
  lot: Lot;
  placements: readonly Placement[];
  movements: readonly Movement[];
  places: Places;
  changed: () => void;
}

const kinds: readonly MovementKind[] = ['receive', 'stick', 'pot', 'move', 'discard'];

async function setWithdrawn(movement: Movement, because: string | null): Promise<Movement> {
  return await save('movements', movement.id, { ...movementBody(movement), withdrawn_because: because }, movement.version);
}

/** Where the lot stands, what is not yet placed, and where it stood before. */
export function Stands({ lot, placements, places }: Omit<Props, 'movements' | 'changed'>) {
  const said = words.value.dock.lot;
  const f = format.value;
  const zone = zoneOf(lot.site_id);
  const standing = standingOf(lot, placements);
  const before = placements.filter(({ to }) => to);
  return (
    <Section title={said.stands} {...(standing.unplaced > 0 && { lead: said.standsLead(standing.unplaced) })}>
      <Table
        caption={said.stands}
        rows={standing.blocks}
        rowKey={({ blockId }) => blockId}
        empty={standing.unplaced > 0 ? <></> : <p class="quiet">{said.nowhere}</p>}
        columns={[
          { key: 'block', head: said.block, cell: ({ blockId }) => blockName(places, blockId) },
          { key: 'since', head: said.since, cell: ({ since }) => f.moment(since, zone) },
          { key: 'plants', head: said.plantsHead, number: true, cell: ({ plants }) => f.count(plants) },
        ]}
      />
      {before.length > 0 && (
        <Details summary={said.stoodBefore}>
          <Table
            caption={said.stoodBefore}
            rows={before}
            rowKey={({ block_id, from }) => block_id + from}
            columns={[
              { key: 'block', head: said.block, cell: ({ block_id }) => blockName(places, block_id) },
              { key: 'since', head: said.since, cell: ({ from }) => f.moment(from, zone) },
              { key: 'until', head: said.until, cell: ({ to }) => to && f.moment(to, zone) },
              { key: 'plants', head: said.plantsHead, number: true, cell: ({ plants }) => f.count(plants) },
            ]}
          />
        </Details>
      )}
    </Section>
  );
}

function Row({ movement, lot, places, changed }: { movement: Movement; lot: Lot; places: Places; changed: () => void }) {
  const { dock } = words.value;
  const said = dock.lot;
  const f = format.value;
  const saving = useSaving();
  const { kind, plants, from_block_id: from, to_block_id: to, withdrawn_because: withdrawn } = movement;
  const way = from && to ? said.fromTo(blockName(places, from), blockName(places, to)) : to ? said.to(blockName(places, to)) : from ? said.from(blockName(places, from)) : null;
  const off = kind === 'receive' ? plants - lot.plants : 0;
  const set = (because: string | null): void =>
    void saving.run(async () => {
      await setWithdrawn(movement, because);
      notify(because === null ? dock.withdraw.restored : said.takenBack);
      changed();
    });
  return (
    <li class={withdrawn ? 'dock-move dock-move-withdrawn' : 'dock-move'}>
      <p>
        <span class="quiet">{f.moment(movement.moved_at, zoneOf(lot.site_id))}</span> <b>{said.did[kind](plants)}</b>
        {way !== null && ` ${way}`}
        {movement.reason && `, ${movement.reason}`}
        {off !== 0 && !withdrawn && `, ${said.countOff(off)}`} {movement.while_held && <Tag strong>{said.whileHeld}</Tag>}
      </p>
      <p class="quiet">
        {movement.recorded_by.name}
        {movement.note && ` · ${movement.note}`}
      </p>
      {withdrawn && <p>{dock.withdraw.notice(withdrawn)}</p>}
      {saving.problem && <ProblemNotice problem={saving.problem} onReload={changed} />}
      <Withdraw withdrawn={withdrawn ?? null} busy={saving.busy} onWithdraw={set} onRestore={() => set(null)} />
    </li>
  );
}

/** What happened to the plants, and the buttons to record what happens next. */
export function Movements({ lot, placements, movements, places, changed }: Props) {
  const said = words.value.dock.lot;
  const [kind, setKind] = useState<MovementKind | null>(null);
  const standing = standingOf(lot, placements);
  const saved = (movement: Movement): void => {
    setKind(null);
    changed();
    const undo = async (): Promise<void> => {
      try {
        await setWithdrawn(movement, words.value.dock.withdraw.byMistake);
        notify(words.value.common.undone);
        changed();
      } catch (thrown) {
        notify(problemText(toProblem(thrown), words.value));
      }
    };
    notify(`${said.kind[movement.kind]}: ${said.did[movement.kind](movement.plants)}.`, { undo: () => void undo() });
  };
  const possible: Partial<Record<MovementKind, boolean>> = {
    receive: true,
    stick: standing.unplaced > 0,
    pot: lot.plants_on_hand > 0,
    move: standing.blocks.length > 0,
    discard: lot.plants_on_hand > 0,
  };
  const latestFirst = movements.toSorted((a, b) => b.moved_at.localeCompare(a.moved_at) || b.id.localeCompare(a.id));
  return (
    <Section title={said.movements}>
      <div class="row">
        {kinds.map((each) => (
          <Button key={each} disabled={possible[each] !== true} aria-pressed={kind === each} onClick={() => setKind(kind === each ? null : each)}>
            {said.kind[each]}
          </Button>
        ))}
      </div>
      {kind !== null && (
        <MovementForm key={kind} kind={kind} lot={lot} standing={standing} places={places} onSaved={saved} onCancel={() => setKind(null)} />
      )}
      {latestFirst.length === 0 ? (
        kind === null && <Empty title={said.movements}>{said.movementsEmpty}</Empty>
      ) : (
        <ol class="dock-list">
          {latestFirst.map((movement) => (
            <Row key={movement.id} movement={movement} lot={lot} places={places} changed={changed} />
          ))}
        </ol>
      )}
    </Section>
  );
}
