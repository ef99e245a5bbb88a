import { Button, Details, NumberField, TextField } from '../../parts';
import { words } from '../../words';
import { rowKey, sentIndex, withoutRow, withRow } from '../shared/drafts';
import { conditionClasses, isBlankDisease, lookedAtOf, rootClasses, totalOf, type Classes, type InspectionDraft } from './draft';

interface ClassesProps<K extends string> {
  title: string;
  keys: readonly K[];
  labels: Record<K, string>;
  value: Classes<K>;
  pointer: string;
  change: (value: Classes<K>) => void;
}

function ClassCounts<K extends string>({ title, keys, labels, value, pointer, change }: ClassesProps<K>) {
  const said = words.value.dock.inspection;
  const total = totalOf(value);
  return (
    <Details summary={total > 0 ? `${title}: ${said.classTotal(total)}` : title}>
      <p class="quiet">{said.classTotal(total)}</p>
      <div class="dock-steppers">
        {keys.map((key) => (
          <NumberField
            key={key}
            label={labels[key]}
            optional
            steps
            min={0}
            value={value[key]}
            onValue={(plants) => change({ ...value, [key]: plants })}
            pointer={`${pointer}/${key}`}
          />
        ))}
      </div>
    </Details>
  );
}

interface Props {
  draft: InspectionDraft;
  rooted: boolean;
  change: (change: Partial<InspectionDraft>) => void;
}

/** What is judged besides pests: condition, roots of rooted plants, leaf spots, other diseases. */
export function Quality({ draft, rooted, change }: Props) {
  const said = words.value.dock.inspection;
  const { diseases, leafSpots } = draft;
  const looked = lookedAtOf(draft, 0);
  return (
    <div class="dock-quality">
      <ClassCounts
        title={said.condition}
        keys={conditionClasses}
        labels={said.conditionClass}
        value={draft.condition}
        pointer="/condition"
        change={(condition) => change({ condition })}
      />
      {rooted && (
        <ClassCounts title={said.roots} keys={rootClasses} labels={said.rootClass} value={draft.roots} pointer="/roots" change={(roots) => change({ roots })} />
      )}
      <Details summary={leafSpots.with ? `${said.leafSpots}: ${words.value.common.plants(leafSpots.with)}` : said.leafSpots}>
        <div class="dock-steppers">
          <NumberField
            label={said.with}
            optional
            steps
            min={0}
            value={leafSpots.with}
            onValue={(plants) => change({ leafSpots: { ...leafSpots, with: plants } })}
            pointer="/leaf_spots/plants_with"
          />
          <NumberField
            label={said.lookedAt}
            optional
            hint={leafSpots.lookedAt === null ? said.asMany(looked) : undefined}
            steps
            min={0}
            value={leafSpots.lookedAt}
            onValue={(lookedAt) => change({ leafSpots: { ...leafSpots, lookedAt } })}
            pointer="/leaf_spots/plants_looked_at"
          />
        </div>
      </Details>
      <Details summary={said.otherDiseases} open={diseases.length > 0}>
        {diseases.map((disease, i) => {
          const sent = sentIndex(diseases, i, isBlankDisease);
          const pointer = (member: string) => (sent === null ? undefined : `/other_diseases/${sent}/${member}`);
          return (
            <div key={disease.key} class="dock-row">
              <TextField
                label={said.diseaseName}
                value={disease.name}
                maxLength={120}
                onValue={(name) => change({ diseases: withRow(diseases, i, { name }) })}
                pointer={pointer('name')}
                class="dock-row-grow"
              />
              <Button class="dock-remove" aria-label={`${said.remove}: ${disease.name}`} onClick={() => change({ diseases: withoutRow(diseases, i) })}>
                ×
              </Button>
              <div class="dock-steppers dock-row-wide">
                <NumberField
                  label={said.with}
                  steps
                  min={0}
                  value={disease.with}
                  onValue={(plants) => change({ diseases: withRow(diseases, i, { with: plants }) })}
                  pointer={pointer('plants_with')}
                />
                <NumberField
                  label={said.lookedAt}
                  optional
                  hint={disease.lookedAt === null ? said.asMany(looked) : undefined}
                  steps
                  min={0}
                  value={disease.lookedAt}
                  onValue={(lookedAt) => change({ diseases: withRow(diseases, i, { lookedAt }) })}
                  pointer={pointer('plants_looked_at')}
                />
              </div>
            </div>
          );
        })}
        <div>
          <Button onClick={() => change({ diseases: [...diseases, { key: rowKey(), name: '', lookedAt: null, with: null }] })}>{said.addDisease}</Button>
        </div>
      </Details>
    </div>
  );
}
