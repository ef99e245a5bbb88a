import { useState } from 'preact/hooks';

import { fetchOne, save, type BodyOf, type Noun, type RecordOf } from '../../api';
import { toProblem, type ApiProblem } from '../../problem';

/** A save under way, and what the last one was refused for. */
export interface Saving {
  busy: boolean;
  problem: ApiProblem | null;
  /** Runs the save; resolves when it is over, well or not. */
  run: (act: () => Promise<void>) => Promise<void>;
}

export function useSaving(): Saving {
  const [state, setState] = useState<{ busy: boolean; problem: ApiProblem | null }>({ busy: false, problem: null });
  const run = async (act: () => Promise<void>): Promise<void> => {
    setState({ busy: true, problem: null });
    try {
      await act();
      setState({ busy: false, problem: null });
    } catch (thrown) {
      setState({ busy: false, problem: toProblem(thrown) });
    }
  };
  return { ...state, run };
}

/**
 * Saves a record whose id was made on this page. When an earlier try had arrived
 * although its answer was lost, and the content was changed since, the change is
 * saved as a correction of one's own record.
 */
export async function saveOwn<N extends Noun>(noun: N, id: string, body: BodyOf<N>): Promise<RecordOf<N>> {
  try {
    return await save(noun, id, body);
  } catch (thrown) {
    if (!toProblem(thrown).isConflict) throw thrown;
    let version: number;
    try {
      ({ version } = (await fetchOne(noun, id)) as { version: number });
    } catch {
      throw thrown; // the name or code is taken, not the id
    }
    return await save(noun, id, body, version);
  }
}
