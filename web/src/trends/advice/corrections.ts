import type { Decision, DecisionBody } from '../../contract.gen';

/** The members of a decision that a person writes, as they are stored now. */
export function written(decision: Decision): DecisionBody {
  const { house_id, cultivar_id, organism_id, season_id, choice, because, decided_at, figures, done_on, done_note, withdrawn_because } = decision;
  return {
    house_id,
    cultivar_id,
    organism_id,
    season_id,
    choice,
    because,
    decided_at,
    ...(figures && { figures }),
    ...(done_on && { done_on }),
    ...(done_note && { done_note }),
    ...(withdrawn_because && { withdrawn_because }),
  };
}

/** The decision, saying when it was carried out. */
export function carriedOut(decision: Decision, on: string, note: string): DecisionBody {
  const body = written(decision);
  delete body.done_note;
  return { ...body, done_on: on, ...(note.trim() !== '' && { done_note: note.trim() }) };
}

/** The decision, taken back with a reason. */
export function takenBack(decision: Decision, reason: string): DecisionBody {
  return { ...written(decision), withdrawn_because: reason.trim() };
}
