import { useState } from 'preact/hooks';

import type { CropStage } from '../contract.gen';
import { ChoiceField, Details, SelectField, TextArea, TextField } from '../parts';
import { words } from '../words';
import type { Action, Draft } from './draft';

/** In the order plants go through them. */
const stages: readonly CropStage[] = ['unrooted', 'callused', 'rooting', 'established', 'pinched', 'shoots', 'bracts_colouring', 'finished'];

/** Where in a block with one tap; stored in English, shown in the reader's language, as colours are. */
const places = ['front', 'middle', 'back', 'left side', 'right side'] as const;

/** How far the crop is, in words. */
export function stageText(stage: CropStage): string {
  return words.value.walk.about.stages[stage];
}

/** Where a hot spot is, in the reader's language where it is a known word. */
export function placeText(where: string): string {
  const known: Record<string, string> = words.value.walk.about.places;
  return known[where] ?? where;
}

interface AboutProps {
  draft: Draft;
  disabled: boolean;
  act: (action: Action) => void;
}

/** What else there is to say of the block: a note, how far the crop is, where a hot spot is. */
export function AboutBlock({ draft, disabled, act }: AboutProps) {
  const { about, mark } = words.value.walk;
  const { note, crop_stage, hot_spot } = draft;
  const [open] = useState(note !== '');
  const said = [crop_stage && stageText(crop_stage), hot_spot && about.hotSpotAt(placeText(hot_spot))].filter(Boolean);
  const known = places.find((place) => place === hot_spot) ?? null;
  return (
    <Details summary={said.length > 0 ? said.join(' · ') : about.title} open={open}>
      <SelectField
        label={about.stage}
        optional
        empty={about.noStage}
        disabled={disabled}
        value={crop_stage}
        onValue={(stage) => act({ do: 'crop_stage', stage })}
        options={stages.map((value) => ({ value, label: stageText(value) }))}
      />
      <div class="stack">
        <ChoiceField
          label={about.hotSpot}
          value={hot_spot === '' ? 'none' : known}
          disabled={disabled}
          onValue={(where) => act({ do: 'hot_spot', where: where === 'none' ? '' : where })}
          options={[{ value: 'none', label: about.noHotSpot }, ...places.map((value) => ({ value, label: placeText(value) }))]}
        />
        <TextField
          label={about.elsewhere}
          hint={about.elsewhereHint}
          optional
          maxLength={120}
          disabled={disabled}
          value={known === null ? hot_spot : ''}
          onValue={(where) => act({ do: 'hot_spot', where })}
        />
      </div>
      <TextArea label={mark.noteLabel} optional maxLength={4000} value={note} disabled={disabled} onValue={(text) => act({ do: 'note', note: text })} />
    </Details>
  );
}
