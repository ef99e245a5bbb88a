import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useRef } from 'preact/hooks';

import { Button } from '../parts';
import { format, words } from '../words';
import { commonName } from '../organism';
import { countsOf, foundOn, notReady, type Action, type Draft, type Plant } from './draft';
import { grip } from './grip';
import { stagesToNote } from './infested';
import { MarkIcon } from './mark-icon';
import type { Names } from './round';
import { shapeOf, shapeText } from './shape';
import { SeverityRow, SignGrid } from './sign-grid';
import { shareOf } from './wilson';

interface PlantByPlantProps {
  draft: Draft;
  act: (action: Action) => void;
  names: Names;
  /** What the plan asks for here, and whether it is enough. */
  ask: ComponentChildren;
  ready: boolean;
  sending: boolean;
  onMark: (organismId: string | null) => void;
  onOpen: (plant: number) => void;
  onFinish: () => void;
}

/** Marks the plants one after another. Nothing moves while one taps. */
export function PlantByPlant(props: PlantByPlantProps) {
  const { draft, names, ready, sending, onFinish } = props;
  const { mark } = words.value.walk;
  return (
    <section class="walk-mark" aria-label={words.value.walk.settings.plants}>
      <div class="walk-readout">
        <div>
          {draft.sought.map(({ organism_id }) => (
            <Running key={organism_id} draft={draft} organismId={organism_id} names={names} />
          ))}
        </div>
        <Button kind="primary" busy={sending} disabled={!ready || notReady(draft) !== null} onClick={onFinish}>
          {sending ? mark.finishing : mark.finish}
        </Button>
      </div>
      {props.ask}
      <Strip {...props} />
      <LastPlant {...props} />
      <Targets {...props} />
    </section>
  );
}

function Running({ draft, organismId, names }: { draft: Draft; organismId: string; names: Names }) {
  const { mark } = words.value.walk;
  const f = format.value;
  const organism = names.organism(organismId);
  const { looked_at, seen, infested: with_ } = countsOf(draft, organismId, organism?.infested_stages ?? []);
  const share = shareOf(with_, looked_at);
  return (
    <p class="walk-running">
      <b>{looked_at > 0 ? f.of(with_, looked_at) : mark.noPlants}</b>
      {looked_at > 0 && ` ${f.interval(share.infested_percent, share.lower_percent, share.upper_percent)}`}
      <span class="walk-line quiet">
        {[draft.sought.length > 1 && commonName(organism), seen > with_ && mark.notCounted(seen - with_)].filter(Boolean).join(' · ') || '\u00a0'}
      </span>
    </p>
  );
}

function Strip({ draft, act, names, ready, onOpen }: PlantByPlantProps) {
  const { mark } = words.value.walk;
  const row = useRef<HTMLOListElement>(null);
  const count = draft.plants.length;
  useLayoutEffect(() => {
    if (row.current) row.current.scrollLeft = row.current.scrollWidth;
  }, [count]);
  return (
    <div class="walk-strip">
      <ol ref={row} aria-label={mark.strip}>
        {draft.plants.map((plant, i) => (
          <MarkedPlant key={i} plant={plant} at={i} names={names} ready={ready} onOpen={onOpen} />
        ))}
      </ol>
      <Button disabled={!ready} aria-disabled={count === 0 || undefined} aria-label={mark.undoLabel} onClick={() => act({ do: 'undo' })}>
        {mark.undo}
      </Button>
    </div>
  );
}

interface MarkedProps {
  plant: Plant;
  at: number;
  names: Names;
  ready: boolean;
  onOpen: (plant: number) => void;
}

/** One plant of the strip. It is drawn anew only when something of its own changes: a strip may have hundreds. */
function MarkedPlant({ plant, at, names, ready, onOpen }: MarkedProps) {
  const { mark } = words.value.walk;
  const shape = shapeOf(plant, names);
  return (
    <li>
      <button type="button" class="walk-plant" aria-label={mark.plant(at + 1, shapeText(shape))} disabled={!ready} onClick={() => onOpen(at)}>
        <MarkIcon shape={shape} />
        <small>{at + 1}</small>
      </button>
    </li>
  );
}

/** Where and what on the plant just marked: one tap, or none. */
function LastPlant({ draft, act, names, ready, onOpen }: PlantByPlantProps) {
  const { mark } = words.value.walk;
  const plant = draft.plants.length - 1;
  const found = draft.plants[plant]?.found.at(-1);
  const organism_id = found?.organism_id ?? draft.sought[0]?.organism_id ?? '';
  const organism = names.organism(organism_id);
  const stages = stagesToNote(organism);
  if (!draft.note_signs) return null;
  const title = found ? mark.panel(plant + 1, draft.sought.length > 1 ? commonName(organism) : '') : mark.panelIdle;
  const here = foundOn(draft.plants[plant], organism_id);
  return (
    <div class="walk-last">
      <div class="walk-last-head">
        <p>{title}</p>
        <Button disabled={!ready || !found} onClick={() => onOpen(plant)}>
          {mark.more}
        </Button>
      </div>
      {stages.length > 0 ? (
        <SignGrid
          label={title}
          stages={stages}
          signs={here?.signs ?? []}
          disabled={!ready || !found}
          onToggle={(stage, place) => act({ do: 'toggle_sign', plant, organism_id, stage, place })}
        />
      ) : (
        <SeverityRow
          label={title}
          value={here?.severity ?? null}
          disabled={!ready || !found}
          onValue={(severity) => act({ do: 'severity', plant, organism_id, severity })}
        />
      )}
    </div>
  );
}

function Targets({ draft, names, ready, onMark }: PlantByPlantProps) {
  const { mark } = words.value.walk;
  const none = (
    <button key="none" type="button" class="walk-target walk-none" disabled={!ready} onClick={() => onMark(null)}>
      <MarkIcon shape="none" />
      {mark.none}
    </button>
  );
  const seen = (
    <div key="seen" class="walk-seens">
      {draft.sought.map(({ organism_id }) => (
        <button key={organism_id} type="button" class="walk-target walk-seen" disabled={!ready} onClick={() => onMark(organism_id)}>
          <MarkIcon shape="seen" />
          {draft.sought.length > 1 ? mark.seenOf(commonName(names.organism(organism_id))) : mark.seen}
        </button>
      ))}
    </div>
  );
  return (
    <div class="walk-targets">
      {grip.value.left ? [seen, none] : [none, seen]}
      <p class="walk-keys">{mark.keys}</p>
    </div>
  );
}
