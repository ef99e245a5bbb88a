import { fetchAll, fetchOne } from '../../api';
import type { Inspection, Lot, Shipment, Verdict } from '../../contract.gen';
import { Answer, ButtonLink, Details, Notice, Page, Section, Table, Writing } from '../../parts';
import { Photos } from '../../photos';
import { canRecord, readsOnly } from '../../session';
import { format, words } from '../../words';
import { commonName, regulatedNote } from '../../organism';
import { ClaimClock } from '../shared/claim';
import { lotsToInspect } from '../overview/order';
import { onlyNames, type Arrivals } from '../shared/arrivals';
import { ArrivalFacts } from '../shared/facts';
import { ShowHere, useHere, type Answered } from '../shared/here';
import { asSentence, Marked } from '../shared/marked';
import { loadNames, organismName, type Names } from '../shared/names';
import { useNow } from '../shared/now';
import { OnlyHere } from '../shared/only-here';
import { reasonOf } from '../shared/reason';
import { Revisions } from '../shared/revisions';
import { zoneOf } from '../shared/site';
import { lotTitle } from '../shared/titles';
import { conditionClasses, rootClasses } from './draft';
import { findingSentence, firstFinding, meaningOf, suspectedOf } from './reading';
import { Verdicts } from './verdict';

interface Found {
  inspection: Inspection;
  lot: Lot;
  /** None for a lot that began here by a split or merge. */
  shipment: Shipment | null;
  verdicts: readonly Verdict[];
  /** Lots of the same shipment that still wait. */
  waiting: Lot[];
  names: Names;
}

async function fetchReading(id: string, signal: AbortSignal): Promise<Answered<null>> {
  const inspection = await fetchOne('inspections', id, signal);
  const [lot, verdicts, names] = await Promise.all([
    fetchOne('lots', inspection.lot_id, signal),
    fetchAll('verdicts', { lot_id: inspection.lot_id }, signal),
    loadNames(),
  ]);
  const [shipment, waiting] = await Promise.all([
    lot.shipment_id ? fetchOne('shipments', lot.shipment_id, signal) : null,
    lot.shipment_id ? fetchAll('lots', { shipment_id: lot.shipment_id, state: 'waiting' }, signal) : [],
  ]);
  const lots = [...waiting.filter((each) => each.id !== lot.id), lot];
  return { arrivals: { ...onlyNames(names), shipments: shipment ? [shipment] : [], lots, inspections: [inspection], verdicts }, more: null };
}

function foundOf({ shipments, lots, inspections, verdicts, names }: Arrivals, id: string): Found | undefined {
  const inspection = inspections.find((each) => each.id === id);
  const lot = lots.find((each) => each.id === inspection?.lot_id);
  if (!inspection || !lot) return undefined;
  return {
    inspection,
    lot,
    shipment: shipments.find((each) => each.id === lot.shipment_id) ?? null,
    verdicts: verdicts.filter((verdict) => verdict.inspection_id === id),
    waiting: lotsToInspect(lots, lot.shipment_id).filter((each) => each.id !== lot.id),
    names,
  };
}

function Cautions({ inspection, names }: { inspection: Inspection; names: Names }) {
  const said = words.value.dock.inspection.reading;
  const suspected = suspectedOf(inspection);
  const noted = inspection.reading.findings
    .filter((finding) => finding.infested_plants > 0)
    .flatMap(({ organism_id: id }) => names.organisms.filter((organism) => organism.id === id && regulatedNote(organism)));
  return (
    <>
      {suspected.map((id) => (
        <Notice key={id} kind="problem" title={said.caution}>
          <p>{said.cautionText(organismName(names, id))}</p>
        </Notice>
      ))}
      {noted.map((organism) => (
        <Details key={organism.id} summary={asSentence(said.regulated(commonName(organism)))}>
          <p>{regulatedNote(organism)}</p>
        </Details>
      ))}
    </>
  );
}

function Meaning({ inspection, lot, names }: Found) {
  const said = words.value.dock.inspection.reading;
  const { out, open } = meaningOf(inspection, lot.plants, { words: words.value, f: format.value, nameOf: (id) => organismName(names, id) });
  const list = (title: string, items: readonly string[]) => (
    <div class="dock-meaning">
      <h3>{title}</h3>
      <ul>
        {items.map((item) => (
          <li key={item}>{item}</li>
        ))}
      </ul>
    </div>
  );
  return (
    <Section title={said.means}>
      <div class="dock-meanings">
        {list(said.rulesOut, out)}
        {list(said.notRuledOut, open)}
      </div>
    </Section>
  );
}

function Suggestion({ inspection, names }: Found) {
  const { inspection: said } = words.value.dock;
  const { reading } = inspection;
  return (
    <Section title={said.reading.suggestion}>
      <Answer small>
        <Marked text={said.reading.suggests(said.verdict.option[reading.suggestion].toLocaleLowerCase())} />
      </Answer>
      <ul class="dock-reasons">
        {reading.reasons.map((reason, i) => (
          <li key={i}>{reasonOf(reason, names)}</li>
        ))}
      </ul>
      <p class="quiet">{said.reading.youDecide}</p>
    </Section>
  );
}

