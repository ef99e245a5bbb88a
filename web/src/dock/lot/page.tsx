import { useState } from 'preact/hooks';

import { client, fetchAll, fetchOne, read, save } from '../../api';
import type { Inspection, Lot, Movement, Placement, SecondLook, Shipment, Verdict } from '../../contract.gen';
import { Answer, Button, ButtonLink, Form, Loaded, Notice, notify, Page, Section, Tag, useLoad } from '../../parts';
import { withQuery } from '../../router';
import { format, words } from '../../words';
import { InspectionItem } from '../inspection/item';
import { lotBody } from '../shared/bodies';
import { ArrivalFacts } from '../shared/facts';
import { ClaimClock } from '../shared/claim';
import { Marked } from '../shared/marked';
import { cultivarName, farmName, loadNames, supplierName, type Names } from '../shared/names';
import { useNow } from '../shared/now';
import { Revisions } from '../shared/revisions';
import { useSaving } from '../shared/saving';
import { zoneOf } from '../shared/site';
import { FarmField } from './farm-field';
import { Movements, Stands } from './movements';
import { loadPlaces, type Places } from './places';

interface Found {
  lot: Lot;
  /** None for a lot that began here by a split or merge. */
  shipment: Shipment | null;
  inspections: Inspection[];
  verdicts: Verdict[];
  movements: Movement[];
  placements: Placement[];
  secondLook: SecondLook | null;
  places: Places;
  names: Names;
}

async function fetchLot(id: string, signal: AbortSignal): Promise<Found> {
  const lot = await fetchOne('lots', id, signal);
  const [shipment, inspections, verdicts, movements, placements, looks, places, names] = await Promise.all([
    lot.shipment_id ? fetchOne('shipments', lot.shipment_id, signal) : null,
    fetchAll('inspections', { lot_id: id }, signal),
    fetchAll('verdicts', { lot_id: id }, signal),
    fetchAll('movements', { lot_id: id }, signal),
    fetchAll('placements', { lot_id: id }, signal),
    read(client.GET('/second-looks', { params: { query: { site_id: lot.site_id } }, signal })),
    loadPlaces(lot.site_id, signal),
    loadNames(),
  ]);
  const secondLook = looks.items.find((look) => look.lot_id === id) ?? null;
  return { lot, shipment, inspections, verdicts, movements, placements, secondLook, places, names };
}

function sentenceOf({ lot, shipment }: Found): string {
  const said = words.value.dock.lot;
  if (shipment && !shipment.docked_at) return said.answerNotHere(lot.plants, format.value.weekday(shipment.expected_on));
  if (!lot.inspected) return said.answerWaiting(lot.plants);
  if (!lot.verdict) return said.answerUndecided;
  const verdict = said.answerVerdict(said.verdict[lot.verdict], lot.plants_on_hand);
  if (lot.plants_on_hand === 0) return `**${said.verdict[lot.verdict]}.** ${said.answerNoneLeft}`;
  return lot.verdict === 'hold' ? `${verdict} ${said.answerHold}` : verdict;
}

/** The farm becomes known: which, and by which paper. */
function NameFarm({ lot, names, changed }: { lot: Lot; names: Names; changed: () => void }) {
  const said = words.value.dock.lot;
  const { common } = words.value;
  const [open, setOpen] = useState(false);
  const [farmIds, setFarmIds] = useState<string[]>([]);
  const [knownBy, setKnownBy] = useState('');
  const saving = useSaving();
  if (!open) {
    return (
      <Button kind="quiet" onClick={() => setOpen(true)}>
        {said.nameFarm}
      </Button>
    );
  }
  const submit = (): void =>
    void saving.run(async () => {
      await save('lots', lot.id, { ...lotBody(lot), farm_ids: farmIds, ...(knownBy.trim() !== '' && { farm_known_by: knownBy.trim() }) }, lot.version);
      notify(common.saved);
      changed();
    });
  return (
    <Form problem={saving.problem} onSubmit={submit} label={said.nameFarm} class="dock-inset">
      <p class="quiet">{said.farmLead}</p>
      <FarmField
        farmIds={farmIds}
        knownBy={knownBy}
        supplierId={lot.supplier_id ?? ''}
        names={names}
        change={(part) => {
          if (part.farmIds) setFarmIds(part.farmIds);
          if (part.farmKnownBy !== undefined) setKnownBy(part.farmKnownBy);
        }}
      />
      <div class="form-actions">
        <Button kind="strong" type="submit" busy={saving.busy} disabled={farmIds.length === 0}>
          {common.save}
        </Button>
        <Button onClick={() => setOpen(false)}>{common.cancel}</Button>
      </div>
    </Form>
  );
}

