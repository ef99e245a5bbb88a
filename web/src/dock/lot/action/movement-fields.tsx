import { NumberField, SelectField, TextField } from '../../../parts';
import { words } from '../../../words';
import type { Found } from '../life/found';
import { asksTo, everywhere, sourcesOf, thereAt, unplaced, usualPlants, type MovementDraft, type Standing } from '../movement';
import { blockName } from '../places';
import { BlockSelect } from './block-select';
import { CustomerField } from './customer-field';
import { MergeField } from './merge-field';
import { ReasonField } from './reason-field';

interface Props {
  found: Found;
  standing: Standing;
  draft: MovementDraft;
  update: (next: (before: MovementDraft) => MovementDraft) => void;
}

function FromField({ found, standing, draft, update }: Props) {
  const said = words.value.dock.lot;
  const { common, dock } = words.value;
  const sources = sourcesOf(draft.kind, standing);
  if (sources.length === 0) return null;
  const name = (source: string): string =>
    source === everywhere ? dock.action.everywhere : source === unplaced ? said.notPlaced : blockName(found.places, source);
  const choose = (from: string | null): void =>
    update((before) => ({
      ...before,
      from,
      plants: before.kind === 'discard' ? before.plants : usualPlants(before.kind, from, standing),
      ...(before.kind === 'space' && before.to === before.from && { to: from }),
    }));
  return (
    <SelectField
      label={said.fromBlock}
      pointer="/from_block_id"
      value={draft.from}
      onValue={choose}
      options={sources.map((source) => ({ value: source, label: `${name(source)} (${common.plants(thereAt(source, standing) ?? 0)})` }))}
    />
  );
}

function PlantsField({ found, standing, draft, update }: Props) {
  const { dock } = words.value;
  const { kind } = draft;
  const there = kind === 'stick' ? standing.unplaced : thereAt(draft.from, standing);
  const label = kind === 'root' ? dock.action.stuck : kind === 'count' ? dock.action.found : dock.lot.movePlants;
  const hint =
    kind === 'receive'
      ? dock.lot.countHint(found.lot.plants)
      : there === null
        ? undefined
        : kind === 'count'
          ? dock.action.foundHint(there)
          : dock.lot.there(there);
  return (
    <NumberField
      label={label}
      pointer="/plants"
      min={kind === 'count' ? 0 : 1}
      steps
      value={draft.plants}
      onValue={(plants) => update((before) => ({ ...before, plants }))}
      hint={hint}
    />
  );
}

/** What a movement of this kind asks, and no more. */
export function MovementFields(props: Props) {
  const { found, draft, update } = props;
  const { lot, action } = words.value.dock;
  const { kind } = draft;
  const change = (part: Partial<MovementDraft>): void => update((before) => ({ ...before, ...part }));
  const to = asksTo(kind);
  const stays = kind === 'split' || kind === 'merge' ? action.staysThere : words.value.common.none;
  return (
    <>
      {kind === 'merge' ? <MergeField lot={found.lot} kin={found.kin} draft={draft} update={update} /> : <FromField {...props} />}
      {kind !== 'merge' && <PlantsField {...props} />}
      {kind === 'root' && (
        <NumberField label={action.rooted} hint={action.rootedHint} pointer="/rooted" min={0} steps value={draft.rooted} onValue={(rooted) => change({ rooted })} />
      )}
      {to !== 'never' && (
        <BlockSelect
          label={lot.toBlock}
          places={found.places}
          pointer="/to_block_id"
          near={draft.from}
          value={draft.to}
          onValue={(block) => change({ to: block })}
          {...(to === 'maybe' && { none: stays })}
          {...(kind === 'receive' && { hint: lot.toBlockHint })}
        />
      )}
      {kind === 'discard' && (
        <ReasonField
          label={lot.reason}
          ownLabel={action.holdWhyOwn}
          reasons={lot.reasons}
          maxLength={200}
          value={draft.reason}
          onValue={(reason) => change({ reason })}
        />
      )}
      {kind === 'dispatch' && <CustomerField customers={found.customers} value={draft.customer} onValue={(customer) => change({ customer })} />}
      {(kind === 'dispatch' || kind === 'discard') && (
        <TextField
          label={kind === 'dispatch' ? action.deliveryNote : action.recordOfDestruction}
          optional
          pointer="/paper_number"
          maxLength={100}
          value={draft.paper}
          onValue={(paper) => change({ paper })}
        />
      )}
      {(kind === 'split' || kind === 'merge') && (
        <TextField
          label={action.newLotCode}
          optional
          hint={action.newLotCodeHint}
          pointer={kind === 'split' ? '/parts/0/code' : '/code'}
          maxLength={40}
          value={draft.code}
          onValue={(code) => change({ code })}
        />
      )}
    </>
  );
}
