import type { ComponentChildren } from 'preact';

import type { Movement, Recount } from '../../../contract.gen';
import { Tag } from '../../../parts';
import { Link } from '../../../router';
import { format, words } from '../../../words';
import { conflictAdvice, conflictText } from '../../shared/conflict';
import { blockName } from '../places';
import { codeOf, type Found } from './found';

/** Links to other lots with the plants that went there or came from there. */
function Parts({ movement, found }: { movement: Movement; found: Found }) {
  const said = words.value.dock.life;
  const { lot_id, kind, parts = [] } = movement;
  const sum = (id: string): number => parts.reduce((plants, part) => (part.lot_id === id ? plants + part.plants : plants), 0);
  const lots = [...new Set(parts.map((part) => part.lot_id))];
  const link = (id: string): ComponentChildren =>
    id === found.lot.id ? <b>{codeOf(found.kin, id)}</b> : <Link to={`/dock/lots/${id}`}>{codeOf(found.kin, id)}</Link>;
  if (lots.length === 0) return null;
  return (
    <>
      {kind === 'split' && lot_id !== found.lot.id && <> {link(lot_id)}</>}
      {': '}
      {lots.map((id, i) => (
        <span key={id}>
          {i > 0 && ', '}
          {kind === 'split' ? said.into(sum(id)) : said.partOf(sum(id))} {link(id)}
        </span>
      ))}
      {kind === 'merge' && lot_id !== found.lot.id && <> → {link(lot_id)}</>}
    </>
  );
}

function wayOf({ from_block_id: from, to_block_id: to }: Movement, { places }: Found): string {
  const said = words.value.dock.lot;
  if (from && to && from !== to) return ` ${said.fromTo(blockName(places, from), blockName(places, to))}`;
  if (to) return ` ${said.to(blockName(places, to))}`;
  return from ? ` ${said.from(blockName(places, from))}` : '';
}

/** What a movement did, in a line. */
export function MovementLine({ movement, recount, found }: { movement: Movement; recount: Recount | null; found: Found }) {
  const { dock } = words.value;
  const said = dock.life;
  const { kind, plants, rooted, reason, customer_id: customer, paper_number: paper } = movement;
  const off = kind === 'receive' && movement.lot_id === found.lot.id && found.lot.shipment_id ? plants - found.lot.plants : 0;
  return (
    <>
      <b>{dock.lot.did[kind](plants)}</b>
      {wayOf(movement, found)}
      <Parts movement={movement} found={found} />
      {kind === 'root' && typeof rooted === 'number' && `, ${said.rootedOf(rooted, plants)}`}
      {recount && `, ${said.recount(recount.booked, recount.found)}`}
      {off !== 0 && `, ${dock.lot.countOff(off)}`}
      {customer && ` ${said.customer(found.customers.find(({ id }) => id === customer)?.name ?? '–')}`}
      {reason && `, ${reason}`}
      {paper && `, ${said.paper(paper)}`}
      {movement.while_held && (
        <>
          {' '}
          <Tag strong>{said.although}</Tag>
        </>
      )}
      {movement.conflict && (
        <>
          {' '}
          <Tag strong>{said.aside}</Tag>
        </>
      )}
    </>
  );
}

/** Why a movement does not fit, what it does not go together with, and what to do. */
export function ConflictLines({ movement, found, zone }: { movement: Movement; found: Found; zone: string }) {
  const { dock } = words.value;
  const said = dock.life;
  const { conflict } = movement;
  if (!conflict) return null;
  const own = found.own.movements.filter(({ id }) => conflict.with.includes(id));
  const others = found.others.filter(({ id }) => conflict.with.includes(id));
  const text = (other: Movement): string => said.besideLink(dock.lot.did[other.kind](other.plants), format.value.moment(other.moved_at, zone));
  return (
    <div class="notice notice-doubt">
      <p>{conflictText(conflict, words.value)}</p>
      {own.length + others.length > 0 && (
        <div>
          <p>{said.beside}:</p>
          <ul class="lot-beside">
            {own.map((other) => (
              <li key={other.id}>
                <a href={`#${other.id}`}>{text(other)}</a>
              </li>
            ))}
            {others.map((other) => (
              <li key={other.id}>
                <Link to={`/dock/lots/${other.lot_id}#${other.id}`}>{`${codeOf(found.kin, other.lot_id)}: ${text(other)}`}</Link>
              </li>
            ))}
          </ul>
        </div>
      )}
      <p>{conflictAdvice(conflict.code, words.value)}</p>
    </div>
  );
}
