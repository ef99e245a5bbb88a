import { useEffect, useRef } from 'preact/hooks';

import type { Sign } from '../contract.gen';
import { Button, CheckField, ChoiceField, TextField } from '../parts';
import { words } from '../words';
import { commonName } from '../organism';
import { foundOn, type Action, type Draft, type Found } from './draft';
import { stagesToNote, whyNotCounted } from './infested';
import type { Names } from './round';
import { SeverityRow, SignGrid } from './sign-grid';

interface SheetProps {
  plant: number;
  draft: Draft;
  act: (action: Action) => void;
  names: Names;
  onClose: () => void;
}

/** One plant in full: seen or not, each sign with its state, amount and colour. */
export function PlantSheet({ plant, draft, act, names, onClose }: SheetProps) {
  const { mark, sign } = words.value.walk;
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  const marked = draft.plants[plant];
  if (!marked) return null;
  return (
    <dialog ref={dialog} class="walk-sheet" aria-labelledby="walk-sheet-title" onClose={onClose}>
      <h2 id="walk-sheet-title">{mark.plant(plant + 1, marked.found.length > 0 ? mark.seenShort : mark.noneShort)}</h2>
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
                onValue={(value) => act({ do: 'see', plant, organism_id, seen: value === 'seen' })}
                options={[
                  { value: 'none', label: mark.none },
                  { value: 'seen', label: mark.seen },
                ]}
              />
              {found && <FoundFields found={found} plant={plant} act={act} names={names} />}
            </section>
          );
        })}
      <div class="form-actions">
        <Button kind="primary" onClick={() => dialog.current?.close()}>
          {sign.done}
        </Button>
        <Button
          onClick={() => {
            act({ do: 'drop', plant });
            onClose();
          }}
        >
          {sign.dropPlant}
        </Button>
      </div>
    </dialog>
  );
}

function FoundFields({ found, plant, act, names }: { found: Found; plant: number; act: (action: Action) => void; names: Names }) {
  const { sign } = words.value.walk;
  const { organism_id } = found;
  const organism = names.organism(organism_id);
  const stages = stagesToNote(organism);
  const why = whyNotCounted(found.signs, organism?.infested_stages ?? []);
  const name = commonName(organism);
  if (stages.length === 0) {
    return <SeverityRow label={name} value={found.severity} onValue={(severity) => act({ do: 'severity', plant, organism_id, severity })} />;
  }
  return (
    <>
      <SignGrid label={name} stages={stages} signs={found.signs} onToggle={(stage, place) => act({ do: 'toggle_sign', plant, organism_id, stage, place })} />
      {found.signs.map((one, at) => (
        <SignFields
          key={`${at} ${one.stage} ${one.place}`}
          sign={one}
          onChange={(change) => act({ do: 'edit_sign', plant, organism_id, at, change })}
          onDrop={() => act({ do: 'drop_sign', plant, organism_id, at })}
          onAnother={() => act({ do: 'add_sign', plant, organism_id, sign: { stage: one.stage, place: one.place, state: one.state === 'parasitised' ? 'alive' : 'parasitised' } })}
        />
      ))}
      {why && (
        <p class="walk-why" role="status">
          {sign.notCounted[why]}
        </p>
      )}
      <CheckField label={sign.dense} checked={found.dense_leaf} onChecked={(on) => act({ do: 'dense', plant, organism_id, on })} />
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