function Counted({ inspection, names }: Found) {
  const said = words.value.dock.inspection;
  const f = format.value;
  const { condition, roots, leaf_spots: spots } = inspection;
  const classes = <K extends string>(keys: readonly K[], labels: Record<K, string>, counts: Partial<Record<K, number>> | null | undefined) =>
    counts ? f.list(keys.filter((key) => counts[key]).map((key) => `${labels[key].toLocaleLowerCase()} ${f.count(counts[key] ?? 0)}`)) : null;
  const signsOf = (organism: string): string => {
    const signs = inspection.findings.find((finding) => finding.organism_id === organism)?.signs ?? [];
    return signs
      .map(({ stage, state, colour, plants }) => {
        const more = [state !== undefined && state !== 'alive' && said.state[state], colour].filter(Boolean).join(', ');
        return `${said.stage[stage].toLocaleLowerCase()}${more === '' ? '' : ` (${more})`} ${f.count(plants)}`;
      })
      .join(', ');
  };
  return (
    <Details summary={said.reading.details}>
      <Table
        caption={said.reading.details}
        stack
        rows={inspection.reading.findings}
        rowKey={(finding) => finding.organism_id}
        columns={[
          { key: 'organism', head: said.reading.organism, cell: (finding) => asSentence(organismName(names, finding.organism_id)) },
          { key: 'share', head: said.reading.share, number: true, cell: (finding) => f.share(finding) },
          { key: 'signs', head: said.reading.signs, cell: (finding) => signsOf(finding.organism_id) || '–' },
        ]}
      />
      <ArrivalFacts
        items={[
          { term: said.lens, value: inspection.lens_power ? said.times(f.number(inspection.lens_power)) : said.noLens },
          { term: said.condition, value: classes(conditionClasses, said.conditionClass, condition) },
          { term: said.roots, value: classes(rootClasses, said.rootClass, roots) },
          { term: said.leafSpots, value: spots && f.of(spots.plants_with, spots.plants_looked_at) },
          ...(inspection.other_diseases ?? []).map((disease) => ({ term: disease.name, value: f.of(disease.plants_with, disease.plants_looked_at) })),
          { term: said.note, value: inspection.note },
        ]}
      />
      <p class="quiet">
        {said.reading.sampleAsked(
          f.percent(inspection.detection_percent ?? 5),
          f.percent(inspection.confidence_percent ?? 95),
          f.percent(inspection.sensitivity_percent ?? 100),
        )}
      </p>
      <Writing>
        <div>
          <ButtonLink to={`/dock/inspections/${inspection.id}/correct`}>{said.reading.correct}</ButtonLink>
        </div>
      </Writing>
    </Details>
  );
}

function Content({ found, changed }: { found: Found; changed: () => void }) {
  const { dock } = words.value;
  const said = dock.inspection.reading;
  const { inspection, lot, shipment, verdicts, waiting, names } = found;
  const now = useNow();
  const f = format.value;
  const zone = zoneOf(inspection.site_id);
  const { reading } = inspection;
  const main = names.crops.find((crop) => crop.id === lot.crop_id)?.main_organism_id;
  const speech = { words: words.value, f, nameOf: (id: string) => organismName(names, id) };
  const first = firstFinding(inspection, main);
  const rest = reading.findings.filter((finding) => finding !== first);
  const next = waiting[0];
  return (
    <>
      <OnlyHere id={inspection.id} />
      {inspection.withdrawn_because && <Notice kind="doubt" title={dock.withdraw.notice(inspection.withdrawn_because)} />}
      <div class="dock-answer">
        {first && (
          <Answer>
            <Marked text={findingSentence(first, reading.confidence_percent, speech)} />
          </Answer>
        )}
        {rest.map((finding) => (
          <Answer key={finding.organism_id} small>
            <Marked text={findingSentence(finding, reading.confidence_percent, speech)} />
          </Answer>
        ))}
        <p class="quiet">
          {said.inspectedBy(inspection.inspector?.name ?? inspection.recorded_by.name, f.moment(inspection.inspected_at, zone))}
          {reading.findings.some((finding) => finding.infested_plants > 0) && `. ${said.intervalNote(f.percent(reading.confidence_percent))}`}
        </p>
        <p>
          {shipment && <ClaimClock shipment={shipment} now={now} />}
        </p>
      </div>
      <Cautions inspection={inspection} names={names} />
      <Meaning {...found} />
      <Suggestion {...found} />
      <Section title={dock.photos.title} lead={dock.photos.ofInspection}>
        <Photos
          of={{ subject_noun: 'inspections', subject_id: inspection.id }}
          title={said.of(lotTitle(names, lot))}
          may={canRecord(inspection.site_id) && !inspection.withdrawn_because}
          kinds={['leaf_underside', 'plant', 'roots', 'other']}
          captions
        />
      </Section>
      <Verdicts inspection={inspection} lot={lot} title={lotTitle(names, lot)} verdicts={verdicts} zone={zone} changed={changed} />
      {verdicts.length > 0 && next && !readsOnly() && (
        <div>
          <ButtonLink to={`/dock/lots/${next.id}/inspect`} kind="primary" size="large">
            {said.nextLot(lotTitle(names, next))}
          </ButtonLink>
        </div>
      )}
      <Counted {...found} />
      <Revisions recordId={inspection.id} version={inspection.version} zone={zone} names={names} />
    </>
  );
}

/** What an inspection means for its lot, what it suggests, and what a person decided. */
export function ReadingPage({ id }: { id: string }) {
  const { dock } = words.value;
  const said = dock.inspection.reading;
  const load = useHere(
    (signal) => fetchReading(id, signal),
    (arrivals) => foundOf(arrivals, id),
    [id],
  );
  const found = load.data;
  const name = found ? lotTitle(found.names, found.lot) : '';
  const title = found?.inspection.kind === 'second_look' ? said.ofSecond(name) : said.of(name);
  return (
    <Page title={title} back={found ? { to: `/dock/lots/${found.lot.id}`, label: name } : { to: '/dock', label: dock.title }}>
      <ShowHere of={load}>{(data) => <Content found={data} changed={load.reload} />}</ShowHere>
    </Page>
  );
}
