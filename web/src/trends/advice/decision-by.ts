import type { Decision } from '../../contract.gen';
import type { Speech } from '../answers';
import { zoneOf } from '../names';

/** Who decided and when; and who changed it last, where that is somebody else. */
export function byText({ decided_by: decider, recorded_by: last, decided_at: at, site_id: site }: Decision, { words, format }: Speech): string {
  const say = words.advice;
  const decided = say.by(decider.name, format.moment(at, zoneOf(site)));
  return last.id === decider.id ? decided : `${decided} · ${say.changedBy(last.name)}`;
}
