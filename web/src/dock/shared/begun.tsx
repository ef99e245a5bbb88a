import type { Signal } from '@preact/signals';
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';

import { begunBy, forgetBegun, keepBegun } from '../../local/begun';
import type { Begun as KeptBegun } from '../../local/db';
import { Button, ButtonLink, Notice, notify, Section } from '../../parts';
import { session } from '../../session';
import { words } from '../../words';
import { begunKind, forgetDraft, type BegunForm, type Drafts, type Trouble } from './drafts';

function NotKept({ trouble }: { trouble: Trouble | null }) {
  const said = words.value.dock.begun;
  switch (trouble) {
    case null:
      return null;
    case 'full':
      return (
        <Notice kind="problem" title={said.fullTitle}>
          <p>{said.full}</p>
        </Notice>
      );
    case 'elsewhere':
      return (
        <Notice kind="problem" title={said.elsewhereTitle}>
          <p>{said.elsewhere}</p>
          <Button kind="primary" onClick={() => location.reload()}>
            {said.elsewhereGo}
          </Button>
        </Notice>
      );
    case 'unkept':
      return (
        <Notice kind="doubt">
          <p>{said.unkept}</p>
        </Notice>
      );
  }
}

/** A draft on the page. */
interface Begun<T> {
  /** Under which it is kept among the things begun. */
  id: string;
  draft: Signal<T>;
  /** Puts another draft in its place, as if it had just been begun. */
  begin: (make: () => T) => void;
  /** That it was begun before and is back, with a way to begin afresh; and when what is typed is not kept, why. */
  notice: JSX.Element;
}

/** The draft of a form, kept on the phone while it is typed; made when there is none. */
export function useBegun<T extends object>(drafts: Drafts<T>, key: string, make: () => T): Begun<T> {
  const said = words.value.dock.begun;
  const [, again] = useState(0);
  const { id, draft, restored, trouble } = drafts.heldOf(key, make);
  const begin = (other: () => T): void => {
    drafts.drop(key);
    drafts.of(key, other);
    again((n) => n + 1);
  };
  const notice = (
    <>
      {restored.value && (
        <Notice kind="doubt" title={said.backTitle}>
          <p>{said.back}</p>
          <Button onClick={() => begin(make)}>{said.afresh}</Button>
        </Notice>
      )}
      <NotKept trouble={trouble.value} />
    </>
  );
  return { id, draft, begin, notice };
}

/** The forms begun on this phone and not saved, with the way back to each. */
export function BegunForms() {
  const said = words.value.dock.begun;
  const forms = begunBy(session.value?.person.id ?? '', begunKind);
  if (forms.length === 0) return null;
  return (
    <Section title={said.title}>
      <ul class="dock-list">
        {forms.map((one) => {
          const { to, title } = one.value as BegunForm; // put there by the drafts
          return (
            <li key={one.id} class="dock-line">
              <span class="dock-line-main">{title}</span>
              <ButtonLink to={to}>{said.goOn}</ButtonLink>
              <Button kind="quiet" aria-label={`${said.letGo}: ${title}`} onClick={() => void letGo(one)}>
                {said.letGo}
              </Button>
            </li>
          );
        })}
      </ul>
    </Section>
  );
}

async function letGo({ id, kind, person_id, value }: KeptBegun): Promise<void> {
  forgetDraft(id);
  if ((await forgetBegun(id)) !== 'kept') return;
  notify(words.value.dock.begun.gone, { undo: () => void keepBegun({ id, kind, person_id, value }, null) });
}
