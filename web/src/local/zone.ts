/** Dates and clock times of a site, whose zone need not be the reader's. */

const minute = 60_000;

/** Kept, because making one takes a slow phone longer than all else that a tap does. */
const clocks = new Map<string, Intl.DateTimeFormat>();

function clockOf(zone: string): Intl.DateTimeFormat {
  const kept = clocks.get(zone);
  if (kept) return kept;
  const made = new Intl.DateTimeFormat('en-US', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
  });
  clocks.set(zone, made);
  return made;
}

/** The local clock of `zone` at `moment` as [year, month, day, hour, minute]. */
function clock(moment: number, zone: string): [number, number, number, number, number] {
  const parts = clockOf(zone).formatToParts(moment);
  const read = (type: Intl.DateTimeFormatPartTypes): number => Number(parts.find((part) => part.type === type)?.value);
  return [read('year'), read('month'), read('day'), read('hour'), read('minute')];
}

const two = (n: number): string => String(n).padStart(2, '0');

/** Minutes that `zone` is ahead of UTC at `moment`. */
export function offsetMinutes(moment: number, zone: string): number {
  const [year, month, day, hour, min] = clock(moment, zone);
  const whole = Math.floor(moment / minute) * minute;
  return Math.round((Date.UTC(year, month - 1, day, hour, min) - whole) / minute);
}

/** A moment as the local clock of the zone, `2026-09-14T07:05`, as date-time fields want it. */
export function toLocal(moment: string | Date, zone: string): string {
  const [year, month, day, hour, min] = clock(new Date(moment).getTime(), zone);
  return `${String(year).padStart(4, '0')}-${two(month)}-${two(day)}T${two(hour)}:${two(min)}`;
}

/**
 * The local clock of a zone (`2026-09-14T07:05`) as RFC 3339 with its offset.
 * An hour that comes twice is read as the first; one that is left out by a
 * clock change is read with the offset before the change. Null when it is no date.
 */
export function toMoment(local: string, zone: string): string | null {
  const match = /^(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d)/.exec(local);
  if (!match) return null;
  const asUtc = Date.UTC(Number(match[1]), Number(match[2]) - 1, Number(match[3]), Number(match[4]), Number(match[5]));
  if (Number.isNaN(asUtc) || new Date(asUtc).toISOString().slice(0, 16) !== match[0]) return null;
  const before = offsetMinutes(asUtc - 24 * 60 * minute, zone);
  const after = offsetMinutes(asUtc + 24 * 60 * minute, zone);
  const fits = [before, after].find((offset) => offsetMinutes(asUtc - offset * minute, zone) === offset);
  const offset = fits ?? before;
  if (fits === undefined) {
    // The clock never showed this time: keep the moment, show it as the zone does.
    const moment = asUtc - offset * minute;
    return withOffset(moment, offsetMinutes(moment, zone));
  }
  return withOffset(asUtc - offset * minute, offset);
}

function withOffset(moment: number, offset: number): string {
  const local = new Date(moment + offset * minute).toISOString().slice(0, 19);
  const size = Math.abs(offset);
  return `${local}${offset < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

/** A moment written with the offset of the zone. */
export function atZone(moment: Date, zone: string): string {
  return withOffset(moment.getTime(), offsetMinutes(moment.getTime(), zone));
}

/** The calendar date at the site, `2026-09-14`. */
export function dateAt(moment: string | Date, zone: string): string {
  return toLocal(moment, zone).slice(0, 10);
}

const day = 24 * 60 * minute;

/** The date so many days later (or earlier). */
export function addDays(date: string, days: number): string {
  return new Date(Date.parse(`${date}T00:00Z`) + days * day).toISOString().slice(0, 10);
}

/** The ISO 8601 week of a date, `2026-W38`. */
export function weekOf(date: string): string {
  const moment = Date.parse(`${date}T00:00Z`);
  const weekday = (new Date(moment).getUTCDay() + 6) % 7;
  const thursday = moment + (3 - weekday) * day;
  const year = new Date(thursday).getUTCFullYear();
  const number = Math.floor((thursday - Date.UTC(year, 0, 1)) / (7 * day)) + 1;
  return `${year}-W${two(number)}`;
}

/** The Monday of an ISO 8601 week. */
export function mondayOf(week: string): string {
  const [year = '', number = ''] = week.split('-W');
  const fourth = Date.UTC(Number(year), 0, 4);
  const weekday = (new Date(fourth).getUTCDay() + 6) % 7;
  return new Date(fourth + ((Number(number) - 1) * 7 - weekday) * day).toISOString().slice(0, 10);
}

/** Every ISO week from one to another, both included. */
export function weeksBetween(first: string, last: string): string[] {
  const weeks: string[] = [];
  const end = mondayOf(last);
  for (let date = mondayOf(first); date <= end; date = addDays(date, 7)) weeks.push(weekOf(date));
  return weeks;
}
