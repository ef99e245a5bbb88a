import { useState } from 'preact/hooks';

import { ChoiceField, TextField } from '../../../parts';
import { words } from '../../../words';

interface Props {
  label: string;
  ownLabel: string;
  reasons: readonly string[];
  value: string;
  onValue: (reason: string) => void;
  maxLength: number;
}

const other = 'other';

/** A reason of common practice by one tap, or another in one's own words. */
export function ReasonField({ label, ownLabel, reasons, value, onValue, maxLength }: Props) {
  const said = words.value.dock.action;
  const [own, setOwn] = useState(false);
  return (
    <>
      <ChoiceField
        label={label}
        pointer={own ? undefined : '/reason'}
        value={own ? other : value === '' ? null : value}
        onValue={(next) => {
          setOwn(next === other);
          onValue(next === other ? '' : next);
        }}
        options={[...reasons.map((reason) => ({ value: reason, label: reason })), { value: other, label: said.otherReason }]}
      />
      {own && <TextField label={ownLabel} pointer="/reason" maxLength={maxLength} value={value} onValue={onValue} />}
    </>
  );
}
