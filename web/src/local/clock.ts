import { serverNow } from '../session';
import type { Waiting } from './db';

/** The phone's own clock now, with its offset from UTC, as RFC 3339: what the phone shows its owner, right or wrong. */
export function phoneClock(now: Date = new Date()): string {
  const ahead = -now.getTimezoneOffset();
  const two = (n: number): string => String(n).padStart(2, '0');
  const local = new Date(now.getTime() + ahead * 60_000).toISOString().slice(0, 23);
  const size = Math.abs(ahead);
  return `${local}${ahead < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** How far the phone's clock was ahead of the server's when they were last held together, in ms. */
export function clockAhead(): number {
  return Math.round(Date.now() - serverNow().getTime());
}

/** When a record that waits was made, by the server's clock: the phone's may be wrong. RFC 3339. */
export function madeMoment({ made_at, made }: Pick<Waiting, 'made_at' | 'made'>): string {
  return new Date(Date.parse(made_at) - (made?.clock_ahead_ms ?? 0)).toISOString();
}
