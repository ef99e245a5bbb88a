import type { ComponentChildren } from 'preact';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';

import { reached } from '../../api';
import type { Daybook } from '../../contract.gen';
import { heldDaybook, loadDaybook, recallDaybook } from '../../local/daybook';
import { outbox } from '../../local/outbox';
import { Busy, ProblemNotice, type Load } from '../../parts';
import { toProblem, type ApiProblem } from '../../problem';
import { selectedSite, session } from '../../session';
import { words } from '../../words';
import { arrivalsOfBook, onlyNames, type Arrivals } from './arrivals';
import { isSilent } from './saving';
import { seenAs, sent } from './sent';

/** What the server answered: the arrivals, and what else the page shows. */
export interface Answered<More> {
  arrivals: Arrivals;
  more: More;
}

/** What is shown, and whether it is from the phone because the server does not answer. */
export interface Here<T> extends Load<T> {
  kept: boolean;
}

/** Takes from the arrivals what a page shows; undefined when it is not among them. `more` is null when the server did not answer. */
export type Select<More, T> = (arrivals: Arrivals, more: More | null, book: Daybook | null) => T | undefined;

/** How long a page waits for the server before it shows what the phone has. */
const patience = 1_500;

const none = { suppliers: [], farms: [], cultivars: [], crops: [], organisms: [] };

interface State<More> {
  answered?: Answered<More>;
  problem?: ApiProblem;
  loading: boolean;
  /** Show what the phone has: the server is slow or does not answer. */
  fromPhone: boolean;
}

/**
 * What a page of Dock shows: the server's answer where there is one, else the daybook that the
 * phone keeps; in both cases with what waits on this phone. Afterwards the daybook is fetched
 * for the time without a network. `fetchIt` and `select` may use nothing that changes but the
 * dependencies.
 */
export function useHere<More, T>(fetchIt: (signal: AbortSignal) => Promise<Answered<More>>, select: Select<More, T>, dependencies: readonly unknown[]): Here<T> {
  const site = selectedSite.value?.id ?? '';
  const [state, setState] = useState<State<More>>({ loading: true, fromPhone: false });
  const [turn, setTurn] = useState(0);
  const before = useRef<readonly unknown[] | null>(null);
  const nSent = sent.value.length;
  useEffect(() => {
    const abort = new AbortController();
    const isSame = before.current?.every((each, i) => each === dependencies[i]) ?? false;
    before.current = dependencies;
    setState(({ answered, fromPhone }) => ({ ...(isSame && answered && { answered }), loading: true, fromPhone: isSame && fromPhone }));
    const set = (next: Partial<State<More>>): void => {
      if (!abort.signal.aborted) setState((now) => ({ ...now, ...next }));
    };
    const fromPhone = async (): Promise<void> => {
      await recallDaybook(site, abort.signal);
      set({ fromPhone: true });
    };
    const timer = setTimeout(() => void fromPhone(), reached.peek() ? patience : 0);
    const keep = (): Promise<void> => loadDaybook(site, abort.signal).catch(() => undefined);
    void fetchIt(abort.signal)
      .then(
        (answered) => {
          clearTimeout(timer);
          if (!abort.signal.aborted) setState({ answered, loading: false, fromPhone: false });
        },
        async (thrown: unknown) => {
          clearTimeout(timer);
          const problem = toProblem(thrown);
          // Not there, perhaps because it waits on this phone.
          if (isSilent(problem) || problem.status === 404) await fromPhone();
          set({ problem, loading: false });
        },
      )
      .then(keep);
    return () => {
      clearTimeout(timer);
      abort.abort();
    };
  }, [...dependencies, site, turn, nSent]);
  const book = heldDaybook.value?.site.id === site ? heldDaybook.value : null;
  const { answered, fromPhone, problem, loading } = state;
  const kept = answered === undefined && fromPhone;
  const data = useMemo(() => {
    if (answered) return select(seenAs(answered.arrivals, book), answered.more, book);
    return kept ? select(seenAs(book ? arrivalsOfBook(book) : onlyNames(none), book), null, book) : undefined;
  }, [answered, kept, book, outbox.value, sent.value, session.value, words.value]);
  return {
    data,
    // What the phone can show needs no network; what it does not have says why.
    problem: data !== undefined && problem && (isSilent(problem) || problem.status === 404) ? undefined : problem,
    loading,
    kept: kept && data !== undefined && !loading,
    reload: () => setTurn((n) => n + 1),
  };
}

/** Shows what is here, or that it is on its way, or what went wrong; and says when it is from the phone. */
export function ShowHere<T>({ of, children }: { of: Here<T>; children: (data: T) => ComponentChildren }) {
  return (
    <>
      {of.problem && <ProblemNotice problem={of.problem} onRetry={of.reload} />}
      {of.kept && <p class="quiet">{words.value.dock.fromPhone}</p>}
      {of.data !== undefined ? children(of.data) : of.loading && <Busy />}
    </>
  );
}
