import type { Trail } from '../../contract.gen';
import type { Speech } from '../../trends/answers';
import { blockName, houseName, nameIn, type Names } from '../names';
import { unknown, type FlowNode } from './graph';

const longest = 25;
/** So that the day after it is always to be read. */
const longestSupplier = 14;

/** Cut where it would leave the room it has; the whole name stands in the table. */
export function shortened(text: string, room = longest): string {
  return text.length <= room ? text : `${text.slice(0, room - 1).trimEnd()}…`;
}

/** The name of a node, without its plants. */
export function nodeName(node: FlowNode, trail: Pick<Trail, 'lots' | 'shipments'>, names: Names, { words, format }: Speech): string {
  const { kind, id, records } = node;
  const { diagram: say, shipmentOf } = words.trail;
  if (kind === 'house' && id !== '') return houseName(names, id);
  if (id === '' && (kind === 'lot' || kind === 'shipment' || kind === 'customer' || kind === 'house')) return say.moreOf[kind](records);
  switch (kind) {
    case 'shipment': {
      const shipment = trail.shipments.find((one) => one.shipment_id === id);
      return shipment ? shipmentOf(shortened(nameIn(names.suppliers, shipment.supplier_id), longestSupplier), format.date(shipment.arrived_on)) : words.common.unknown;
    }
    case 'lot':
      return trail.lots.find((lot) => lot.lot_id === id)?.code ?? words.common.unknown;
    case 'block':
      return blockName(names, id);
    case 'customer':
      return id === unknown ? say.unknownCustomer : nameIn(names.customers, id);
    case 'house':
      return words.common.unknown;
    default:
      return say[kind];
  }
}

/** What marks a node beside its plants: held, not certain; '' when nothing does. */
export function nodeMarks({ held, records, certain }: Pick<FlowNode, 'held' | 'records' | 'certain'>, { words }: Speech): string {
  const { diagram: say } = words.trail;
  const marks = [held === 0 ? '' : records === 1 ? say.held : say.nHeld(held), certain ? '' : say.uncertain];
  return marks.filter((mark) => mark !== '').join(', ');
}
