import { useRef } from 'preact/hooks';

import type { Daybook } from '../contract.gen';
import { Button, CheckField, ChoiceField, Details, SelectField } from '../parts';
import { words } from '../words';
import { commonName, regulatedNote, whereToLook } from '../organism';
import type { Action, Draft } from './draft';
import type { Names } from './round';
import { lotName } from './said';

interface SettingsProps {
  draft: Draft;
  act: (action: Action) => void;
  book: Daybook;
  names: Names;
  disabled: boolean;
}

/** What is looked at, for what and how: one line, opened to change it. */
export function Settings({ draft, act, book, names, disabled }: SettingsProps) {
  const { settings, lot, tally } = words.value.walk;
  const heading = useRef<HTMLHeadingElement>(null);
  const sought = draft.sought.map(({ organism_id }) => names.organism(organism_id));
  const summary = [
    draft.lot_id === null ? lot.notKnown : lotName(names.lot(draft.lot_id), names),
    sought.map(commonName).join(', '),
    draft.purpose === 'on_purpose' && settings.onPurpose,
  ]
    .filter(Boolean)
    .join(' · ');
  const others = book.organisms.filter(({ id }) => !draft.sought.some(({ organism_id }) => organism_id === id));
  return (
    <Details summary={summary}>
      <Button disabled={disabled} onClick={() => act({ do: 'choose_again' })}>
        {lot.change}
      </Button>
      <div class="walk-sought">
        <h2 ref={heading} tabIndex={-1} class="walk-label">{settings.lookingFor}</h2>
        <ul>
          {sought.map(
            (organism) =>
              organism && (
                <li key={organism.id} class="row">
                  <p>
                    <b>{commonName(organism)}</b> <i lang="la">{organism.scientific_name}</i>
                    {whereToLook(organism) && <span class="quiet walk-line">{settings.where(whereToLook(organism))}</span>}
                    {regulatedNote(organism) && <span class="walk-line">{regulatedNote(organism)}</span>}
                  </p>
                  {sought.length > 1 && (
                    <Button
                      kind="quiet"
                      aria-label={settings.stop(commonName(organism))}
                      disabled={disabled}
                      onClick={() => {
                        heading.current?.focus();
                        act({ do: 'seek', organism_id: organism.id, on: false });
                      }}
                    >
                      ×
                    </Button>
                  )}
                </li>
              ),
          )}
        </ul>
        <SelectField
          label={settings.add}
          optional
          hint={settings.addHint}
          disabled={disabled}
          value={null}
          onValue={(organism_id) => organism_id !== null && act({ do: 'seek', organism_id, on: true })}
          options={others.map((organism) => ({ value: organism.id, label: `${commonName(organism)} (${organism.scientific_name})` }))}
        />
      </div>
      <ChoiceField
        label={settings.purpose}
        value={draft.purpose}
        disabled={disabled}
        onValue={(purpose) => act({ do: 'purpose', purpose })}
        options={[
          { value: 'planned', label: settings.planned, hint: settings.plannedHint },
          { value: 'on_purpose', label: settings.onPurpose, hint: settings.onPurposeHint },
        ]}
      />
      <ChoiceField
        label={settings.way}
        value={draft.way}
        disabled={disabled}
        onValue={(way) => act({ do: 'way', way })}
        options={[
          { value: 'plants', label: settings.plants },
          { value: 'tally', label: settings.tally },
        ]}
      />
      <CheckField
        label={draft.way === 'plants' ? settings.noteSigns : tally.noteSigns}
        hint={draft.way === 'plants' ? settings.noteSignsHint : tally.noteSignsHint}
        checked={draft.note_signs}
        disabled={disabled}
        onChecked={(on) => act({ do: 'note_signs', on })}
      />
    </Details>
  );
}
