import { Fragment } from 'preact';

import { format, words } from '../words';
import type { Drawn } from './drawings';
import { cells, linesOf, type Row } from './rows';

/** The stages with a letter, youngest first. */
export const lettered = ['egg', 'small_nymph', 'large_nymph', 'pupa', 'empty_case', 'adult'] as const satisfies readonly Drawn[];

function Place({ row, name }: { row: Row; name: 'block' | 'lot' }) {
  const { sheets } = words.value;
  if (name === 'block') return <b>{row.block}</b>;
  return (
    <>
      {row.lot && <b>{row.lot}</b>} {row.cultivar}
      {row.asked !== null && <small>{sheets.asked(format.value.count(row.asked))}</small>}
      {row.asked === null && row.standing !== null && <small>{sheets.standing(format.value.count(row.standing))}</small>}
    </>
  );
}

/** A box for every plant, with the plant that the plan means where it means one. */
export function PlantTally({ rows, caption }: { rows: readonly Row[]; caption: string }) {
  const { head, continued } = words.value.sheets;
  return (
    <table class="tally">
      <caption class="aside-only">{caption}</caption>
      <thead>
        <tr>
          <th scope="col">{head.block}</th>
          <th scope="col">{head.lot}</th>
          <th scope="colgroup" colSpan={cells}>
            {head.plants}
          </th>
          <th scope="col">{head.withIt}</th>
          <th scope="col">{head.lookedAt}</th>
          <th scope="col">{head.newGrowth}</th>
          <th scope="col">{head.oldGrowth}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <Fragment key={row.key}>
            {linesOf(row).map((line, i) => (
              <tr key={i}>
                <th scope="row">{i === 0 && <Place row={row} name="block" />}</th>
                <td class="tally-lot">{i === 0 ? <Place row={row} name="lot" /> : <small>{continued}</small>}</td>
                {line.map((plant, at) => (
                  <td key={at} class="tally-cell">
                    {plant}
                  </td>
                ))}
                <td />
                <td />
                <td />
                <td />
              </tr>
            ))}
          </Fragment>
        ))}
      </tbody>
    </table>
  );
}

/** Two counts for every lot in a block, and on how many plants each sign was seen. */
export function CountTally({ rows, caption }: { rows: readonly Row[]; caption: string }) {
  const { head, signs } = words.value.sheets;
  return (
    <table class="tally tally-counts">
      <caption class="aside-only">{caption}</caption>
      <thead>
        <tr>
          <th scope="col">{head.block}</th>
          <th scope="col">{head.lot}</th>
          <th scope="col">{head.withIt}</th>
          <th scope="col">{head.lookedAt}</th>
          {[...lettered, 'parasitised' as const].map((stage) => (
            <th key={stage} scope="col">
              {signs[stage].name}
            </th>
          ))}
          <th scope="col" class="tally-note">
            {head.note}
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.key}>
            <th scope="row">
              <Place row={row} name="block" />
            </th>
            <td class="tally-lot">
              <Place row={row} name="lot" />
            </td>
            {Array.from({ length: lettered.length + 4 }, (_, i) => (
              <td key={i} />
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
