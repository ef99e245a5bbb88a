import { useEffect, useRef, useState } from 'preact/hooks';

import type { Recorded } from '../../contract.gen';
import { uuid7 } from '../../local/uuid7';
import { Button, Form, notify } from '../../parts';
import { ApiProblem, problemText, toProblem } from '../../problem';
import { words } from '../../words';
import { Comparison } from './comparison';
import { bodyOf, draftOf, rebase, type Draft, type Kind } from './kind';

interface EditorProps<Body extends object, Stored extends Body & Recorded> {
  kind: Kind<Body, Stored>;
  /** The record to correct; left out to add one. */
  record?: Stored;
  /** What a new record starts with. */
  start?: Draft<Body>;
  label: string;
  onClose: () => void;
  onSaved: (stored: Stored) => void;
  /** After an undo. */
  onUndone: () => void;
}

/** Adds or corrects one record. What is typed stays until it is saved or let go. */
export function Editor<Body extends object, Stored extends Body & Recorded>({
  kind,
  record,
  start = {},
  label,
  onClose,
  onSaved,
  onUndone,
}: EditorProps<Body, Stored>) {
  const { setup, common } = words.value;
  const [id] = useState(() => record?.id ?? uuid7());
  const [draft, setDraft] = useState<Draft<Body>>(() => (record ? draftOf(kind, record) : start));
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const [theirs, setTheirs] = useState<Stored | null>(null);
  const [busy, setBusy] = useState(false);
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    place.current?.querySelector<HTMLElement>('input, select, textarea')?.focus();
  }, []);

  const undo = (before: Draft<Body>, version: number): void => {
    kind.save(id, bodyOf(before), version).then(
      () => {
        notify(common.undone);
        onUndone();
      },
      (thrown: unknown) => notify(problemText(toProblem(thrown), words.value)),
    );
  };

  const send = async (version: number | undefined): Promise<void> => {
    const errors = (kind.faults?.(draft) ?? []).map((fault) => ({ ...fault, detail: '' }));
    if (errors.length > 0) {
      setProblem(new ApiProblem({ type: 'about:blank', title: '', status: 422, code: 'invalid', errors }));
      return;
    }
    setBusy(true);
    try {
      const stored = await kind.save(id, bodyOf(draft), version);
      const base = theirs ?? record;
      const before = base ? draftOf(kind, base) : kind.withdrawal && { ...draftOf(kind, stored), ...kind.withdrawal };
      notify(common.saved, before ? { undo: () => undo(before, stored.version) } : {});
      onSaved(stored);
    } catch (thrown) {
      const failed = toProblem(thrown);
      setProblem(failed);
      if (failed.isStale || failed.code === 'conflict') {
        const now = await kind.fetch(id).catch(() => null);
        const base = theirs ?? record;
        if (now && base) setDraft((mine) => rebase(draftOf(kind, base), mine, draftOf(kind, now)));
        setTheirs(now);
      }
      setBusy(false);
    }
  };

  return (
    <div ref={place} class="editor">
      <Form problem={problem} label={label} onSubmit={() => void send(theirs?.version ?? record?.version)}>
        {theirs && (
          <Comparison
            rows={{ theirs: kind.facts(draftOf(kind, theirs)), mine: kind.facts(draft) }}
            by={theirs}
            onTheirs={() => {
              onSaved(theirs);
            }}
          />
        )}
        {kind.fields(draft, (part) => setDraft((now) => ({ ...now, ...part })), record === undefined)}
        <div class="form-actions">
          <Button kind="primary" type="submit" busy={busy}>
            {busy ? common.saving : theirs ? setup.saveMine : common.save}
          </Button>
          <Button onClick={onClose}>{common.cancel}</Button>
        </div>
      </Form>
    </div>
  );
}
