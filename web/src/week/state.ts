import type { WeekReading, WeekSection } from '../contract.gen';
import { withQuery } from '../router';

/** All sections under each other, and the blocks that are in none. */
export const allSections = 'all';
export const noSection = 'none';

/** What the page shows; all of it stands in the address. */
export interface WeekState {
  /** Null: the site chosen for all pages. */
  site: string | null;
  /** A section, `allSections`, `noSection`, or null: the one the person looks after. */
  section: string | null;
  /** Null: the last round that is worth reading. */
  week: string | null;
}

const uuid = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;
const isoWeek = /^\d{4}-W\d\d$/;

/** Reads the address. What does not fit is left out, never guessed. */
export function readState(query: URLSearchParams): WeekState {
  const fitting = (name: string, ...shapes: (RegExp | string)[]): string | null => {
    const value = query.get(name);
    return value !== null && shapes.some((shape) => (typeof shape === 'string' ? shape === value : shape.test(value))) ? value : null;
  };
  return { site: fitting('site', uuid), section: fitting('section', uuid, allSections, noSection), week: fitting('week', isoWeek) };
}

/** The address of a state. */
export function addressOf({ site, section, week }: WeekState): string {
  return withQuery('/week', { site, section, week });
}

/** The section of a person who looks after just one, else all of them. */
export function sectionOf(reading: WeekReading, person: string | undefined): string {
  const mine = reading.sections.filter(({ grower_id }) => grower_id !== null && grower_id === person);
  return mine.length === 1 ? (mine[0]?.section_id ?? allSections) : allSections;
}

/** The sections that a state shows. */
export function shownSections({ sections }: WeekReading, section: string | null): WeekSection[] {
  if (section === null || section === allSections) return sections;
  return sections.filter(({ section_id }) => (section === noSection ? section_id === null : section_id === section));
}

/** Whether something is of a section: a lot stands in it, or nowhere yet. */
export function isOf(sections: readonly string[], section: WeekSection): boolean {
  return sections.length === 0 || (section.section_id !== null && sections.includes(section.section_id));
}
