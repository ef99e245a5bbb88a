import type { ComponentChildren } from 'preact';

import { words } from '../words';
import { Drawing, drawn, PlantDrawing } from './drawings';
import { blocksOf, type Row } from './rows';
import type { Kind, Paper } from './state';
import { CountTally, lettered, PlantTally } from './tally';

/** What stands at the head of a sheet. */
export interface Heading {
  site: string;
  house: string;
  week: string;
  organism: string;
}

/** A word and a line to write on; what is known is printed on it. */
function Line({ name, known = '', wide = false }: { name: string; known?: string; wide?: boolean }) {
  return (
    <span class={wide ? 'sheet-line sheet-line-wide' : 'sheet-line'}>
      {name} <b>{known}</b>
    </span>
  );
}

function Head({ title, of }: { title: string; of: Heading }) {
  const { line, of: placed } = words.value.sheets;
  return (
    <header class="sheet-head">
      <h3>{title}</h3>
      <p>{placed(of.site, of.house)}</p>
      <div class="sheet-lines">
        {of.house === '' && <Line name={line.house} wide />}
        <Line name={line.organism} known={of.organism} wide />
        <Line name={line.week} known={of.week} />
        <Line name={line.date} />
        <Line name={line.scout} wide />
        <Line name={line.from} />
        <Line name={line.to} />
        <Line name={line.lens} />
      </div>
    </header>
  );
}

function How({ lines, children }: { lines: readonly string[]; children?: ComponentChildren }) {
  const { how, share, caution } = words.value.sheets;
  return (
    <footer class="sheet-how">
      <h4>{how}</h4>
      <ul>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
        <li>{share}</li>
      </ul>
      {children}
      <p>{caution}</p>
    </footer>
  );
}

/** The signs in small, with their letters where a tally has letters. They stand under it: Chromium loses the turns of drawings in a table's head that it repeats on paper. */
function Key({ letters = false }: { letters?: boolean }) {
  const { sheets } = words.value;
  return (
    <>
      {letters && <p>{sheets.howSigns}</p>}
      <ul class="sheet-letters">
        {lettered.map((stage) => (
          <li key={stage}>
            <Drawing of={stage} />
            {letters && <b>{sheets.letters[stage]}</b>} {sheets.signs[stage].name}
          </li>
        ))}
        <li>
          <Drawing of="parasitised" />
          {sheets.signs.parasitised.name}
        </li>
      </ul>
    </>
  );
}

function HouseMap({ rows, across }: { rows: readonly Row[]; across: number }) {
  return (
    <ol class="sheet-map" style={{ '--across': across }}>
      {blocksOf(rows).map(({ block, section, lots }, i) => (
        <li key={i}>
          <b>{block}</b> <small>{section}</small>
          {lots.map(({ key, lot, cultivar }) => (
            <span key={key} class="sheet-map-lot">
              {[lot, cultivar].filter(Boolean).join(' ')}
            </span>
          ))}
          <span class="sheet-map-counts">/</span>
        </li>
      ))}
    </ol>
  );
}

function Signs() {
  const { sheets } = words.value;
  return (
    <>
      <ul class="sheet-signs">
        {drawn.map((sign) => (
          <li key={sign}>
            <Drawing of={sign} />
            <div>
              <h4>{sheets.signs[sign].name}</h4>
              <p>{sheets.signs[sign].text}</p>
            </div>
          </li>
        ))}
      </ul>
      <div class="sheet-where">
        <PlantDrawing />
        <div>
          <h4>{sheets.plantTitle}</h4>
          <ol>
            <li>{sheets.plantNew}</li>
            <li>{sheets.plantOld}</li>
          </ol>
          <p>{sheets.sizesNote}</p>
          <p>{sheets.caution}</p>
        </div>
      </div>
    </>
  );
}

interface SheetProps {
  kind: Kind;
  paper: Paper;
  across: number;
  heading: Heading;
  /** Every block of the house, and the lines that are walked. */
  rows: readonly Row[];
  walked: readonly Row[];
}

/** The sheet as it is printed; long ones go on over several pages, with the head of the table on each. */
export function Sheet({ kind, paper, across, heading, rows, walked }: SheetProps) {
  const { sheets } = words.value;
  const title = { plants: sheets.plantsTitle, counts: sheets.countsTitle, map: sheets.mapTitle(heading.house), signs: sheets.signsTitle }[kind];
  return (
    <article class={`sheet sheet-${paper}`} aria-label={title} tabIndex={0}>
      {kind === 'signs' ? (
        <header class="sheet-head">
          <h3>{title}</h3>
        </header>
      ) : (
        <Head title={title} of={heading} />
      )}
      {kind === 'plants' && <PlantTally rows={walked} caption={title} />}
      {kind === 'counts' && <CountTally rows={walked} caption={title} />}
      {kind === 'map' && <HouseMap rows={rows} across={across} />}
      {kind === 'signs' && <Signs />}
      {kind === 'plants' && (
        <How lines={sheets.howPlants}>
          <Key letters />
        </How>
      )}
      {kind === 'counts' && (
        <How lines={sheets.howCounts}>
          <Key />
        </How>
      )}
      {kind === 'map' && <How lines={sheets.howMap} />}
    </article>
  );
}
