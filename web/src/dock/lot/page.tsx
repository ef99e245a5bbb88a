import type { SecondLook } from '../../contract.gen';
import { dateAt } from '../../local/zone';
import { Answer, ButtonLink, Notice, Page, Section, Tag, Writing } from '../../parts';
import { Photos } from '../../photos';
import { canRecord, readsOnly } from '../../session';
import { format, words } from '../../words';
import { trailAddress } from '../../trail/state';
import { ClaimClock } from '../shared/claim';
import { ShowHere, useHere } from '../shared/here';
import { Marked } from '../shared/marked';
import { cultivarName, supplierName } from '../shared/names';
import { useNow } from '../shared/now';
import { OnlyHere } from '../shared/only-here';
import { Revisions } from '../shared/revisions';
import { zoneOf } from '../shared/site';
import { lotTitle, shipmentTitle } from '../shared/titles';
import { Actions } from './action/actions';
import { LotFacts } from './facts';
import { LabSamples } from './lab-samples';
import { Composition } from './life/composition';
import { codeOf, fetchLot, foundOf, type Found } from './life/found';
import { lifeSentences } from './life/sentence';
import { Timeline } from './life/timeline';
import { Stands } from './stands';

/** The sentences at the top: where it came from and what is left, then what the dock still wants of it. */
function sentencesOf({ lot, shipment, life, own, holds, kin, names }: Found): string[] {
  const said = words.value.dock.lot;
  const zone = zoneOf(lot.site_id);
  const bornBy = own.movements.find(({ id }) => id === lot.born_by) ?? null;
  const sentences = lifeSentences(lot, life, bornBy, {
    words: words.value,
    f: format.value,
    dayOf: (moment) => dateAt(moment, zone),
    cultivar: cultivarName(names, lot.cultivar_id),
    supplier: supplierName(names, lot.supplier_id),
    codeOf: (id) => codeOf(kin, id),
    whoHeld: (id) => [...holds, ...own.verdicts].find((each) => each.id === id)?.recorded_by.name ?? '',
  });
  if (!shipment) return sentences;
  if (!shipment.docked_at) return [said.answerNotHere(lot.plants, format.value.weekday(shipment.expected_on)), ...sentences.slice(1)];
  if (!lot.inspected) return [...sentences, said.answerWaiting(lot.plants)];
  if (lot.verdict === 'hold') return [...sentences, said.answerHold];
  return [...sentences, lot.verdict ? `**${said.verdict[lot.verdict]}.**` : said.answerUndecided];
}

function SecondLookLine({ look, made }: { look: SecondLook | null; made: boolean }) {
  const { dock } = words.value;
  const f = format.value;
  if (!look) return made ? <p class="quiet">{`${dock.secondLook}: ${dock.lot.secondLookDone}`}</p> : null;
  const state = { waiting: dock.lot.secondLookWaiting, due: dock.lot.secondLookDue, late: dock.lot.secondLookLate }[look.state ?? 'waiting'];
  return (
    <p>
      {dock.lot.secondLookWindow(f.date(look.due_from), f.date(look.due_to))}
      {look.counted_from && <span class="quiet">, {dock.countedFrom[look.counted_from]}</span>} <Tag strong={look.state === 'late'}>{state}</Tag>
    </p>
  );
}

function Inspecting({ found: { lot, shipment, secondLook, own } }: { found: Found }) {
  const said = words.value.dock.lot;
  if (!shipment) return null;
  const secondDue = secondLook !== null && secondLook.state !== 'waiting';
  return (
    <Section
      title={said.inspections}
      actions={
        shipment.docked_at && !readsOnly() ? (
          <div class="row">
            <ButtonLink to={`/dock/lots/${lot.id}/inspect`} kind={lot.inspected ? 'plain' : 'primary'}>
              {lot.inspected ? said.inspectAgain : said.inspect}
            </ButtonLink>
            {secondLook && (
              <ButtonLink to={`/dock/lots/${lot.id}/inspect?kind=second_look`} kind={secondDue && lot.inspected ? 'primary' : 'plain'}>
                {said.makeSecondLook}
              </ButtonLink>
            )}
          </div>
        ) : undefined
      }
    >
      <SecondLookLine look={secondLook} made={own.inspections.some((each) => each.kind === 'second_look' && !each.withdrawn_because)} />
    </Section>
  );
}

function Content({ found, changed }: { found: Found; changed: () => void }) {
  const { dock } = words.value;
  const { lot, shipment, life, names } = found;
  const now = useNow();
  return (
    <>
      <OnlyHere id={lot.id} />
      {lot.withdrawn_because && <Notice kind="doubt" title={dock.withdraw.notice(lot.withdrawn_because)} />}
      <div class="dock-answer">
        <Answer>
          <Marked text={sentencesOf(found).join(' ')} />
        </Answer>
        {shipment && (
          <p>
            <ClaimClock shipment={shipment} now={now} />
          </p>
        )}
      </div>
      <Writing>
        <Actions found={found} changed={changed} />
      </Writing>
      <Composition found={found} />
      <Inspecting found={found} />
      <Stands lot={lot} placements={life.placements} places={found.places} />
      <Section title={dock.photos.title} lead={dock.photos.ofLot}>
        <Photos
          of={{ subject_noun: 'lots', subject_id: lot.id }}
          title={lotTitle(names, lot)}
          may={canRecord(lot.site_id)}
          kinds={['plant', 'leaf_underside', 'roots', 'label']}
          captions
        />
      </Section>
      <LabSamples of={found} title={lotTitle(names, lot)} />
      <Timeline found={found} changed={changed} />
      <LotFacts key={lot.version} found={found} changed={changed} />
      <Revisions recordId={lot.id} version={lot.version} zone={zoneOf(lot.site_id)} names={names} />
    </>
  );
}

/** A lot: where it came from, what can be done, and all that happened to it. */
export function LotPage({ id }: { id: string }) {
  const { dock } = words.value;
  const load = useHere(
    (signal) => fetchLot(id, signal),
    (arrivals, more, book) => foundOf(arrivals, more, book, id),
    [id],
  );
  const found = load.data;
  const title = found ? lotTitle(found.names, found.lot) : dock.shipment.lot;
  const back = found?.shipment
    ? {
        to: `/dock/shipments/${found.shipment.id}`,
        label: shipmentTitle(found.names, found.shipment),
      }
    : { to: '/dock', label: dock.title };
  return (
    <Page title={title} back={back} actions={<ButtonLink to={trailAddress('lot', id)}>{words.value.common.followLot}</ButtonLink>}>
      <ShowHere of={load}>{(data) => <Content found={data} changed={load.reload} />}</ShowHere>
    </Page>
  );
}
