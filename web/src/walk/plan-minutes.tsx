import { useEffect, useId, useState } from 'preact/hooks';

import type { Daybook, House } from '../contract.gen';
import { Button } from '../parts';
import { words } from '../words';
import { heldBook } from './daybook-store';
import { againOffered, readMinutes } from './minutes';
import type { HouseWalk } from './plan';
import { giveMinutes, minutesGiven, planAgain, planning } from './plan-store';

/** The minutes there are: planned anew when they are changed. Empty is as many as the rules need. */
export function PlanMinutes({ book, house, walk }: { book: Daybook; house: House; walk: HouseWalk }) {
  const { plan: said } = words.value.walk;
  const given = minutesGiven(book.week, house.id);
  const [text, setText] = useState(given === null ? '' : String(given));
  useEffect(() => setText(given === null ? '' : String(given)), [given]);
  const [focused, setFocused] = useState(false);
  const faultId = useId();
  const read = readMinutes(text);
  const busy = planning.value.has(house.id);
  const waits = given !== (walk.plan.minutes_given ?? null);
  const offered = againOffered({ waits, busy, focused });
  const again = (): void => void planAgain(() => heldBook(book.site.id), house.id);
  const take = (): void => {
    if (read.fault !== undefined || read.minutes === given) return;
    giveMinutes(book.week, house.id, read.minutes);
    again();
  };
  return (
    <form
      class="walk-minutes"
      onSubmit={(event) => {
        event.preventDefault();
        take();
      }}
    >
      <label>
        <span aria-hidden="true">{said.thereAre}</span>
        <input
          class="input input-number"
          type="text"
          inputMode="decimal"
          autocomplete="off"
          enterkeyhint="done"
          aria-label={said.minutesIn(house.name)}
          aria-invalid={read.fault !== undefined || undefined}
          aria-describedby={read.fault === undefined ? undefined : faultId}
          placeholder={String(Math.ceil(walk.plan.minutes))}
          value={text}
          onInput={(event) => setText(event.currentTarget.value)}
          onBlur={take}
        />
        <span aria-hidden="true">{said.unit}</span>
      </label>
      <p id={faultId} aria-live="polite" class={read.fault === undefined ? 'aside-only' : 'field-fault'}>
        {read.fault !== undefined && words.value.problems.fields[read.fault]}
      </p>
      <p role="status" class={busy || waits ? undefined : 'aside-only'}>
        {busy ? said.planning : waits ? said.notPlanned : ''}
      </p>
      {offered !== 'no' && (
        <Button
          aria-disabled={offered === 'off' || undefined}
          onFocus={() => setFocused(true)}
          onBlur={() => setFocused(false)}
          onClick={() => {
            if (offered === 'on') again();
          }}
        >
          {said.planAgain}
        </Button>
      )}
    </form>
  );
}
