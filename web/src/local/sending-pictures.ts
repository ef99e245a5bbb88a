import { fetchOne, save, sendPicture } from '../api';
import type { PhotoBody } from '../contract.gen';
import { toProblem, type ApiProblem } from '../problem';
import { begunOf } from './begun';
import type { Picture } from './db';
import { outbox } from './outbox';
import { dropPicture, keepPicture, pictures } from './pictures';

/** Whether what a photo shows is with the server, as far as this phone knows: not in the making, and not waiting itself. */
function subjectSent({ body }: Picture): boolean {
  return begunOf(body.subject_id) === undefined && !outbox.peek().some(({ id }) => id === body.subject_id);
}

/** The photos of a person that can be sent. */
export function picturesToSend(personId: string): Picture[] {
  return pictures.value.filter((one) => one.person_id === personId && one.problem === null && subjectSent(one));
}

/** Stores what a photo shows. An earlier try may have got through before its caption was written: then it is corrected. */
async function saveRecord(id: string, body: PhotoBody): Promise<void> {
  try {
    await save('photos', id, body);
  } catch (thrown) {
    if (!toProblem(thrown).isConflict) throw thrown;
    const { version } = await fetchOne('photos', id);
    await save('photos', id, body, version);
  }
}

/** Sends photos one after another. Answers why it stopped, or null when all that can be sent are. */
export async function sendPictures(personId: string, mayGoOn: () => boolean): Promise<ApiProblem | null> {
  for (;;) {
    const [next] = picturesToSend(personId);
    if (!next || !mayGoOn()) return null;
    try {
      await saveRecord(next.id, next.body);
      await sendPicture(next.id, next.jpeg);
    } catch (thrown) {
      const problem = toProblem(thrown);
      const refused = problem.status >= 400 && problem.status < 500 && ![401, 408, 425, 429].includes(problem.status) && problem.code !== 'not_our_server';
      if (!refused) return problem;
      await keepPicture({ ...next, problem: problem.problem });
      continue;
    }
    const now = pictures.peek().find(({ id }) => id === next.id);
    if (now && JSON.stringify(now.body) !== JSON.stringify(next.body)) continue; // a caption was written meanwhile
    await dropPicture(next.id);
  }
}
