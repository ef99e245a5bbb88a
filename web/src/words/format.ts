import type { Language } from './dictionaries';

const nbsp = '\u00a0';
const minus = '\u2212';

/** A share as the readings carry it. Percentages run from 0 to 100. */
export interface Share {
  plants_looked_at: number;
  infested_plants: number;
  infested_percent: number;
  lower_percent: number;
  upper_percent: number;
}

/** How numbers, dates and moments are written in one language. */
export interface Format {
  /** 1,200 */
  count: (n: number) => string;
  /** A number with up to so many decimals (1 when left out). */
  number: (n: number, decimals?: number) => string;
  /** "1 plant", "1,200 plants" */
  plural: (n: number, one: string, many: string) => string;
  /** "20 %", "6.7 %", "< 0.1 %"; whole above 10, one decimal below. */
  percent: (percent: number) => string;
  /** "12–32", in the decimals of the middle value */
  bounds: (percent: number, lower: number, upper: number) => string;
  /** "20 % (12–32)" */
  interval: (percent: number, lower: number, upper: number) => string;
  /** "12 of 60" */
  of: (some: number, all: number) => string;
  /** "12 of 60 · 20 % (12–32)": a percentage never goes without its counts. */
  share: (share: Share) => string;
  /** "+4.5" or "−4.5" */
  signed: (n: number, decimals?: number) => string;
  /** "14 Sep" from 2026-09-14 */
  date: (date: string) => string;
  /** "Mon 14 Sep" */
  weekday: (date: string) => string;
  /** "14 Sep 2026" */
  fullDate: (date: string) => string;
  /** "14 Sep, 07:05" at the site's zone */
  moment: (moment: string | Date, zone: string) => string;
  /** "07:05" at the site's zone */
  time: (moment: string | Date, zone: string) => string;
  /** "W38" from 2026-W38 */
  week: (week: string) => string;
  /** "3 h 20 min", "2 d 4 h", "15 min": a length of time, never below zero */
  span: (milliseconds: number) => string;
  /** "3 h 20 min left" or "closed 2 h ago" */
  left: (until: string | Date, now: Date) => string;
  /** "a, b and c" */
  list: (items: readonly string[]) => string;
}

interface Speech {
  locale: string;
  of: string;
  week: string;
  day: string;
  left: (span: string) => string;
  over: (span: string) => string;
}

const speech: Record<Language, Speech> = {
  en: { locale: 'en-US', of: 'of', week: 'W', day: 'd', left: (span) => `${span} left`, over: (span) => `closed ${span} ago` },
  es: { locale: 'es-ES', of: 'de', week: 'S', day: 'd', left: (span) => `quedan ${span}`, over: (span) => `cerró hace ${span}` },
};

function decimalsFor(percent: number): number {
  return Number.isInteger(percent) || (percent >= 10 && percent <= 90) ? 0 : 1;
}

