import { signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';

import { faultText, problemText, problemTitle, type ApiProblem } from '../problem';
import { words } from '../words';
import { Button } from './button';

interface NoticeProps {
  /** `note`: good to know. `doubt`: a person should look. `problem`: it did not work. */
  kind?: 'note' | 'doubt' | 'problem';
  title?: string;
  children?: ComponentChildren;
}

/** A remark that stands on the page. */
export function Notice({ kind = 'note', title, children }: NoticeProps) {
  return (
    <div class={`notice notice-${kind}`} role={kind === 'problem' ? 'alert' : undefined}>
      {title !== undefined && <p class="notice-title">{title}</p>}
      {children}
    </div>
  );
}

/** What went wrong, in words, with a way on. `onReload`: shown for stale records, to fetch the current one. */
export function ProblemNotice({ problem, onRetry, onReload }: { problem: ApiProblem; onRetry?: () => void; onReload?: () => void }) {
  const { problems, common } = words.value;
  const id = problem.problem.instance;
  return (
    <Notice kind="problem" title={problemTitle(problem, words.value)}>
      <p>{problem.faults.length > 0 ? problems.faults(problem.faults.length) : problemText(problem, words.value)}</p>
      {problem.faults.length > 0 && (
        <ul>
          {/* A fault of something that has no field on the page is said here alone. */}
          {[...new Set(problem.faults.map((fault) => faultText(fault, words.value)))].map((text) => <li key={text}>{text}</li>)}
        </ul>
      )}
      {id !== undefined && problem.status >= 500 && <p class="quiet">{problems.request(id)}</p>}
      {onReload && (problem.isStale || problem.isConflict) && <Button onClick={onReload}>{common.reload}</Button>}
      {onRetry && <Button onClick={onRetry}>{common.retry}</Button>}
    </Notice>
  );
}

interface Toast {
  id: number;
  text: string;
  undo?: () => void;
}

const toasts = signal<readonly Toast[]>([]);
let nextId = 1;

function dismiss(id: number): void {
  toasts.value = toasts.value.filter((toast) => toast.id !== id);
}

/** Says briefly what was done, and offers to undo it: undo instead of "are you sure". Stays 8 s, with undo 20 s. */
export function notify(text: string, { undo }: { undo?: () => void } = {}): void {
  const id = nextId++;
  toasts.value = [...toasts.value.slice(-1), { id, text, ...(undo && { undo }) }];
  setTimeout(() => dismiss(id), undo ? 20_000 : 8_000);
}

/** Where `notify` shows; part of the frame. */
export function Toasts() {
  const { common } = words.value;
  return (
    <div class="toasts" role="status" aria-atomic="false">
      {toasts.value.map(({ id, text, undo }) => (
        <div key={id} class="toast">
          <p>{text}</p>
          {undo && (
            <Button
              kind="quiet"
              onClick={() => {
                dismiss(id);
                undo();
              }}
            >
              {common.undo}
            </Button>
          )}
          <Button kind="quiet" aria-label={common.close} onClick={() => dismiss(id)}>
            ×
          </Button>
        </div>
      ))}
    </div>
  );
}
