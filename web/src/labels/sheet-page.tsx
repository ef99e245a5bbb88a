import { useState } from 'preact/hooks';

import { Button, Empty, ButtonLink, Loaded, Notice, Page, Section, useLoad } from '../parts';
import { format, words } from '../words';
import { opensOnlyHere } from './address';
import { Choices } from './choices';
import { layouts, mostSheets, sheetCount, sheetsOf } from './layouts';
import { Preview } from './preview';
import type { Found, Source, Subject } from './subjects';
import { keepLayout, keptLayout, numbersOf, type Wanted } from './wanted';

function titleOf({ source, subjects }: Found): string {
  const { labels } = words.value;
  if (source.of === 'shipment') return labels.titleLots(source.supplier, format.value.date(source.arrivedOn));
  if (source.of !== 'lot') return labels.titlePlace(source.name);
  const [lot] = subjects;
  return lot?.kind === 'lot' ? labels.titleLot(lot.code, lot.cultivar) : labels.title;
}

function backOf(source: Source): { to: string; label: string } {
  const { back } = words.value.labels;
  if (source.of === 'shipment') return { to: `/dock/shipments/${source.id}`, label: back.shipment };
  return source.of === 'lot' ? { to: `/dock/lots/${source.id}`, label: back.lot } : { to: '/setup/places', label: back.places };
}

function Nothing({ source }: { source: Source }) {
  const { labels } = words.value;
  const ofLots = source.of === 'shipment' || source.of === 'lot';
  const back = backOf(source);
  return (
    <Empty title={ofLots ? labels.emptyLotsTitle : labels.emptyBlocksTitle} action={<ButtonLink to={back.to}>{back.label}</ButtonLink>}>
      <p>{ofLots ? labels.emptyLots : labels.emptyBlocks}</p>
    </Empty>
  );
}

function Sheets({ subjects, wanted, origin }: { subjects: readonly Subject[]; wanted: Wanted; origin: string }) {
  const { labels } = words.value;
  const numbers = numbersOf(wanted);
  const layout = layouts[wanted.layout];
  const chosen = subjects.filter(({ id }) => !wanted.without.has(id));
  const count = numbers ? sheetCount(layout, chosen.length * numbers.copies, numbers.start) : 0;
  const fits = numbers !== null && count > 0 && count <= mostSheets;
  return (
    <>
      <Section title={labels.preview}>
        {fits ? (
          <>
            <div class="label-go">
              <p>{labels.sum(chosen.length * numbers.copies, count)}</p>
              <Button kind="primary" onClick={() => print()}>
                {labels.print}
              </Button>
            </div>
            <p class="quiet label-hint">{labels.printHint}</p>
          </>
        ) : (
          numbers !== null && <p role="status">{count > mostSheets ? labels.tooMany(count, mostSheets) : labels.nothing}</p>
        )}
      </Section>
      {fits && <Preview layout={layout} sheets={sheetsOf(layout, chosen, numbers.copies, numbers.start)} origin={origin} />}
    </>
  );
}

function Content({ found }: { found: Found }) {
  const { labels } = words.value;
  const { source, subjects } = found;
  const [wanted, want] = useState<Wanted>(() => ({ without: new Set(), copies: 1, layout: keptLayout(), start: 1 }));
  const { origin } = location;
  if (subjects.length === 0) return <Nothing source={source} />;
  const change = (part: Partial<Wanted>): void => {
    if (part.layout) keepLayout(part.layout);
    want((before) => ({ ...before, ...part }));
  };
  return (
    <>
      <p class="lead">{labels.lead}</p>
      {opensOnlyHere(origin) && (
        <Notice kind="doubt" title={labels.onlyHereTitle}>
          <p>{labels.onlyHere(origin)}</p>
        </Notice>
      )}
      <Choices subjects={subjects} wanted={wanted} change={change} />
      <Sheets subjects={subjects} wanted={wanted} origin={origin} />
    </>
  );
}

/** Sheets of labels for what an address names: choices above, and below them the sheet as it is printed. */
export function SheetPage({ id, fetchIt }: { id: string; fetchIt: (id: string, signal: AbortSignal) => Promise<Found> }) {
  const { labels } = words.value;
  const load = useLoad((signal) => fetchIt(id, signal), [id]);
  const found = load.data;
  return (
    <Page title={found ? titleOf(found) : labels.title} back={found ? backOf(found.source) : { to: '/labels', label: labels.back.labels }}>
      <Loaded of={load}>{(data) => <Content found={data} />}</Loaded>
    </Page>
  );
}
