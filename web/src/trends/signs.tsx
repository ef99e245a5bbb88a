import type { LookResult, LookTarget, Sign } from '../contract.gen';
import { Answer, Table, type Column } from '../parts';
import { format, words } from '../words';

/** A sign with the plant it was on; null: noted for the whole block. */
interface PlacedSign {
  plant: number | null;
  sign: Sign;
}

/** All signs of a target, those of single plants first. */
export function placedSigns({ plants = [], signs = [] }: Pick<LookTarget, 'plants' | 'signs'>): PlacedSign[] {
  return [
    ...plants.flatMap((mark, i) => (mark.signs ?? []).map((sign) => ({ plant: i + 1, sign }))),
    ...signs.map((sign) => ({ plant: null, sign })),
  ];
}

function SignTable({ target, title }: { target: LookTarget; title: string }) {
  const { trends: say, common } = words.value;
  const rows = placedSigns(target);
  if (rows.length === 0) return <p class="quiet">{target.signs_looked_for ? say.noSigns : say.signsNotLookedFor}</p>;
  const columns: Column<PlacedSign>[] = [
    { key: 'plant', head: say.plant, cell: ({ plant }) => (plant === null ? say.wholeBlock : format.value.count(plant)) },
    { key: 'stage', head: say.stageHead, cell: ({ sign }) => say.stage[sign.stage] },
    { key: 'state', head: say.stateHead, cell: ({ sign }) => (sign.state === undefined ? common.unknown : say.state[sign.state]) },
    { key: 'place', head: say.placeHead, cell: ({ sign }) => say.place[sign.place] },
    { key: 'amount', head: say.amountHead, cell: ({ sign }) => (sign.amount === undefined ? common.unknown : say.amount[sign.amount]) },
    { key: 'colour', head: say.colourHead, cell: ({ sign }) => sign.colour ?? '–' },
  ];
  return <Table caption={`${title}: ${say.signs}`} columns={columns} rows={rows} rowKey={(row) => String(rows.indexOf(row))} />;
}

/** What was found of one organism: every plant as seen or none seen, then the signs. */
export function Plants({ target, result, organism }: { target: LookTarget; result: LookResult | undefined; organism: string }) {
  const { trends: say } = words.value;
  const title = say.plantsTitle(organism);
  const plants = target.plants ?? [];
  return (
    <section class="plants">
      <h4>{title}</h4>
      {result && <Answer small>{format.value.share(result)}</Answer>}
      {plants.length > 0 ? (
        <>
          <p class="quiet">{say.key}</p>
          <ol class="plant-marks">
            {plants.map((mark, i) => (
              <li key={i} class={mark.dense_leaf ? 'plant-dense' : undefined}>
                <span aria-hidden="true">{mark.seen ? '●' : '○'}</span>
                <span class="aside-only">
                  {mark.seen ? say.plantSeen(i + 1) : say.plantNone(i + 1)}
                  {mark.dense_leaf ? `, ${say.dense}` : ''}
                </span>
              </li>
            ))}
          </ol>
          {plants.some((mark) => mark.dense_leaf) && <p class="quiet">▁ {say.dense}</p>}
        </>
      ) : (
        <p class="quiet">{say.asTally}</p>
      )}
      {target.severity && target.severity.length > 0 && <p>{say.severityIs(target.severity.map((n) => format.value.count(n)).join(' · '))}</p>}
      <SignTable target={target} title={title} />
    </section>
  );
}
