import { Button, Empty, Form, NumberField, SelectField, TextArea, TextField } from '../../parts';
import { format, words } from '../../words';
import { rowKey, sentIndex, withoutRow, withRow } from '../shared/drafts';
import { cultivarName, organismName } from '../shared/names';
import type { Saving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import { faultKinds, isBlankItem, type ClaimDraft, type FaultKind, type ItemDraft } from './draft';
import type { Found } from './found';
import { hintsLeft, hintsOf, type Hint } from './hints';

interface Props {
  draft: ClaimDraft;
  change: (part: Partial<ClaimDraft>) => void;
  found: Found;
  saving: Saving;
  onSubmit: () => void;
  onCancel?: () => void;
}

/** What people call the lot of a line. */
function lotName({ lots, names }: Found, lotId: string | null): string {
  const { dock } = words.value;
  const lot = lots.find(({ id }) => id === lotId);
  return lot ? dock.lot.title(lot.code ?? '', cultivarName(names, lot.cultivar_id)) : dock.claim.wholeShipment;
}

function HintLine({ hint, found, onAdd }: { hint: Hint; found: Found; onAdd: () => void }) {
  const { dock, common } = words.value;
  const said = dock.claim;
  const name = `${said.what[hint.what]}, ${lotName(found, hint.lotId)}`;
  return (
    <li class="dock-line">
      <p class="dock-hint">
        <b>{said.what[hint.what]}</b> {lotName(found, hint.lotId)}
        {hint.plants !== null && <span> · {common.plants(hint.plants)}</span>}
        <span class="quiet dock-hint-note">{hint.note}</span>
      </p>
      <Button aria-label={said.addOf(name)} onClick={onAdd}>
        {said.add}
      </Button>
    </li>
  );
}

function Hints({ found, items, onAdd }: { found: Found; items: readonly ItemDraft[]; onAdd: (hint: Hint) => void }) {
  const said = words.value.dock.claim;
  const hints = hintsOf(found, {
    words: words.value,
    f: format.value,
    zone: zoneOf(found.shipment.site_id),
    cultivar: (id) => cultivarName(found.names, id),
    organism: (id) => organismName(found.names, id),
  });
  const left = hintsLeft(hints, items);
  if (hints.length > 0 && left.length === 0) return null;
  return (
    <fieldset class="dock-group">
      <legend>{said.hints}</legend>
      <p class="lead">{hints.length === 0 ? said.hintsNone : said.hintsLead}</p>
      {left.length > 0 && (
        <ul class="dock-list">
          {left.map((hint) => (
            <HintLine key={`${hint.lotId ?? ''} ${hint.what}`} hint={hint} found={found} onAdd={() => onAdd(hint)} />
          ))}
        </ul>
      )}
    </fieldset>
  );
}

function ItemRow({ draft, change, found, at }: Pick<Props, 'draft' | 'change' | 'found'> & { at: number }) {
  const { dock } = words.value;
  const said = dock.claim;
  const { items } = draft;
  const item = items[at];
  if (!item) return null;
  const sent = sentIndex(items, at, isBlankItem);
  const pointer = (member: string) => (sent === null ? {} : { pointer: `/items/${sent}/${member}` });
  const set = (part: Partial<ItemDraft>): void => change({ items: withRow(items, at, part) });
  return (
    <div class="dock-row">
      <SelectField<FaultKind>
        label={said.fault}
        {...pointer('what')}
        value={item.what}
        onValue={(what) => set({ what })}
        options={faultKinds.map((value) => ({ value, label: said.what[value] }))}
      />
      <SelectField
        label={said.lot}
        {...pointer('lot_id')}
        optional
        empty={said.wholeShipment}
        value={item.lotId}
        onValue={(lotId) => set({ lotId })}
        options={found.lots.map(({ id }) => ({ value: id, label: lotName(found, id) }))}
      />
      <Button
        class="dock-remove"
        aria-label={said.removeLine(item.what === null ? said.emptyLine : `${said.what[item.what]}, ${lotName(found, item.lotId)}`)}
        onClick={() => change({ items: withoutRow(items, at) })}
      >
        ×
      </Button>
      <NumberField label={said.plants} hint={said.plantsHint} {...pointer('plants')} optional min={0} value={item.plants} onValue={(plants) => set({ plants })} />
      <TextField label={said.note} {...pointer('note')} class="dock-row-wide" optional maxLength={500} value={item.note} onValue={(note) => set({ note })} />
    </div>
  );
}

/** What is claimed: lines taken over from the records or typed, and a text. */
export function ClaimForm({ draft, change, found, saving, onSubmit, onCancel }: Props) {
  const { dock, common } = words.value;
  const said = dock.claim;
  const { items } = draft;
  const add = (part: Partial<ItemDraft>): void =>
    change({ items: [...items, { key: rowKey(), lotId: null, what: null, plants: null, note: '', ...part }] });
  return (
    <Form problem={saving.problem} onSubmit={onSubmit} class="dock-form">
      <Hints found={found} items={items} onAdd={(hint) => add(hint)} />
      <fieldset class="dock-group">
        <legend>{said.items}</legend>
        {items.length === 0 ? (
          <Empty title={said.itemsEmpty}>{said.itemsEmptyText}</Empty>
        ) : (
          <div class="stack">
            {items.map((item, at) => (
              <ItemRow key={item.key} draft={draft} change={change} found={found} at={at} />
            ))}
          </div>
        )}
        <div>
          <Button onClick={() => add({})}>{said.addLine}</Button>
        </div>
      </fieldset>
      <TextArea label={said.text} hint={said.textHint} pointer="/text" optional rows={4} maxLength={4000} value={draft.text} onValue={(text) => change({ text })} />
      <div class="form-actions">
        <Button kind="primary" type="submit" busy={saving.busy}>
          {said.save}
        </Button>
        {onCancel && <Button onClick={onCancel}>{common.cancel}</Button>}
      </div>
    </Form>
  );
}
