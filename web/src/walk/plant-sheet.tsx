import { useEffect, useRef } from 'preact/hooks';

import type { Sign } from '../contract.gen';
import { Button, CheckField, ChoiceField, TextField } from '../parts';
import { Photos } from '../photos';
import { words } from '../words';
import { commonName } from '../organism';
import { foundOn, type Action, type Draft, type Found } from './draft';
import { stagesToNote, whyNotCounted } from './infested';
import type { Names } from './round';
import { SeverityRow, SignGrid } from './sign-grid';

interface SheetProps {
  plant: number;
  draft: Draft;
  act: (action: Action) => Promise<unknown>;
  names: Names;
  /** Whether one may take photos here, and what a person calls the place. */
  may: boolean;
  title: string;
  onClose: () => void;
}

/** One plant in full: seen or not, each sign with its state, amount and colour, photos. */
export function PlantSheet({ plant, draft, act, names, may, title, onClose }: SheetProps) {
  const { mark, sign } = words.value.walk;
  const dialog = useRef<HTMLDialogElement>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const toHeading = (): void => heading.current?.focus();
  useEffect(() => {
    dialog.current?.showModal();
    toHeading(); // not on a choice, which a key would change
  }, []);
  const marked = draft.plants[plant];
  if (!marked) return null;
  return (
    <dialog ref={dialog} class="walk-sheet" aria-labelledby="walk-sheet-title" onClose={onClose}>
      <h2 ref={heading} tabIndex={-1} id="walk-sheet-title">{mark.plant(plant + 1, marked.found.length > 0 ? mark.seenShort : mark.noneShort)}</h2>
      {draft.sought
        .filter(({ from }) => plant >= from)
        .map(({ organism_id }) => {
          const organism = names.organism(organism_id);
          const name = commonName(organism);
          const found = foundOn(marked, organism_id);
          return (
            <section key={organism_id} class="stack">
              <ChoiceField
                label={name}
                value={found ? 'seen' : 'none'}
                onValue={(value) => void act({ do: 'see', plant, organism_id, seen: value === 'seen' })}
                options={[
                  { value: 'none', label: mark.none },
                  { value: 'seen', label: mark.seen },
                ]}
              />
              {found && <FoundFields found={found} plant={plant} act={act} names={names} onGone={toHeading} />}
            </section>
          );
        })}
      <Photos of={{ subject_noun: 'looks', subject_id: draft.id, plant: plant + 1 }} title={title} may={may} unsent={draft.version === null} />
      <div class="form-actions">
        <Button kind="primary" onClick={() => dialog.current?.close()}>
          {sign.done}
        </Button>
        <Button onClick={() => void act({ do: 'drop', plant }).then(onClose)}>{sign.dropPlant}</Button>
      </div>
    </dialog>
  );
}

interface FoundProps extends Pick<SheetProps, 'plant' | 'act' | 'names'> {
  found: Found;
  /** Something that has the focus is about to go. */
  onGone: () => void;
}

function FoundFields({ found, plant, act, names, onGone }: FoundProps) {
  const { sign } = words.value.walk;
  const { organism_id } = found;
  const organism = names.organism(organism_id);
  const stages = stagesToNote(organism);
  const why = whyNotCounted(found.signs, organism?.infested_stages ?? []);
  const label = words.value.walk.mark.panel(plant + 1, '');
  if (stages.length === 0) {
    return <SeverityRow label={label} value={found.severity} onValue={(severity) => void act({ do: 'severity', plant, organism_id, severity })} />;
  }
  return (
    <>
      <SignGrid label={label} stages={stages} signs={found.signs} onToggle={(stage, place) => void act({ do: 'toggle_sign', plant, organism_id, stage, place })} />
      {found.signs.map((one, at) => (
        <SignFields
          key={`${at} ${one.stage} ${one.place}`}
          sign={one}
          onChange={(change) => void act({ do: 'edit_sign', plant, organism_id, at, change })}
          onDrop={() => {
            onGone();
            void act({ do: 'drop_sign', plant, organism_id, at });
          }}
          onAnother={() => void act({ do: 'add_sign', plant, organism_id, sign: { stage: one.stage, place: one.place, state: one.state === 'parasitised' ? 'alive' : 'parasitised' } })}
        />
      ))}
      {why && (
        <p class="walk-why" role="status">
          {sign.notCounted[why]}
        </p>
      )}
      <CheckField label={sign.dense} checked={found.dense_leaf} onChecked={(on) => void act({ do: 'dense', plant, organism_id, on })} />
    </>
  );
}

const states = ['alive', 'parasitised', 'host_fed', 'dried'] as const;
const amounts = ['few', 'some', 'many'] as const;
/** Colours often seen (common practice); stored in English, shown in the reader's language. */
const colours = ['tan', 'golden yellow', 'brown', 'black'] as const;

interface SignProps {
  sign: Sign;
  onChange: (change: Partial<Sign>) => void;
  onDrop: () => void;
  onAnother: () => void;
}

function SignFields({ sign, onChange, onDrop, onAnother }: SignProps) {
  const said = words.value.walk.sign;
  const known = colours.find((colour) => colour === sign.colour) ?? null;
  return (
    <fieldset class="walk-sign">
      <legend>{said.at(said.stages[sign.stage], said.places[sign.place])}</legend>
      {sign.stage !== 'empty_case' && (
        <ChoiceField
          label={said.state}
          quietLabel
          value={sign.state ?? 'alive'}
          onValue={(state) => onChange({ state })}
          options={states.map((value) => ({ value, label: said.states[value] }))}
        />
      )}
      <ChoiceField
        label={said.amount}
        quietLabel
        value={sign.amount ?? null}
        onValue={(amount) => onChange({ amount })}
        options={amounts.map((value) => ({ value, label: said.amounts[value] }))}
      />
      {sign.state === 'parasitised' && (
        <>
          <ChoiceField
            label={said.colour}
            hint={said.colourHint}
            value={known}
            onValue={(colour) => onChange({ colour })}
            options={colours.map((value) => ({ value, label: said.colours[value] }))}
          />
          <TextField
            label={said.colourOther}
            optional
            maxLength={40}
            value={known === null ? (sign.colour ?? '') : ''}
            onValue={(colour) => onChange({ colour: colour === '' ? null : colour })}
          />
        </>
      )}
      <div class="row">
        <Button kind="quiet" onClick={onDrop}>
          {said.drop}
        </Button>
        {sign.stage !== 'empty_case' && (
          <Button kind="quiet" onClick={onAnother}>
            {said.another}
          </Button>
        )}
      </div>
    </fieldset>
  );
}
