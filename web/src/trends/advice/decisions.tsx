import { useState } from 'preact/hooks';

import { save } from '../../api';
import type { Advice, AdviceList, Decision as Stored } from '../../contract.gen';
import { Button, notify } from '../../parts';
import { problemText, toProblem } from '../../problem';
import { hasRole, session } from '../../session';
import { format, words } from '../../words';
import { useFocusNext } from '../focus-next';
import { More } from '../more';
import { takenBack } from './corrections';
import { Decision, type Change } from './decision';
import { DecisionForm } from './decision-form';
import { draftKey, isBegun, keptDraft } from './draft';
import { figuresOf, figuresText } from './figures';
import { WithdrawnDecisions } from './withdrawn';

interface DecisionsProps {
  advice: Advice;
  list: AdviceList;
  onChange: () => void;
}

/** What people decided for this cultivar in this house, and the place to write down more. */
export function Decisions({ advice, list, onChange }: DecisionsProps) {
  const { advice: say, common } = words.value;
  const { organism_id: organism, season_id: season } = list;
  const keep = draftKey(session.value?.person.id ?? '', advice, list);
  const mayWrite = hasRole(advice.site_id, 'grower', 'owner');
  const [open, setOpen] = useState<'kept' | 'asked' | null>(() => {
    const kept = keptDraft(keep);
    return mayWrite && kept !== null && isBegun(kept) ? 'kept' : null;
  });
  const { place, next } = useFocusNext<HTMLElement>();
  const standing = advice.decisions.filter((decision) => !decision.withdrawn_because);
  const now = figuresText(figuresOf(advice), { words: words.value, format: format.value });

  const undo = (stored: Stored): void => {
    save('decisions', stored.id, takenBack(stored, say.takenBack), stored.version).then(
      () => {
        notify(common.undone);
        changed('withdraw');
      },
      (thrown: unknown) => notify(problemText(toProblem(thrown), words.value)),
    );
  };
  const recorded = (stored: Stored): void => {
    next((part) => part.querySelector<HTMLElement>(`#decision-${stored.id}`));
    setOpen(null);
    notify(say.recorded, { undo: () => undo(stored) });
    onChange();
  };
  const cancelled = (): void => {
    next((part) => part.querySelector<HTMLElement>('.decision-record'));
    setOpen(null);
  };
  const changed = (how: Change): void => {
    if (how === 'withdraw') next((part) => part.querySelector<HTMLElement>('h4')); // its article goes
    onChange();
  };

  return (
    <section class="advice-part" ref={place}>
      <h4 tabIndex={-1}>{say.decided}</h4>
      <p class="quiet">{say.decidedLead}</p>
      {standing.length === 0 ? <p>{say.noDecision}</p> : <p>{say.now(now)}</p>}
      {standing.map((decision) => (
        <Decision key={decision.id} decision={decision} mayWrite={mayWrite} onChange={changed} />
      ))}
      {!mayWrite && <p class="quiet">{say.mayNot}</p>}
      {mayWrite && (organism === null || season === null) && <p class="quiet">{say.noSeason}</p>}
      {mayWrite && organism !== null && season !== null && (
        <>
          {open !== null ? (
            <DecisionForm
              key={keep}
              advice={advice}
              organism={organism}
              season={season}
              keep={keep}
              asked={open === 'asked'}
              onSaved={recorded}
              onClose={cancelled}
            />
          ) : (
            <div>
              <Button kind="strong" class="decision-record" aria-label={say.recordOf(say.of(advice.cultivar, advice.house))} onClick={() => setOpen('asked')}>
                {say.record}
              </Button>
            </div>
          )}
        </>
      )}
      <More class="advice-fold" summary={say.withdrawnList}>
        {() => <WithdrawnDecisions advice={advice} list={list} />}
      </More>
    </section>
  );
}
