import { describe, expect, it } from 'vitest';

import { addDays, atZone, dateAt, mondayOf, toLocal, toMoment, weekOf, weeksBetween } from '../../src/local/zone';

// Clock changes of 2026 after the IANA time zone database: Europe/Madrid leaves out
// 02:00–03:00 on 29 March and repeats 02:00–03:00 on 25 October.
describe('a site clock', () => {
  it('becomes a moment with the offset of that day', () => {
    expect(toMoment('2026-09-14T07:05', 'Europe/Madrid')).toBe('2026-09-14T07:05:00+02:00');
    expect(toMoment('2026-12-01T07:05', 'Europe/Madrid')).toBe('2026-12-01T07:05:00+01:00');
    expect(toMoment('2026-12-01T07:05', 'America/Bogota')).toBe('2026-12-01T07:05:00-05:00');
    expect(toMoment('2026-12-01T07:05', 'Asia/Kolkata')).toBe('2026-12-01T07:05:00+05:30');
    expect(toMoment('2026-12-01T07:05', 'UTC')).toBe('2026-12-01T07:05:00+00:00');
  });

  it('reads an hour that comes twice as the first one', () => {
    expect(toMoment('2026-10-25T02:30', 'Europe/Madrid')).toBe('2026-10-25T02:30:00+02:00');
  });

  it('reads an hour that never was as the clock after the change', () => {
    expect(toMoment('2026-03-29T02:30', 'Europe/Madrid')).toBe('2026-03-29T03:30:00+02:00');
  });

  it('refuses what is no date', () => {
    expect(toMoment('', 'UTC')).toBeNull();
    expect(toMoment('2026-02-30T10:00', 'UTC')).toBeNull();
    expect(toMoment('2026-02-20T25:00', 'UTC')).toBeNull();
  });

  it('comes back as it was typed, on every hour around a clock change', () => {
    for (const zone of ['Europe/Madrid', 'America/New_York', 'Pacific/Auckland', 'America/Bogota']) {
      for (let hour = 4; hour < 24; hour++) {
        const local = `2026-03-29T${String(hour).padStart(2, '0')}:15`;
        expect(toLocal(toMoment(local, zone) ?? '', zone)).toBe(local);
      }
    }
  });

  it('keeps the date of the site, not of the reader', () => {
    expect(dateAt('2026-09-14T23:30:00Z', 'Europe/Madrid')).toBe('2026-09-15');
    expect(dateAt('2026-09-14T03:30:00Z', 'America/Bogota')).toBe('2026-09-13');
    expect(atZone(new Date('2026-09-14T23:30:00Z'), 'Europe/Madrid')).toBe('2026-09-15T01:30:00+02:00');
  });
});

describe('ISO weeks', () => {
  it('belong to the year of their Thursday', () => {
    // ISO 8601: 1 January 2005 lies in the 53rd week of 2004, 31 December 2007 in the first of 2008.
    expect(weekOf('2005-01-01')).toBe('2004-W53');
    expect(weekOf('2007-12-31')).toBe('2008-W01');
    expect(weekOf('2026-09-14')).toBe('2026-W38');
  });

  it('begin on the Monday they were made from', () => {
    for (let date = '2019-12-28'; date < '2027-02-01'; date = addDays(date, 1)) {
      const monday = mondayOf(weekOf(date));
      expect(monday <= date && date <= addDays(monday, 6)).toBe(true);
    }
  });

  it('are counted across a turn of the year', () => {
    expect(weeksBetween('2026-W52', '2027-W02')).toEqual(['2026-W52', '2026-W53', '2027-W01', '2027-W02']);
  });
});
