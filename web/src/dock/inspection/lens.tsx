import { useState } from 'preact/hooks';

import { ChoiceField, NumberField } from '../../parts';
import { format, words } from '../../words';
import type { InspectionDraft } from './draft';

const usual = ['10', '15', '20'] as const;
type Choice = 'none' | (typeof usual)[number] | 'other';

interface Props {
  lens: InspectionDraft['lens'];
  error: string | undefined;
  change: (lens: InspectionDraft['lens']) => void;
}

function choiceOf(lens: InspectionDraft['lens']): Choice | null {
  if (lens === null || lens === 'none') return lens;
  return usual.find((power) => Number(power) === lens) ?? 'other';
}

/** With which lens one looks; someone has to say, because eggs cannot be seen without. */
export function LensField({ lens, error, change }: Props) {
  const said = words.value.dock.inspection;
  const [other, setOther] = useState(choiceOf(lens) === 'other');
  const choose = (choice: Choice): void => {
    setOther(choice === 'other');
    change(choice === 'none' ? 'none' : choice === 'other' ? null : Number(choice));
  };
  return (
    <div class="stack">
      <ChoiceField
        label={said.lens}
        hint={said.lensHint}
        error={error}
        value={other ? 'other' : choiceOf(lens)}
        onValue={choose}
        options={[
          { value: 'none', label: said.noLens },
          ...usual.map((value) => ({ value, label: said.times(value) })),
          { value: 'other', label: said.otherLens },
        ]}
      />
      {other && (
        <NumberField
          label={said.otherLens}
          unit="×"
          decimals={1}
          min={1}
          max={100}
          pointer="/lens_power"
          value={typeof lens === 'number' ? lens : null}
          onValue={change}
          hint={typeof lens === 'number' ? said.times(format.value.number(lens)) : undefined}
        />
      )}
    </div>
  );
}
