import { describe, expect, it } from 'vitest';

import { formatIn } from '../../src/words/format';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const en = formatIn('en');
const es = formatIn('es');

describe('a percentage', () => {
  it('goes with its counts and its interval', () => {
    // 12 of 60 at 95 %, Wilson: 11.8 to 31.8 (Newcombe 1998, Statistics in Medicine 17, method 3, worked by hand).
    const share = { plants_looked_at: 60, infested_plants: 12, infested_percent: 20, lower_percent: 11.8, upper_percent: 31.8 };
    expect(plain(en.share(share))).toBe('12 of 60 · 20 % (12–32)');
    expect(plain(es.share(share))).toBe('12 de 60 · 20 % (12–32)');
  });

  it('shows one decimal where it is small', () => {
    expect(plain(en.interval(6.67, 3.5, 12.4))).toBe('6.7 % (3.5–12.4)');
    expect(plain(es.interval(6.67, 3.5, 12.4))).toBe('6,7 % (3,5–12,4)');
    expect(plain(en.interval(0, 0, 6.02))).toBe('0 % (0–6.0)');
  });

  it('never rounds something to nothing, nor nearly all to all', () => {
    expect(plain(en.percent(0.01))).toBe('< 0.1 %');
    expect(plain(en.percent(99.6))).toBe('99.6 %');
    expect(plain(en.percent(99.99))).toBe('> 99.9 %');
    expect(plain(en.percent(100))).toBe('100 %');
  });
});

describe('counts', () => {
  it('are grouped and told one from many', () => {
    expect(plain(en.plural(1, 'plant', 'plants'))).toBe('1 plant');
    expect(plain(en.plural(12_000, 'plant', 'plants'))).toBe('12,000 plants');
    expect(plain(es.plural(0, 'planta', 'plantas'))).toBe('0 plantas');
    expect(plain(es.plural(12_000, 'planta', 'plantas'))).toBe('12.000 plantas');
  });

  it('show a change with its sign', () => {
    expect(en.signed(4.5)).toBe('+4.5');
    expect(es.signed(-4.5)).toBe('−4,5');
  });
});

describe('dates', () => {
  it('are the dates written down, whatever the zone of the reader', () => {
    expect(plain(en.date('2026-09-01'))).toBe('1 Sep');
    expect(plain(en.weekday('2026-09-14'))).toBe('Mon 14 Sep');
    expect(plain(es.date('2026-08-03'))).toBe('3 ago');
    expect(en.week('2026-W09')).toBe('W09');
    expect(es.week('2026-W33')).toBe('S33');
  });

  it('show a moment on the clock of the site', () => {
    expect(plain(en.moment('2026-09-14T22:30:00Z', 'Europe/Madrid'))).toBe('15 Sep, 00:30');
    expect(en.time('2026-09-14T22:30:00Z', 'America/Bogota')).toBe('17:30');
  });

  it('say how long is left, or since when it is over', () => {
    const now = new Date('2026-09-14T08:00:00Z');
    expect(plain(en.left('2026-09-14T11:20:00Z', now))).toBe('3 h 20 min left');
    expect(plain(en.left('2026-09-17T12:00:00Z', now))).toBe('3 d 4 h left');
    expect(plain(es.left('2026-09-14T06:00:00Z', now))).toBe('cerró hace 2 h');
  });
});
