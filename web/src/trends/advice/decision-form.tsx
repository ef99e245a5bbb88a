import { useEffect, useRef, useState } from 'preact/hooks';

import { fetchOne, save } from '../../api';
import type { Advice, Decision, DecisionBody } from '../../contract.gen';
import { atZone } from '../../local/zone';
import { Button, ChoiceField, Form, TextArea } from '../../parts';
import { toProblem, type ApiProblem } from '../../problem';
import { serverNow } from '../../session';
import { format, words } from '../../words';
import { zoneOf } from '../names';
import { bodyOf, isBegun, isRefused, keepDraft, keptDraft, newDraft, type DecisionDraft } from './draft';
import { figuresOf, figuresText } from './figures';

const choices = ['look_at_more', 'stay_biological', 'deal_with_hot_spots', 'selective_control', 'something_else'] as const satisfies readonly DecisionBody['choice'][];

/** Stores a decision. When an earlier try did arrive after all, what was changed since goes on top of it. */
async function store(id: string, body: DecisionBody): Promise<Decision> {
  try {
    return await save('decisions', id, body);
  } catch (thrown) {
    if (!toProblem(thrown).isConflict) throw thrown;
    const { version } = await fetchOne('decisions', id);
    return save('decisions', id, body, version);
  }
}

interface DecisionFormProps {
  advice: Advice;
  season: string;
  organism: string;
  /** Where the draft is kept. */
  keep: string;
  /** It was asked for: the first field takes the focus. */
  asked: boolean;
  onSaved: (stored: Decision) => void;
  onClose: () => void;
}

/** What a person decides, and why. Nothing typed is lost: it is kept until the server has it. */
export function DecisionForm({ advice, season, organism, keep, asked, onSaved, onClose }: DecisionFormProps) {
  const { advice: say, common } = words.value;
  const [draft, setDraft] = useState<DecisionDraft>(() => keptDraft(keep) ?? newDraft());
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const [busy, setBusy] = useState(false);
  const [tried, setTried] = useState(false);
  const resumed = useRef(isBegun(draft));
  const place = useRef<HTMLDivElement>(null);
  const speech = { words: words.value, format: format.value };
  const change = (part: Partial<DecisionDraft>): void =>
    setDraft((now) => {
      const next = { ...now, ...part };
      keepDraft(keep, next);
      return next;
    });
  useEffect(() => {
    if (asked) place.current?.querySelector<HTMLElement>('input')?.focus();
  }, []);

  const cancel = (): void => {
    if (draft.sent === null) keepDraft(keep, null); // else it may have arrived: it keeps its id
    onClose();
  };

  const send = async (): Promise<void> => {
    setTried(true);
    const body = bodyOf(draft, () => ({
      house_id: advice.house_id,
      cultivar_id: advice.cultivar_id,
      organism_id: organism,
      season_id: season,
      decided_at: atZone(serverNow(), zoneOf(advice.site_id)),
      figures: figuresOf(advice),
    }));
    if (body === null) return;
    const before = draft.sent; // an earlier try may have arrived, whatever becomes of this one
    change({ sent: body });
    setBusy(true);
    try {
      const stored = await store(draft.id, body);
      keepDraft(keep, null);
      onSaved(stored);
    } catch (thrown) {
      const failed = toProblem(thrown);
      if (isRefused(failed)) change({ sent: before });
      setProblem(failed);
      setBusy(false);
    }
  };

  return (
    <div ref={place} class="advice-form">
      <Form problem={problem} label={say.recordOf(say.of(advice.cultivar, advice.house))} onSubmit={() => void send()}>
        {resumed.current && !tried && <p class="quiet">{say.keptDraft}</p>}
        <ChoiceField
          label={say.choiceLabel}
          pointer="/choice"
          value={draft.choice}
          onValue={(choice) => change({ choice })}
          options={choices.map((value) => ({ value, label: say.choice[value] }))}
          {...(tried && draft.choice === null && { error: say.chooseFirst })}
        />
        <TextArea
          label={say.because}
          hint={say.becauseHint}
          pointer="/because"
          maxLength={1000}
          value={draft.because}
          onValue={(because) => change({ because })}
          {...(tried && draft.because.trim() === '' && { error: say.whyFirst })}
        />
        <p class="quiet">{say.keptWith(figuresText(figuresOf(advice), speech))}</p>
        <div class="form-actions">
          <Button kind="primary" type="submit" busy={busy}>
            {busy ? common.saving : say.save}
          </Button>
          <Button onClick={cancel}>{common.cancel}</Button>
        </div>
      </Form>
    </div>
  );
}
