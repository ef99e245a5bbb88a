import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

import { Answer, Busy, Button, ChoiceField, Facts, Field, Form, ProblemNotice, Section, useLoad } from '../parts';
import { go, useRoute } from '../router';
import { Marked } from '../trends/marked';
import { words } from '../words';
import { ask, type AnswerOf } from './ask';
import { members, type Member, type SumId } from './members';
import { addressOf, unreadable, type Texts } from './state';

/** What stands under the fields of a sum. */
export interface Result {
  answer: string;
  /** Facts beside method and source. */
  facts?: readonly { term: string; value: ComponentChildren }[];
  more?: ComponentChildren;
}

interface FieldProps {
  sum: SumId;
  member: Member;
  value: string;
  wrong: boolean;
  onValue: (text: string) => void;
}

function SumField({ sum, member, value, wrong, onValue }: FieldProps) {
  const { sums, problems } = words.value;
  const labels: Partial<Record<string, string>> = sums.fields[sum];
  const hints: Partial<Record<string, string>> = sums.hints[sum];
  const choices: Partial<Record<string, string>> = sums.choices;
  const label = labels[member.name] ?? member.name;
  const pointer = `query/${member.name}`;
  if (member.kind === 'choice') {
    const options = member.choices.map((choice) => ({ value: choice, label: choices[choice] ?? choice }));
    return <ChoiceField label={label} pointer={pointer} value={value} onValue={onValue} options={options} />;
  }
  return (
    <Field label={label} hint={hints[member.name]} pointer={pointer} optional={member.optional} error={wrong ? problems.fields.type : undefined}>
      {(attributes) => (
        <div class="number">
          <input
            {...attributes}
            class="input input-number"
            type="text"
            inputMode={member.kind === 'count' ? 'numeric' : 'text'} // decimal keyboards of phones lack the minus
            autocomplete="off"
            value={value}
            onInput={(event) => onValue(event.currentTarget.value)}
          />
          {member.unit !== undefined && <span class="unit">{member.unit}</span>}
        </div>
      )}
    </Field>
  );
}

interface SumProps<S extends SumId> {
  sum: S;
  /** The fields it was last asked with. */
  asked: Texts;
  children: (answer: AnswerOf<S>, asked: Texts) => Result;
}

/** One sum: its fields, the answer in a sentence, then how it was come by. */
export function Sum<S extends SumId>({ sum, asked, children }: SumProps<S>) {
  const { sums } = words.value;
  const address = addressOf(sum, asked);
  const place = useRef<HTMLDivElement>(null);
  const [texts, setTexts] = useState(asked);
  const [wrong, setWrong] = useState<readonly string[]>([]);
  const [worked, setWorked] = useState(false);
  const load = useLoad(async (signal) => ({ asked, answer: await ask(sum, asked, signal) }), [address]);
  const { query } = useRoute();
  useEffect(() => {
    setTexts(asked);
    setWrong([]);
  }, [address]);
  useEffect(() => {
    if (query.get('sum') === sum) place.current?.scrollIntoView();
  }, []);
  const submit = (): void => {
    const found = unreadable(sum, texts);
    setWrong(found);
    if (found.length > 0) {
      const first = members[sum].findIndex(({ name }) => name === found[0]);
      place.current?.querySelectorAll<HTMLInputElement>('input[type=text]')[first]?.focus();
      return;
    }
    setWorked(true);
    const next = addressOf(sum, texts);
    go(next, { replace: next === location.pathname + location.search, keepScroll: true });
    if (next === address) load.reload();
  };
  const faulty = load.problem !== undefined && load.problem.faults.length > 0;
  const result = load.data && !load.problem ? children(load.data.answer, load.data.asked) : null;
  return (
    <div class="sum" id={`sum-${sum}`} ref={place} tabIndex={-1} aria-busy={load.loading}>
      <Section title={sums.name[sum]} lead={sums.leads[sum]}>
        <div class="sum-body">
          <Form problem={faulty ? load.problem : null} onSubmit={submit} label={sums.name[sum]}>
            <div class="form-row">
              {members[sum].map((member) => (
                <SumField
                  key={member.name}
                  sum={sum}
                  member={member}
                  value={texts[member.name] ?? ''}
                  wrong={wrong.includes(member.name)}
                  onValue={(text) => setTexts((before) => ({ ...before, [member.name]: text }))}
                />
              ))}
            </div>
            <div class="form-actions">
              <Button type="submit" kind="strong">
                {sums.work}
              </Button>
            </div>
          </Form>
          <div class="sum-result">
            <div aria-live={worked ? 'polite' : undefined}>
              {result && (
                <Answer>
                  <Marked text={result.answer} />
                </Answer>
              )}
            </div>
            {!result && load.loading && <Busy />}
            {load.problem && !faulty && <ProblemNotice problem={load.problem} onRetry={load.reload} />}
            {result && load.data && (
              <Facts
                items={[
                  ...(result.facts ?? []),
                  { term: sums.method, value: load.data.answer.method },
                  { term: sums.source, value: load.data.answer.source },
                ]}
              />
            )}
            {result?.more}
          </div>
        </div>
      </Section>
    </div>
  );
}
