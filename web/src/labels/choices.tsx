import { Button, CheckField, ChoiceField, Details, NumberField, Section } from '../parts';
import { words } from '../words';
import { layoutIds, layouts, mostCopies, perSheet, type LayoutId } from './layouts';
import { nameOf } from './said';
import { withinFault, type Wanted } from './wanted';
import type { Subject } from './subjects';

/** More than this are folded away, so that the sheet stays in sight. */
const openUpTo = 12;

interface Props {
  subjects: readonly Subject[];
  wanted: Wanted;
  change: (part: Partial<Wanted>) => void;
}

function Which({ subjects, wanted, change }: Props) {
  const { labels } = words.value;
  const some = subjects.length - wanted.without.size;
  const toggle = (id: string, on: boolean): void => {
    const without = new Set(wanted.without);
    if (on) without.delete(id);
    else without.add(id);
    change({ without });
  };
  return (
    <Details summary={labels.chosen(some, subjects.length)} open={subjects.length <= openUpTo}>
      <div class="row">
        <Button onClick={() => change({ without: new Set() })}>{labels.all}</Button>
        <Button onClick={() => change({ without: new Set(subjects.map(({ id }) => id)) })}>{labels.none}</Button>
      </div>
      <fieldset class="label-which">
        <legend class="aside-only">{subjects[0]?.kind === 'block' ? labels.whichBlocks : labels.whichLots}</legend>
        {subjects.map((subject) => (
          <CheckField key={subject.id} label={nameOf(subject)} checked={!wanted.without.has(subject.id)} onChecked={(on) => toggle(subject.id, on)} />
        ))}
      </fieldset>
    </Details>
  );
}

/** What is printed, how often, on which sheet, and from which place on. */
export function Choices({ subjects, wanted, change }: Props) {
  const { labels } = words.value;
  const layout = layouts[wanted.layout];
  const last = perSheet(layout);
  const paper = (id: LayoutId): { value: LayoutId; label: string; hint: string } => ({
    value: id,
    label: labels.layoutName(layouts[id].paper, layouts[id].columns, layouts[id].rows),
    hint: labels.layoutHint(layouts[id].width, layouts[id].height),
  });
  return (
    <Section title={labels.which}>
      {subjects.length > 1 && <Which subjects={subjects} wanted={wanted} change={change} />}
      <ChoiceField
        label={labels.layout}
        value={wanted.layout}
        onValue={(id) => change({ layout: id, start: Math.min(wanted.start ?? 1, perSheet(layouts[id])) })}
        options={layoutIds.map(paper)}
      />
      <div class="label-numbers">
        <NumberField
          label={labels.copies}
          hint={labels.copiesHint(mostCopies)}
          value={wanted.copies}
          onValue={(copies) => change({ copies })}
          min={1}
          max={mostCopies}
          steps
          error={withinFault(wanted.copies, mostCopies)}
        />
        <NumberField
          label={labels.start}
          hint={labels.startHint(last)}
          value={wanted.start}
          onValue={(start) => change({ start })}
          min={1}
          max={last}
          steps
          error={withinFault(wanted.start, last)}
        />
      </div>
    </Section>
  );
}
