import type { Role } from '../contract.gen';
import { session } from '../session';

/** Whether the person holds one of the roles anywhere. */
export function holds(...wanted: Role[]): boolean {
  return (session.value?.roles ?? []).some(({ role }) => wanted.includes(role));
}

/** Whether the person owns all sites: accounts are theirs to write, and new sites. */
export function ownsAll(): boolean {
  return (session.value?.roles ?? []).some(({ role, site_id: at }) => role === 'owner' && !at);
}
