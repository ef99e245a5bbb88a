import type { Daybook, SecondLook } from '../contract.gen';
import { uuid7 } from '../local/uuid7';
import { CheckField, ChoiceField, Details, Pause, Tag } from '../parts';
import { Link } from '../router';
import { format, words } from '../words';
import type { Action, Draft } from './draft';
import type { HouseRound, Names, Stop } from './round';
import { lotName, stopAddress, stopName } from './said';
import { isLate, secondLookDue } from './second-look';

const lenses = ['none', '10', '15', '20'] as const;

interface ChoiceProps {
  book: Daybook;
  draft: Draft;
  names: Names;
  disabled: boolean;
  act: (action: Action) => void;
}

/** Whether the look in hand is also the second look of its lot, where that is due. */
export function SecondLookChoice({ book, draft, names, disabled, act }: ChoiceProps) {
  const { second } = words.value.walk;
  const due = secondLookDue(book, draft.lot_id);
  if (!due || draft.purpose === 'on_purpose' || draft.version !== null) return null;
  return (
    <div class="walk-second">
      <CheckField
        label={second.also(lotName(names.lot(draft.lot_id), names))}
        hint={windowText(book, due)}
        checked={draft.second !== null}
        disabled={disabled}
        onChecked={(on) => act({ do: 'second_look', id: on ? uuid7() : null })}
      />
      {draft.second && (
        <ChoiceField
          label={second.lens}
          value={draft.second.lens === null ? 'none' : (lenses.find((power) => Number(power) === draft.second?.lens) ?? null)}
          disabled={disabled}
          onValue={(power) => act({ do: 'lens', power: power === 'none' ? null : Number(power) })}
          options={lenses.map((value) => ({ value, label: value === 'none' ? second.noLens : second.times(value) }))}
        />
      )}
    </div>
  );
}

/** "due 2 Sep to 6 Sep", "late: was due by 6 Sep" */
function windowText(book: Daybook, due: SecondLook): string {
  const { second } = words.value.walk;
  const f = format.value;
  return isLate(book, due) ? second.lateSince(f.date(due.due_to)) : second.window(f.date(due.due_from), f.date(due.due_to));
}

/** That the second look of a lot is due, in a row of the list. */
export function SecondLookTag({ book, lotId }: { book: Daybook; lotId: string }) {
  const { second } = words.value.walk;
  const due = secondLookDue(book, lotId);
  return due ? <Tag strong={isLate(book, due)}>{isLate(book, due) ? second.late : second.due}</Tag> : null;
}

/** The second looks that are due in the blocks one walks, each with its first block: also those of lots that the plan leaves out. */
export function SecondLooks({ book, rounds, names }: { book: Daybook; rounds: readonly HouseRound[]; names: Names }) {
  const { second } = words.value.walk;
  const first = new Map<string, { stop: Stop; due: SecondLook }>();
  for (const stop of rounds.flatMap(({ stops }) => stops)) {
    for (const { lot_id } of stop.standing) {
      const due = secondLookDue(book, lot_id);
      if (due && !first.has(lot_id)) first.set(lot_id, { stop, due });
    }
  }
  if (first.size === 0) return null;
  return (
    <Details summary={second.list(first.size, [...first.values()].filter(({ due }) => isLate(book, due)).length)}>
      <ul class="walk-seconds">
        {[...first].map(([lotId, { stop, due }]) => (
          <li key={lotId}>
            <Link to={stopAddress(stop.block.id, lotId)}>
              <b>{lotName(names.lot(lotId), names)}</b>
              <Pause />
              <span class="walk-line">{[stopName(stop), windowText(book, due)].join(' · ')}</span>
            </Link>
          </li>
        ))}
      </ul>
    </Details>
  );
}
