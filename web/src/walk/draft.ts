import type { CropStage, LookBody, LookTarget, Sign, Stage } from '../contract.gen';
import { infested } from './infested';

export type Purpose = NonNullable<LookBody['purpose']>;
export type Growth = Sign['place'];

/** Plant by plant, or only how many were looked at and how many had it. */
export type Way = 'plants' | 'tally';

/** What was seen of one organism on one plant. */
export interface Found {
  organism_id: string;
  dense_leaf: boolean;
  /** Of a disease: class 1 to 4. */
  severity: number | null;
  signs: Sign[];
}

/** One plant looked at; nothing found means none seen. */
export interface Plant {
  found: Found[];
}

/** One organism looked for. */
export interface Sought {
  organism_id: string;
  /** The plant from which on it was looked for: one added on the way was not looked for before. */
  from: number;
  /** Of a tally. */
  looked_at: number | null;
  infested: number | null;
  /** Of the block as a whole, in a tally. */
  signs: Sign[];
}

/** A look being made, as it is kept on this phone until it is finished. */
export interface Draft {
  form: 1;
  id: string;
  /** The version being corrected; null for a new look. */
  version: number | null;
  site_id: string;
  block_id: string;
  /** Who is tapping; a correction may be by another person than the observer. */
  person_id: string;
  observer_id: string;
  /** Null: not known yet. */
  lot_id: string | null;
  lot_chosen: boolean;
  /** The moment of the first mark. */
  looked_at: string | null;
  purpose: Purpose;
  way: Way;
  note_signs: boolean;
  sought: Sought[];
  plants: Plant[];
  note: string;
  crop_stage: CropStage | null;
  /** Where in the block a hot spot is; empty for none. */
  hot_spot: string;
  /** Milliseconds spent on it so far, worked out from the taps, pauses left out. */
  spent_ms: number;
  /** It is also the second look of its lot: under which id, and with which lens (null: none). */
  second: { id: string; lens: number | null } | null;
  settled_because: string | null;
  /** Findings that this screen does not show, sent back as they were. */
  kept: LookTarget[];
}

export type Action =
  | { do: 'choose_lot'; lot_id: string | null; organism_id: string | null }
  | { do: 'choose_again' }
  | { do: 'purpose'; purpose: Purpose }
  | { do: 'way'; way: Way }
  | { do: 'seek'; organism_id: string; on: boolean }
  | { do: 'note_signs'; on: boolean }
  | { do: 'note'; note: string }
  | { do: 'crop_stage'; stage: CropStage | null }
  | { do: 'hot_spot'; where: string }
  | { do: 'second_look'; id: string | null }
  | { do: 'lens'; power: number | null }
  | { do: 'mark'; organism_id: string | null; at: string }
  | { do: 'undo' }
  | { do: 'drop'; plant: number }
  | { do: 'see'; plant: number; organism_id: string; seen: boolean }
  | { do: 'toggle_sign'; plant: number; organism_id: string; stage: Stage; place: Growth }
  | { do: 'add_sign'; plant: number; organism_id: string; sign: Sign }
  | { do: 'edit_sign'; plant: number; organism_id: string; at: number; change: Partial<Sign> }
  | { do: 'drop_sign'; plant: number; organism_id: string; at: number }
  | { do: 'dense'; plant: number; organism_id: string; on: boolean }
  | { do: 'severity'; plant: number; organism_id: string; severity: number | null }
  | { do: 'tally'; organism_id: string; looked_at: number | null; infested: number | null; at: string }
  | { do: 'block_sign'; organism_id: string; stage: Stage; place: Growth };

const sought = (organism_id: string, from = 0): Sought => ({ organism_id, from, looked_at: null, infested: null, signs: [] });

/** A look not yet begun. */
export function newDraft(at: { id: string; site_id: string; block_id: string; person_id: string }): Draft {
  return {
    form: 1,
    ...at,
    observer_id: at.person_id,
    version: null,
    lot_id: null,
    lot_chosen: false,
    looked_at: null,
    purpose: 'planned',
    way: 'plants',
    note_signs: true,
    sought: [],
    plants: [],
    note: '',
    crop_stage: null,
    hot_spot: '',
    spent_ms: 0,
    second: null,
    settled_because: null,
    kept: [],
  };
}

/** Whether anything was noted that would be lost. */
export function begun({ plants, sought, note, crop_stage, hot_spot }: Draft): boolean {
  return plants.length > 0 || note !== '' || crop_stage !== null || hot_spot !== '' || sought.some((s) => s.looked_at !== null || s.infested !== null || s.signs.length > 0);
}

