import type { ComponentChildren } from 'preact';
import { useCallback, useEffect, useState } from 'preact/hooks';

import { toProblem, type ApiProblem } from '../problem';
import { ProblemNotice } from './notice';
import { Busy } from './progress';

export interface Load<T> {
  data: T | undefined;
  problem: ApiProblem | undefined;
  loading: boolean;
  /** Fetches again; what is shown stays until the new answer is there. */
  reload: () => void;
}

/**
 * Fetches when the page opens and whenever a dependency changes. An answer that was
 * overtaken is dropped. While reloading, the data before stays.
 */
export function useLoad<T>(fetchIt: (signal: AbortSignal) => Promise<T>, dependencies: readonly unknown[]): Load<T> {
  const [state, setState] = useState<{ data?: T; problem?: ApiProblem; loading: boolean }>({ loading: true });
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    const abort = new AbortController();
    setState(({ data }) => ({ ...(data !== undefined && { data }), loading: true }));
    fetchIt(abort.signal).then(
      (data) => {
        if (!abort.signal.aborted) setState({ data, loading: false });
      },
      (thrown: unknown) => {
        if (!abort.signal.aborted) setState(({ data }) => ({ ...(data !== undefined && { data }), problem: toProblem(thrown), loading: false }));
      },
    );
    return () => abort.abort();
  }, [...dependencies, turn]);
  const reload = useCallback(() => setTurn((n) => n + 1), []);
  return { data: state.data, problem: state.problem, loading: state.loading, reload };
}

/** Shows what was loaded, or that it is on its way, or what went wrong. */
export function Loaded<T>({ of, children }: { of: Load<T>; children: (data: T) => ComponentChildren }) {
  return (
    <>
      {of.problem && <ProblemNotice problem={of.problem} onRetry={of.reload} />}
      {of.data !== undefined ? children(of.data) : of.loading && <Busy />}
    </>
  );
}
