import { client, read } from '../../api';
import type { Customer } from '../../contract.gen';
import type { Delivery } from './find';

/** The delivery notes of so many customers are looked through; those of the others are found by choosing one. */
export const mostCustomers = 60;

const atOnce = 4;

/** The dispatches to the first customers by name, each with its paper number. */
export async function fetchDeliveries(customers: readonly Customer[], signal: AbortSignal): Promise<Delivery[]> {
  const waiting = customers.toSorted((a, b) => a.name.localeCompare(b.name)).slice(0, mostCustomers);
  const deliveries: Delivery[] = [];
  const next = async (): Promise<void> => {
    for (let customer = waiting.shift(); customer !== undefined; customer = waiting.shift()) {
      const { id } = customer;
      const { exits } = await read(client.GET('/trail', { params: { query: { from: 'customer', id, way: 'back' } }, signal }));
      for (const exit of exits) if (exit.kind === 'dispatch') deliveries.push({ exit, customer });
    }
  };
  await Promise.all(Array.from({ length: atOnce }, next));
  return deliveries;
}
