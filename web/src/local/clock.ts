import { serverNow } from '../session';

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