function LotFacts({ found: { lot, shipment, names }, changed }: { found: Found; changed: () => void }) {
  const said = words.value.dock.lot;
  const { common, dock } = words.value;
  const f = format.value;
  const cultivar = names.cultivars.find((each) => each.id === lot.cultivar_id);
  const farms = lot.farm_ids ?? [];
  const arrived = shipment?.docked_at
    ? f.moment(shipment.docked_at, zoneOf(lot.site_id))
    : shipment
      ? dock.expected(f.weekday(lot.arrived_on))
      : f.weekday(lot.arrived_on);
  return (
    <Section
      title={said.facts}
      actions={
        <div class="row">
          <ButtonLink to={withQuery('/labels', { lot: lot.id })}>{said.printLabel}</ButtonLink>
          <ButtonLink to={`/dock/lots/${lot.id}/correct`}>{dock.shipment.correct}</ButtonLink>
        </div>
      }
    >
      <ArrivalFacts
        items={[
          {
            term: said.farm,
            value:
              farms.length > 0 ? (
                <>
                  {f.list(farms.map((id) => farmName(names, id)))}
                  {lot.farm_known_by && <span class="quiet">, {said.farmKnownBy(lot.farm_known_by)}</span>}
                </>
              ) : (
                <>
                  {said.farmUnknown} <NameFarm lot={lot} names={names} changed={changed} />
                </>
              ),
          },
          { term: said.supplier, value: supplierName(names, lot.supplier_id) },
          { term: said.arrivedOn, value: arrived },
          { term: said.cultivar, value: cultivar && `${cultivar.name}, ${said.foliage(common.foliage[cultivar.foliage])}` },
          { term: said.form, value: common.form[lot.form ?? 'unrooted'] },
          { term: said.plants, value: f.count(lot.plants) },
          { term: said.onHand, value: f.count(lot.plants_on_hand) },
          { term: said.supplierLotCode, value: lot.supplier_lot_code },
          { term: said.rootingStation, value: lot.rooting_station },
          { term: said.note, value: lot.note },
        ]}
      />
    </Section>
  );
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

function Content({ found, changed }: { found: Found; changed: () => void }) {
  const { dock } = words.value;
  const said = dock.lot;
  const { lot, shipment, inspections, verdicts, names } = found;
  const now = useNow();
  const latestFirst = inspections.toSorted((a, b) => b.inspected_at.localeCompare(a.inspected_at));
  const secondDue = found.secondLook !== null && found.secondLook.state !== 'waiting';
  const standing = inspections.filter((each) => !each.withdrawn_because);
  return (
    <>
      {lot.withdrawn_because && <Notice kind="doubt" title={dock.withdraw.notice(lot.withdrawn_because)} />}
      <div class="dock-answer">
        <Answer>
          <Marked text={sentenceOf(found)} />
        </Answer>
        {shipment && (
          <p>
            <ClaimClock shipment={shipment} now={now} />
          </p>
        )}
      </div>
      <Section
        title={said.inspections}
        actions={
          !shipment || shipment.docked_at ? (
            <div class="row">
              <ButtonLink to={`/dock/lots/${lot.id}/inspect`} kind={lot.inspected ? 'plain' : 'primary'}>
                {lot.inspected ? said.inspectAgain : said.inspect}
              </ButtonLink>
              {found.secondLook && (
                <ButtonLink to={`/dock/lots/${lot.id}/inspect?kind=second_look`} kind={secondDue && lot.inspected ? 'primary' : 'plain'}>
                  {said.makeSecondLook}
                </ButtonLink>
              )}
            </div>
          ) : undefined
        }
      >
        <SecondLookLine look={found.secondLook} made={standing.some((each) => each.kind === 'second_look')} />
        <ol class="dock-list">
          {latestFirst.map((inspection) => (
            <InspectionItem
              key={inspection.id}
              inspection={inspection}
              verdicts={verdicts.filter((verdict) => verdict.inspection_id === inspection.id)}
              zone={zoneOf(lot.site_id)}
              names={names}
            />
          ))}
        </ol>
      </Section>
      <Stands lot={lot} placements={found.placements} places={found.places} />
      <Movements lot={lot} placements={found.placements} movements={found.movements} places={found.places} changed={changed} />
      <LotFacts key={lot.version} found={found} changed={changed} />
      <Revisions recordId={lot.id} version={lot.version} zone={zoneOf(lot.site_id)} names={names} />
    </>
  );
}

/** The arrival side of a lot: inspections, movements, facts. */
export function LotPage({ id }: { id: string }) {
  const { dock } = words.value;
  const load = useLoad((signal) => fetchLot(id, signal), [id]);
  const found = load.data;
  const title = found ? dock.lot.title(found.lot.code ?? '', cultivarName(found.names, found.lot.cultivar_id)) : dock.shipment.lot;
  const back = found?.shipment
    ? {
        to: `/dock/shipments/${found.shipment.id}`,
        label: dock.shipment.title(supplierName(found.names, found.shipment.supplier_id), format.value.date(found.shipment.arrived_on)),
      }
    : { to: '/dock', label: dock.title };
  return (
    <Page title={title} back={back}>
      <Loaded of={load}>{(data) => <Content found={data} changed={load.reload} />}</Loaded>
    </Page>
  );
}
