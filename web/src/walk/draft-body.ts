import type { Look, LookBody, LookTarget, PlantMark } from '../contract.gen';
import { foundOn, type Draft, type Found, type Plant, type Sought, type Way } from './draft';
import { secondsOf } from './spent';

function markOf({ dense_leaf, signs }: Found): PlantMark {
  return { seen: true, ...(dense_leaf && { dense_leaf }), ...(signs.length > 0 && { signs }) };
}

/**
 * Classes 0 to 4 of a disease, counted from the plants; undefined unless every
 * plant with it was given its class.
 */
function severityOf(plants: Plant[], organism_id: string): number[] | undefined {
  const found = plants.flatMap((plant) => foundOn(plant, organism_id) ?? []);
  if (found.length === 0 || found.some(({ severity }) => severity === null)) return undefined;
  return [0, 1, 2, 3, 4].map((n) => (n === 0 ? plants.length - found.length : found.filter(({ severity }) => severity === n).length));
}

/**
 * Signs count as looked for when the observer set out to note them and did so on every
 * plant with a find: not noted is not absent.
 */
function targetOf(draft: Draft, s: Sought): LookTarget | null {
  const { organism_id } = s;
  if (draft.way === 'tally') {
    const plants_looked_at = s.looked_at ?? 0;
    const infested_plants = s.infested ?? 0;
    return {
      organism_id,
      signs_looked_for: draft.note_signs && (infested_plants === 0 || s.signs.length > 0),
      tally: { plants_looked_at, infested_plants },
      ...(s.signs.length > 0 && { signs: s.signs }),
    };
  }
  const plants = draft.plants.slice(s.from);
  if (plants.length === 0) return null; // added after the last plant: it was not looked for
  const severity = severityOf(plants, organism_id);
  return {
    organism_id,
    signs_looked_for: draft.note_signs && plants.every((plant) => foundOn(plant, organism_id)?.signs.length !== 0),
    plants: plants.map((plant) => {
      const found = foundOn(plant, organism_id);
      return found ? markOf(found) : { seen: false };
    }),
    ...(s.signs.length > 0 && { signs: s.signs }),
    ...(severity && { severity }),
  };
}

/** The look as it is sent. The same draft always gives the same body, so that it may be sent again. */
export function bodyOf(draft: Draft): LookBody {
  return {
    block_id: draft.block_id,
    lot_id: draft.lot_id,
    looked_at: draft.looked_at ?? '',
    observer_id: draft.observer_id,
    purpose: draft.purpose,
    targets: [...draft.sought.flatMap((s) => targetOf(draft, s) ?? []), ...draft.kept],
    note: draft.note === '' ? null : draft.note,
    settled_because: draft.settled_because,
    ...(draft.crop_stage && { crop_stage: draft.crop_stage }),
    ...(draft.hot_spot.trim() !== '' && { hot_spot: draft.hot_spot.trim() }),
    ...(secondsOf(draft) > 0 && { seconds: secondsOf(draft) }),
  };
}

/** The part of a stored look that is sent when it is changed. */
export function bodyOfLook(look: Look): LookBody {
  return {
    block_id: look.block_id,
    lot_id: look.lot_id ?? null,
    looked_at: look.looked_at,
    observer_id: look.observer_id ?? look.observer?.id ?? null,
    purpose: look.purpose ?? 'planned',
    targets: look.targets.map(({ tally, ...target }) => (target.plants?.length ? target : { ...target, ...(tally && { tally }) })),
    note: look.note ?? null,
    withdrawn_because: look.withdrawn_because ?? null,
    settled_because: look.settled_because ?? null,
    ...(look.crop_stage && { crop_stage: look.crop_stage }),
    ...(look.hot_spot && { hot_spot: look.hot_spot }),
    ...(look.seconds && { seconds: look.seconds }),
  };
}

/** A stored look opened again, to be corrected by a person. */
export function draftOf(look: Look, person_id: string): Draft {
  const { targets, observer_id, ...body } = bodyOfLook(look);
  const way: Way = targets[0]?.plants?.length ? 'plants' : 'tally';
  const shown = targets.filter((target) => (target.plants?.length ? 'plants' : 'tally') === way);
  const all = Math.max(0, ...shown.map((target) => target.plants?.length ?? 0));
  const plants: Plant[] = Array.from({ length: all }, () => ({ found: [] }));
  for (const { organism_id, plants: marks = [], severity = [] } of shown) {
    const classes = severity.flatMap((n, severityClass) => (severityClass > 0 ? Array<number>(n).fill(severityClass) : []));
    for (const [i, mark] of marks.entries()) {
      if (!mark.seen) continue;
      plants[all - marks.length + i]?.found.push({
        organism_id,
        dense_leaf: mark.dense_leaf ?? false,
        severity: classes.shift() ?? null,
        signs: mark.signs ?? [],
      });
    }
  }
  return {
    form: 1,
    id: look.id,
    version: look.version,
    site_id: look.site_id,
    block_id: body.block_id,
    person_id,
    observer_id: observer_id ?? person_id,
    lot_id: body.lot_id ?? null,
    lot_chosen: true,
    looked_at: body.looked_at,
    purpose: body.purpose ?? 'planned',
    way,
    note_signs: shown.some((target) => target.signs_looked_for || plants.some((plant) => foundOn(plant, target.organism_id)?.signs.length)),
    sought: shown.map(({ organism_id, plants: marks = [], tally, signs = [] }) => ({
      organism_id,
      from: way === 'plants' ? all - marks.length : 0,
      looked_at: tally?.plants_looked_at ?? null,
      infested: tally?.infested_plants ?? null,
      signs,
    })),
    plants,
    note: body.note ?? '',
    crop_stage: body.crop_stage ?? null,
    hot_spot: body.hot_spot ?? '',
    spent_ms: (body.seconds ?? 0) * 1000,
    second: null,
    settled_because: body.settled_because ?? null,
    kept: targets.filter((target) => !shown.includes(target)),
  };
}