/** The draft after one step. Steps that name a plant or sign that is not there change nothing. */
export function step(draft: Draft, action: Action): Draft {
  switch (action.do) {
    case 'choose_lot': {
      const { lot_id, organism_id } = action;
      const fresh = !begun(draft) || draft.sought.length === 0;
      const second = lot_id === draft.lot_id ? draft.second : null;
      return { ...draft, lot_id, lot_chosen: true, second, sought: fresh && organism_id !== null ? [sought(organism_id)] : draft.sought };
    }
    case 'choose_again':
      return { ...draft, lot_chosen: false };
    case 'purpose':
      return { ...draft, purpose: action.purpose };
    case 'way':
      return { ...draft, way: action.way };
    case 'seek':
      return seek(draft, action.organism_id, action.on);
    case 'note_signs':
      return { ...draft, note_signs: action.on };
    case 'note':
      return { ...draft, note: action.note };
    case 'crop_stage':
      return { ...draft, crop_stage: action.stage };
    case 'hot_spot':
      return { ...draft, hot_spot: action.where };
    case 'second_look':
      return { ...draft, second: action.id === null ? null : { id: action.id, lens: null } };
    case 'lens':
      return { ...draft, second: draft.second && { ...draft.second, lens: action.power } };
    case 'mark': {
      const found = action.organism_id === null ? [] : [nothingNoted(action.organism_id)];
      return { ...draft, looked_at: draft.looked_at ?? action.at, plants: [...draft.plants, { found }] };
    }
    case 'undo':
      return withoutPlant(draft, draft.plants.length - 1);
    case 'drop':
      return withoutPlant(draft, action.plant);
    case 'see':
      return onPlant(draft, action.plant, ({ found }) => {
        const others = found.filter((f) => f.organism_id !== action.organism_id);
        const already = found.find((f) => f.organism_id === action.organism_id);
        return { found: action.seen ? [...others, already ?? nothingNoted(action.organism_id)] : others };
      });
    case 'toggle_sign':
      return onFound(draft, action, (found) => ({ ...found, signs: toggled(found.signs, action.stage, action.place) }));
    case 'add_sign':
      return onFound(draft, action, (found) => ({ ...found, signs: [...found.signs, action.sign] }));
    case 'edit_sign':
      return onFound(draft, action, (found) => ({
        ...found,
        signs: found.signs.map((sign, i) => (i === action.at ? { ...sign, ...action.change } : sign)),
      }));
    case 'drop_sign':
      return onFound(draft, action, (found) => ({ ...found, signs: found.signs.filter((_, i) => i !== action.at) }));
    case 'dense':
      return onFound(draft, action, (found) => ({ ...found, dense_leaf: action.on }));
    case 'severity':
      return onFound(draft, action, (found) => ({ ...found, severity: action.severity }));
    case 'tally':
      return {
        ...onSought(draft, action.organism_id, (s) => ({ ...s, looked_at: action.looked_at, infested: action.infested })),
        looked_at: draft.looked_at ?? action.at,
      };
    case 'block_sign':
      return onSought(draft, action.organism_id, (s) => ({ ...s, signs: toggled(s.signs, action.stage, action.place) }));
  }
}

const nothingNoted = (organism_id: string): Found => ({ organism_id, dense_leaf: false, severity: null, signs: [] });

function toggled(signs: Sign[], stage: Stage, place: Growth): Sign[] {
  const others = signs.filter((sign) => sign.stage !== stage || sign.place !== place);
  return others.length < signs.length ? others : [...signs, { stage, place }];
}

function seek(draft: Draft, organism_id: string, on: boolean): Draft {
  const others = draft.sought.filter((s) => s.organism_id !== organism_id);
  if (on) {
    return others.length < draft.sought.length ? draft : { ...draft, sought: [...others, sought(organism_id, draft.plants.length)] };
  }
  if (others.length === 0) return draft; // one looks for something
  return {
    ...draft,
    sought: others,
    plants: draft.plants.map(({ found }) => ({ found: found.filter((f) => f.organism_id !== organism_id) })),
  };
}

function withoutPlant(draft: Draft, plant: number): Draft {
  if (plant < 0 || plant >= draft.plants.length) return draft;
  return {
    ...draft,
    plants: draft.plants.filter((_, i) => i !== plant),
    sought: draft.sought.map((s) => (plant < s.from ? { ...s, from: s.from - 1 } : s)),
  };
}

function onPlant(draft: Draft, plant: number, change: (plant: Plant) => Plant): Draft {
  return { ...draft, plants: draft.plants.map((p, i) => (i === plant ? change(p) : p)) };
}

function onFound(draft: Draft, at: { plant: number; organism_id: string }, change: (found: Found) => Found): Draft {
  return onPlant(draft, at.plant, ({ found }) => ({ found: found.map((f) => (f.organism_id === at.organism_id ? change(f) : f)) }));
}

function onSought(draft: Draft, organism_id: string, change: (s: Sought) => Sought): Draft {
  return { ...draft, sought: draft.sought.map((s) => (s.organism_id === organism_id ? change(s) : s)) };
}

/** What was seen of an organism on a plant, if it was. */
export function foundOn(plant: Plant | undefined, organism_id: string): Found | undefined {
  return plant?.found.find((f) => f.organism_id === organism_id);
}

/** How many plants were looked at for an organism, how many it was seen on, and how many of those count as infested. */
export interface Counts {
  looked_at: number;
  seen: number;
  infested: number;
}

/** The counts of a draft for one organism, under the stages that count for it. */
export function countsOf(draft: Draft, organism_id: string, stagesThatCount: readonly string[]): Counts {
  const s = draft.sought.find((one) => one.organism_id === organism_id);
  if (draft.way === 'tally') return { looked_at: s?.looked_at ?? 0, seen: s?.infested ?? 0, infested: s?.infested ?? 0 };
  const plants = draft.plants.slice(s?.from ?? 0);
  const found = plants.flatMap((plant) => foundOn(plant, organism_id) ?? []);
  return {
    looked_at: plants.length,
    seen: found.length,
    infested: found.filter(({ signs }) => infested(true, signs, stagesThatCount)).length,
  };
}

/** What keeps a draft from being finished. */
type NotReady = 'lot' | 'organism' | 'plants' | 'tally' | 'more_infested';

/** Why the look cannot be finished yet, or null when it can. */
export function notReady(draft: Draft): NotReady | null {
  if (!draft.lot_chosen) return 'lot';
  if (draft.sought.length === 0) return 'organism';
  if (draft.way === 'plants') return draft.plants.length > 0 ? null : 'plants';
  if (draft.sought.some((s) => s.looked_at === null || s.looked_at < 1 || s.infested === null)) return 'tally';
  return draft.sought.some((s) => (s.infested ?? 0) > (s.looked_at ?? 0)) ? 'more_infested' : null;
}
