import type { ComponentChildren } from 'preact';

import { Button, Details, Form, NumberField } from '../parts';
import type { ApiProblem } from '../problem';
import { format, words } from '../words';
import { commonName } from '../organism';
import { notReady, type Action, type Draft } from './draft';
import { stagesToNote } from './infested';
import type { Names } from './round';
import { SignGrid } from './sign-grid';
import { shareOf } from './wilson';

interface TallyProps {
  draft: Draft;
  act: (action: Action) => void;
  names: Names;
  /** What the plan asks for here, and whether it is enough. */
  ask: ComponentChildren;
  ready: boolean;
  sending: boolean;
  problem: ApiProblem | null;
  moment: () => string;
  onFinish: () => void;
}

/** How many plants were looked at and how many had it, counted in the head. */
export function Tally({ draft, act, names, ask, ready, sending, problem, moment, onFinish }: TallyProps) {
  const { tally, mark } = words.value.walk;
  const f = format.value;
  return (
    <Form label={words.value.walk.settings.tally} problem={problem?.faults.length ? problem : null} onSubmit={onFinish}>
      {draft.sought.map(({ organism_id, looked_at, infested, signs }, i) => {
        const organism = names.organism(organism_id);
        const stages = stagesToNote(organism);
        const tooMany = (infested ?? 0) > (looked_at ?? Number.POSITIVE_INFINITY);
        const share = looked_at !== null && infested !== null && looked_at > 0 && !tooMany ? shareOf(infested, looked_at) : null;
        const put = (change: { looked_at?: number | null; infested?: number | null }): void =>
          act({ do: 'tally', organism_id, looked_at, infested, ...change, at: moment() });
        return (
          <fieldset key={organism_id} class="walk-tally">
            <legend>{commonName(organism)}</legend>
            <div class="form-row">
              <NumberField
                label={tally.lookedAt}
                pointer={`/targets/${i}/tally/plants_looked_at`}
                value={looked_at}
                min={0}
                max={5000}
                steps
                disabled={!ready}
                onValue={(n) => put({ looked_at: n })}
              />
              <NumberField
                label={tally.infested}
                hint={tally.infestedHint}
                pointer={`/targets/${i}/tally/infested_plants`}
                {...(tooMany && { error: tally.moreThanLookedAt })}
                value={infested}
                min={0}
                max={5000}
                steps
                disabled={!ready}
                onValue={(n) => put({ infested: n })}
              />
            </div>
            <p class="walk-running" role="status">
              {share ? (
                <>
                  <b>{f.of(share.infested_plants, share.plants_looked_at)}</b>{' '}
                  {f.interval(share.infested_percent, share.lower_percent, share.upper_percent)}
                </>
              ) : (
                '\u00a0'
              )}
            </p>
            {stages.length > 0 && (
              <Details summary={signs.length > 0 ? `${tally.signs} · ${tally.open(signs.length)}` : tally.signs}>
                <SignGrid
                  label={tally.signs}
                  stages={stages}
                  signs={signs}
                  disabled={!ready}
                  onToggle={(stage, place) => act({ do: 'block_sign', organism_id, stage, place })}
                />
              </Details>
            )}
          </fieldset>
        );
      })}
      {ask}
      <div class="form-actions">
        <Button kind="primary" size="large" type="submit" busy={sending} disabled={!ready || notReady(draft) !== null}>
          {sending ? mark.finishing : mark.finish}
        </Button>
      </div>
    </Form>
  );
}
