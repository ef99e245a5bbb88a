import { createContext, type ComponentChildren } from 'preact';
import { useContext, useEffect, useRef } from 'preact/hooks';

import { faultAt, type ApiProblem } from '../problem';
import { words } from '../words';
import { ProblemNotice } from './notice';

const Faults = createContext<ApiProblem | null>(null);

interface FormProps {
  /** The answer to the last attempt; its faults appear at the fields with the same `pointer`. */
  problem?: ApiProblem | null;
  onSubmit: () => void;
  children: ComponentChildren;
  label?: string;
  class?: string;
}

/** A form that shows what the server said, above all fields and at each one. Nothing typed is ever cleared by it. */
export function Form({ problem = null, onSubmit, children, label, class: more }: FormProps) {
  const notice = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (problem) notice.current?.focus();
  }, [problem]);
  return (
    <form
      noValidate
      class={more ? `form ${more}` : 'form'}
      aria-label={label}
      onSubmit={(event) => {
        event.preventDefault();
        onSubmit();
      }}
    >
      <Faults.Provider value={problem}>
        {problem && (
          <div ref={notice} tabIndex={-1} class="form-problem">
            <ProblemNotice problem={problem} />
          </div>
        )}
        {children}
      </Faults.Provider>
    </form>
  );
}

/** The fault the server found at a pointer, in words. */
export function useFault(pointer: string | undefined): string | undefined {
  return faultAt(useContext(Faults), pointer, words.value);
}
