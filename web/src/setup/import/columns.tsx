import { fetchAll } from '../../api';
import type { ImportReading } from '../../contract.gen';
import { Loaded, Section, SelectField, TextField, useLoad } from '../../parts';
import { words } from '../../words';
import { organismOptions } from '../organisms';
import { columnsOf, kindOf, kinds, lacking, placed, type Choices } from './choices';

interface Props {
  reading: ImportReading;
  choices: Choices;
  change: (part: Partial<Choices>) => void;
}

/** Which column holds what, with what stands in it. */
export function Columns({ reading, choices, change }: Props) {
  const { imports } = words.value;
  const columns = columnsOf(reading, choices);
  const headingOf = (at: number): string => reading.headings[at] || imports.noHeading(at + 1);
  return (
    <Section title={imports.columns} lead={imports.columnsLead}>
      <div class="table-scroll" role="region" aria-label={imports.columns} tabIndex={0}>
        <table class="table table-stack import-columns">
          <caption class="aside-only">{imports.columns}</caption>
          <thead>
            <tr>
              <th scope="col">{imports.heading}</th>
              <th scope="col">{imports.holds}</th>
              <th scope="col">{imports.first}</th>
            </tr>
          </thead>
          <tbody>
            {reading.headings.map((_, at) => (
              <tr key={at}>
                <th scope="row">{headingOf(at)}</th>
                <td data-head={imports.holds}>
                  <select
                    class="input"
                    aria-label={imports.holdsOf(headingOf(at))}
                    value={columns[at] ?? ''}
                    onChange={(event) => change({ columns: placed(columns, at, kindOf(event.currentTarget.value)) })}
                  >
                    <option value="">{imports.unused}</option>
                    {kinds.map((kind) => (
                      <option key={kind} value={kind}>
                        {imports.kind[kind]}
                      </option>
                    ))}
                  </select>
                </td>
                <td data-head={imports.first} class="import-first">
                  {reading.preview
                    .slice(0, 3)
                    .map((row) => row[at] ?? '')
                    .filter(Boolean)
                    .join(' · ')}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <Always reading={reading} choices={choices} change={change} />
    </Section>
  );
}

/** What holds for every line where no column says it. */
function Always({ reading, choices, change }: Props) {
  const { imports } = words.value;
  const organisms = useLoad((signal) => fetchAll('organisms', {}, signal), []);
  const kindsToSay = lacking(columnsOf(reading, choices));
  if (kindsToSay.length === 0) return null;
  return (
    <fieldset class="import-always">
      <legend>{imports.always}</legend>
      <p class="field-hint">{imports.alwaysLead}</p>
      <div class="import-fields">
        {kindsToSay.map((kind) => {
          const value = choices.always[kind] ?? '';
          const set = (text: string): void => change({ always: { ...choices.always, [kind]: text } });
          if (kind !== 'organism') {
            return <Typed key={kind} label={imports.kind[kind]} value={value} onValue={set} />;
          }
          return (
            <Loaded key={kind} of={organisms}>
              {(all) => (
                <SelectField
                  label={imports.kind.organism}
                  optional
                  value={all.find((one) => one.scientific_name === value)?.id ?? null}
                  onValue={(id) => set(all.find((one) => one.id === id)?.scientific_name ?? '')}
                  options={organismOptions(all)}
                />
              )}
            </Loaded>
          );
        })}
      </div>
    </fieldset>
  );
}

function Typed({ label, value, onValue }: { label: string; value: string; onValue: (text: string) => void }) {
  return <TextField label={label} optional value={value} onValue={onValue} maxLength={200} />;
}
