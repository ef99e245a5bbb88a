import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';

import type { Recorded } from '../../contract.gen';
import { Button } from '../../parts';
import { words } from '../../words';
import { Editor } from './editor';
import type { Draft, Kind } from './kind';

interface RecordsProps<Body extends object, Stored extends Body & Recorded> {
  kind: Kind<Body, Stored>;
  rows: readonly Stored[];
  /** What a row is called. */
  name: (record: Stored) => string;
  /** What else there is to say of it. */
  note?: (record: Stored) => ComponentChildren;
  /** What belongs to a row: the blocks of a house. */
  inside?: (record: Stored) => ComponentChildren;
  /** Further buttons of a row. */
  actions?: (record: Stored) => ComponentChildren;
  mayWrite: boolean;
  /** For a single row, where that is another question than adding. */
  mayCorrect?: (record: Stored) => boolean;
  /** "Add a house"; no adding when left out. */
  addLabel?: string;
  /** What a new record starts with. */
  start?: () => Draft<Body>;
  onChange: (stored?: Stored) => void;
  /** What to say while there is none. */
  empty: ComponentChildren;
}

/** A list of records, each corrected where it stands; adding comes after the last. */
export function Records<Body extends object, Stored extends Body & Recorded>({
  kind,
  rows,
  name,
  note,
  inside,
  actions,
  mayWrite,
  mayCorrect = () => mayWrite,
  addLabel,
  start,
  onChange,
  empty,
}: RecordsProps<Body, Stored>) {
  const { setup, common } = words.value;
  const [open, setOpen] = useState<ReadonlySet<string>>(new Set());
  const [adding, setAdding] = useState(0);
  const toggle = (id: string, on: boolean): void =>
    setOpen((now) => {
      const next = new Set(now);
      if (on) next.add(id);
      else next.delete(id);
      return next;
    });
  return (
    <div class="records">
      {rows.length === 0 && adding === 0 && empty}
      {rows.length > 0 && (
        <ul>
          {rows.map((record) => (
            <li key={record.id}>
              {open.has(record.id) ? (
                <Editor
                  kind={kind}
                  record={record}
                  label={setup.correct(name(record))}
                  onClose={() => toggle(record.id, false)}
                  onSaved={(stored) => {
                    toggle(record.id, false);
                    onChange(stored);
                  }}
                  onUndone={() => onChange()}
                />
              ) : (
                <div class="record">
                  <div class="record-text">
                    <p class="record-name">{name(record)}</p>
                    {note && <div class="record-note">{note(record)}</div>}
                  </div>
                  <div class="record-actions">
                    {actions?.(record)}
                    {mayCorrect(record) && (
                      <Button kind="quiet" aria-label={setup.correct(name(record))} onClick={() => toggle(record.id, true)}>
                        {common.correct}
                      </Button>
                    )}
                  </div>
                </div>
              )}
              {inside?.(record)}
            </li>
          ))}
        </ul>
      )}
      {mayWrite && addLabel !== undefined && adding === 0 && <Button onClick={() => setAdding(1)}>{addLabel}</Button>}
      {adding > 0 && (
        <Editor
          key={adding}
          kind={kind}
          start={start?.() ?? {}}
          label={addLabel ?? common.add}
          onClose={() => setAdding(0)}
          onSaved={(stored) => {
            setAdding(0);
            onChange(stored);
          }}
          onUndone={() => onChange()}
        />
      )}
    </div>
  );
}