function make(language: Language): Format {
  const said = speech[language];
  const { locale } = said;
  const fixed = new Map<number, Intl.NumberFormat>();
  const fix = (n: number, decimals: number): string => {
    let format = fixed.get(decimals);
    if (!format) {
      format = new Intl.NumberFormat(locale, { minimumFractionDigits: decimals, maximumFractionDigits: decimals });
      fixed.set(decimals, format);
    }
    return format.format(n);
  };
  const upTo = (n: number, decimals: number): string =>
    new Intl.NumberFormat(locale, { maximumFractionDigits: decimals }).format(n);
  const rules = new Intl.PluralRules(locale);
  const months = new Intl.DateTimeFormat(locale, { month: 'short', timeZone: 'UTC' });
  const weekdays = new Intl.DateTimeFormat(locale, { weekday: 'short', timeZone: 'UTC' });
  const lists = new Intl.ListFormat(locale, { type: 'conjunction' });
  const clocks = new Map<string, Intl.DateTimeFormat>();
  const clock = (moment: string | Date, zone: string): Record<string, string> => {
    let format = clocks.get(zone);
    if (!format) {
      format = new Intl.DateTimeFormat(locale, {
        timeZone: zone,
        hourCycle: 'h23',
        day: 'numeric',
        month: 'short',
        hour: '2-digit',
        minute: '2-digit',
      });
      clocks.set(zone, format);
    }
    return Object.fromEntries(format.formatToParts(new Date(moment)).map((part) => [part.type, part.value]));
  };
  const midnight = (date: string): Date => new Date(`${date}T00:00Z`);

  const format: Format = {
    count: (n) => fix(n, 0),
    number: (n, decimals = 1) => upTo(n, decimals),
    plural: (n, one, many) => `${fix(n, 0)}${nbsp}${rules.select(n) === 'one' ? one : many}`,
    percent: (percent) => {
      if (percent > 0 && percent < 0.05) return `<${nbsp}${fix(0.1, 1)}${nbsp}%`;
      if (percent > 99.95 && percent < 100) return `>${nbsp}${fix(99.9, 1)}${nbsp}%`;
      return `${fix(percent, decimalsFor(percent))}${nbsp}%`;
    },
    bounds: (percent, lower, upper) => {
      const decimals = percent > 0 && percent < 100 ? decimalsFor(percent) : decimalsFor(percent === 0 ? upper : lower);
      const edge = (n: number): string => (n === 0 || n === 100 ? fix(n, 0) : fix(n, decimals));
      return `${edge(lower)}–${edge(upper)}`;
    },
    interval: (percent, lower, upper) => `${format.percent(percent)} (${format.bounds(percent, lower, upper)})`,
    of: (some, all) => `${fix(some, 0)}${nbsp}${said.of}${nbsp}${fix(all, 0)}`,
    share: (s) =>
      `${format.of(s.infested_plants, s.plants_looked_at)} · ${format.interval(s.infested_percent, s.lower_percent, s.upper_percent)}`,
    signed: (n, decimals = 1) => `${n < 0 ? minus : '+'}${upTo(Math.abs(n), decimals)}`,
    date: (date) => `${midnight(date).getUTCDate()}${nbsp}${months.format(midnight(date))}`,
    weekday: (date) => `${weekdays.format(midnight(date))} ${format.date(date)}`,
    fullDate: (date) => `${format.date(date)} ${midnight(date).getUTCFullYear()}`,
    moment: (moment, zone) => {
      const part = clock(moment, zone);
      return `${part.day ?? ''}${nbsp}${part.month ?? ''}, ${part.hour ?? ''}:${part.minute ?? ''}`;
    },
    time: (moment, zone) => {
      const part = clock(moment, zone);
      return `${part.hour ?? ''}:${part.minute ?? ''}`;
    },
    week: (week) => `${said.week}${week.split('-W')[1] ?? week}`,
    span: (milliseconds) => {
      const minutes = Math.max(0, Math.floor(milliseconds / 60_000));
      const hours = Math.floor(minutes / 60);
      if (hours >= 48) {
        const rest = hours % 24;
        return `${fix(Math.floor(hours / 24), 0)}${nbsp}${said.day}${rest ? ` ${rest}${nbsp}h` : ''}`;
      }
      if (hours === 0) return `${minutes}${nbsp}min`;
      return `${hours}${nbsp}h${minutes % 60 ? ` ${minutes % 60}${nbsp}min` : ''}`;
    },
    left: (until, now) => {
      const rest = new Date(until).getTime() - now.getTime();
      return rest > 0 ? said.left(format.span(rest)) : said.over(format.span(-rest));
    },
    list: (items) => lists.format(items),
  };
  return format;
}

const made = new Map<Language, Format>();

/** The ways of writing of a language. Words files use it; pages use `format` from words/index. */
export function formatIn(language: Language): Format {
  let format = made.get(language);
  if (!format) {
    format = make(language);
    made.set(language, format);
  }
  return format;
}
