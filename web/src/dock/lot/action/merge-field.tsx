import { useState } from 'preact/hooks';

import { fetchAll } from '../../../api';
import type { Lot, Placement } from '../../../contract.gen';
import { heldDaybook } from '../../../local/daybook';
import { CheckField, ProblemNotice, useFault } from '../../../parts';
import { toProblem, type ApiProblem } from '../../../problem';
import { words } from '../../../words';
import { isSilent } from '../../shared/saving';
import { standingOf, toggleMerged, type MovementDraft } from '../movement';

interface Props {
  lot: Lot;
  kin: readonly Lot[];
  draft: MovementDraft;
  update: (next: (before: MovementDraft) => MovementDraft) => void;
}

/** Where a lot stands, from the daybook where the server does not answer. */
async function placementsOf(lotId: string): Promise<Placement[]> {
  try {
    return await fetchAll('placements', { lot_id: lotId });
  } catch (thrown) {
    const book = heldDaybook.peek();
    if (!book || !isSilent(toProblem(thrown))) throw thrown;
    return book.placements.filter(({ lot_id }) => lot_id === lotId);
  }
}

/** The other lots of a merge: those of the same cultivar at the site that have plants. */
export function MergeField({ lot, kin, draft, update }: Props) {
  const said = words.value.dock.action;
  const { common } = words.value;
  const fault = useFault('/parts');
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const others = kin
    .filter((each) => each.id !== lot.id && each.plants_on_hand > 0 && !each.withdrawn_because)
    .toSorted((a, b) => (a.code ?? '').localeCompare(b.code ?? '', undefined, { numeric: true }));
  if (others.length === 0) return <p class="quiet">{said.mergeNone}</p>;
  const toggle = async (other: Lot): Promise<void> => {
    try {
      const standing = standingOf(other, await placementsOf(other.id));
      update((before) => toggleMerged(before, { lotId: other.id, standing }));
      setProblem(null);
    } catch (thrown) {
      setProblem(toProblem(thrown));
    }
  };
  return (
    <fieldset class="dock-group">
      <legend>{said.mergeWith}</legend>
      <p class="quiet">{said.mergeHint}</p>
      {others.map((other) => (
        <CheckField
          key={other.id}
          label={`${other.code ?? ''} (${common.plants(other.plants_on_hand)})`}
          checked={draft.merged.some(({ lotId }) => lotId === other.id)}
          onChecked={() => void toggle(other)}
        />
      ))}
      {problem && <ProblemNotice problem={problem} />}
      {fault !== undefined && <p class="field-fault">{fault}</p>}
      {draft.merged.length > 1 && <p>{said.mergeSum(draft.merged.length, draft.plants ?? 0)}</p>}
    </fieldset>
  );
}
