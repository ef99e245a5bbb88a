import type { Form, Paper } from '../../contract.gen';
import { Button, MomentField, NumberField, SelectField, TextField } from '../../parts';
import { words } from '../../words';
import { rowKey, sentIndex, withoutRow, withRow } from '../shared/drafts';
import type { Names } from '../shared/names';
import { isBlankBox, isBlankLine, isBlankPaper, type ShipmentDraft } from './draft';

interface RowsProps {
  draft: ShipmentDraft;
  change: (change: Partial<ShipmentDraft>) => void;
}

const paperKinds: readonly Paper['kind'][] = [
  'order',
  'packing_list',
  'invoice',
  'airway_bill',
  'phytosanitary_certificate',
  'plant_passport',
  'other',
];

const forms: readonly Form[] = ['unrooted', 'callused', 'rooted'];

function Remove({ what, onClick }: { what: string; onClick: () => void }) {
  return (
    <Button class="dock-remove" aria-label={words.value.dock.shipment.removeRow(what)} onClick={onClick}>
      ×
    </Button>
  );
}

function pointerOf(list: string, index: number | null, member: string): string | undefined {
  return index === null ? undefined : `/${list}/${index}/${member}`;
}

/** The papers that came with it, by number. */
export function Papers({ draft, change }: RowsProps) {
  const said = words.value.dock.shipment;
  const { papers } = draft;
  const unused = paperKinds.find((kind) => !papers.some((paper) => paper.kind === kind)) ?? 'other';
  return (
    <div class="stack">
      {papers.map((paper, i) => (
        <div key={paper.key} class="dock-row">
          <SelectField
            label={said.paperKind}
            value={paper.kind}
            onValue={(kind) => kind && change({ papers: withRow(papers, i, { kind }) })}
            options={paperKinds.map((value) => ({ value, label: said.paper[value] }))}
          />
          <TextField
            label={said.paperNumber}
            value={paper.number}
            maxLength={100}
            onValue={(number) => change({ papers: withRow(papers, i, { number }) })}
            pointer={pointerOf('papers', sentIndex(papers, i, isBlankPaper), 'number')}
          />
          <Remove what={said.paper[paper.kind]} onClick={() => change({ papers: withoutRow(papers, i) })} />
        </div>
      ))}
      <div>
        <Button onClick={() => change({ papers: [...papers, { key: rowKey(), kind: unused, number: '' }] })}>{said.addPaper}</Button>
      </div>
    </div>
  );
}

/** The boxes with the temperature found inside. */
export function Boxes({ draft, change, zone }: RowsProps & { zone: string }) {
  const said = words.value.dock.shipment;
  const { boxes } = draft;
  return (
    <div class="stack">
      {boxes.map((box, i) => (
        <div key={box.key} class="dock-row">
          <TextField
            label={said.boxLabel}
            value={box.label}
            maxLength={60}
            onValue={(label) => change({ boxes: withRow(boxes, i, { label }) })}
            pointer={pointerOf('boxes', sentIndex(boxes, i, isBlankBox), 'label')}
          />
          <NumberField
            label={said.temperature}
            optional
            unit={said.degrees}
            decimals={1}
            value={box.temperature}
            onValue={(temperature) => change({ boxes: withRow(boxes, i, { temperature }) })}
            pointer={pointerOf('boxes', sentIndex(boxes, i, isBlankBox), 'temperature_c')}
          />
          <Remove what={said.box(box.label)} onClick={() => change({ boxes: withoutRow(boxes, i) })} />
          <MomentField
            label={said.openedAt}
            optional
            hint=""
            zone={zone}
            value={box.openedAt}
            onValue={(openedAt) => change({ boxes: withRow(boxes, i, { openedAt }) })}
            pointer={pointerOf('boxes', sentIndex(boxes, i, isBlankBox), 'opened_at')}
            class="dock-row-wide"
          />
        </div>
      ))}
      <div>
        <Button
          onClick={() =>
            change({ boxes: [...boxes, { key: rowKey(), label: String(boxes.length + 1), temperature: null, openedAt: null, cultivarIds: [] }] })
          }
        >
          {said.addBox}
        </Button>
      </div>
    </div>
  );
}

/** What was ordered of each cultivar. */
export function OrderLines({ draft, change, names }: RowsProps & { names: Names }) {
  const said = words.value.dock.shipment;
  const { common } = words.value;
  const { lines } = draft;
  const cultivars = names.cultivars.map(({ id, name }) => ({ value: id, label: name }));
  return (
    <div class="stack">
      {lines.map((line, i) => {
        const at = sentIndex(lines, i, isBlankLine);
        return (
          <div key={line.key} class="dock-row">
            <SelectField
              label={said.cultivar}
              value={line.cultivarId}
              onValue={(cultivarId) => change({ lines: withRow(lines, i, { cultivarId }) })}
              options={cultivars}
              pointer={pointerOf('order_lines', at, 'cultivar_id')}
            />
            <SelectField
              label={words.value.dock.lot.form}
              value={line.form}
              onValue={(form) => form && change({ lines: withRow(lines, i, { form }) })}
              options={forms.map((value) => ({ value, label: common.form[value] }))}
            />
            <Remove
              what={names.cultivars.find(({ id }) => id === line.cultivarId)?.name ?? said.order}
              onClick={() => change({ lines: withoutRow(lines, i) })}
            />
            <NumberField
              label={said.ordered}
              value={line.ordered}
              onValue={(ordered) => change({ lines: withRow(lines, i, { ordered }) })}
              pointer={pointerOf('order_lines', at, 'ordered')}
            />
            <NumberField
              label={said.invoiced}
              optional
              value={line.invoiced}
              onValue={(invoiced) => change({ lines: withRow(lines, i, { invoiced }) })}
              pointer={pointerOf('order_lines', at, 'invoiced')}
            />
            <SelectField
              label={said.substituteFor}
              optional
              empty={said.noSubstitute}
              value={line.substituteForId}
              onValue={(substituteForId) => change({ lines: withRow(lines, i, { substituteForId }) })}
              options={cultivars.filter(({ value }) => value !== line.cultivarId)}
              pointer={pointerOf('order_lines', at, 'substitute_for_id')}
              class="dock-row-wide"
            />
          </div>
        );
      })}
      <div>
        <Button
          onClick={() =>
            change({
              lines: [
                ...lines,
                { key: rowKey(), cultivarId: null, form: lines.at(-1)?.form ?? 'unrooted', ordered: null, invoiced: null, substituteForId: null },
              ],
            })
          }
        >
          {said.addLine}
        </Button>
      </div>
    </div>
  );
}
