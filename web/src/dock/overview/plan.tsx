import { useState } from 'preact/hooks';

import { client, fetchAll, read } from '../../api';
import type { DockPlan, DockPlanStep, Lot, Site } from '../../contract.gen';
import { Answer, ChoiceField, Details, Empty, Loaded, NumberField, Page, Section, useLoad } from '../../parts';
import { go, Link, useRoute, withQuery } from '../../router';
import { format, words } from '../../words';
import { upperPercent } from '../../words/dock-percent';
import { Marked } from '../shared/marked';
import { inspectAddress } from '../shared/inspect-address';
import { cultivarName, loadNames, type Names } from '../shared/names';
import { reasonOf } from '../shared/reason';

interface Found {
  plan: DockPlan;
  lots: Lot[];
  names: Names;
}

interface Pace {
  seconds: number;
  perLot: number;
  confidence: number;
}

const usual = ['30', '60', '90', '120'] as const;

function planSentence(plan: DockPlan): string {
  const said = words.value.dock.plan;
  const minutes = said.minutesFor(format.value.number(plan.minutes, 0));
  const all = plan.steps.length + plan.left_out.length;
  const plants = plan.steps.reduce((sum, step) => sum + step.plants, 0);
  if (plan.steps.length === 0) return said.answerNone(minutes, all);
  if (plan.left_out.length === 0) return said.answerAll(minutes, all, plants);
  return said.answerSome(minutes, plan.steps.length, all, plants);
}

function Step({ step, plan, names }: { step: DockPlanStep; plan: DockPlan; names: Names }) {
  const said = words.value.dock.plan;
  const f = format.value;
  return (
    <li>
      <Link to={inspectAddress(step.lot_id)} class="dock-step">
        <span class="dock-step-name">
          <span class="dock-code">{step.lot_code}</span> <b>{cultivarName(names, step.cultivar_id)}</b>
        </span>
        <span class="dock-step-minutes">{said.minutesFor(f.number(step.minutes, 0))}</span>
        <span class="dock-step-look">
          <Marked text={said.look(step.plants, step.lot_size ?? 0)} />
        </span>
      </Link>
      <p>
        {typeof step.rules_out_percent === 'number' && step.rules_out_percent > 0
          ? said.rulesOut(upperPercent(f, step.rules_out_percent), f.percent(plan.confidence_percent))
          : said.rulesOutNothing}
      </p>
      <p class="quiet">
        <Marked text={step.reasons.map((reason) => reasonOf(reason, names)).join(' ')} />
      </p>
    </li>
  );
}

function Result({ found: { plan, lots, names } }: { found: Found }) {
  const said = words.value.dock.plan;
  const { common } = words.value;
  if (plan.steps.length + plan.left_out.length === 0) return <Empty title={said.nothing}>{said.nothingText}</Empty>;
  return (
    <>
      <Answer>
        <Marked text={planSentence(plan)} />
      </Answer>
      {plan.steps.length > 0 && (
        <Section title={said.first}>
          <ol class="dock-plan">
            {plan.steps.map((step) => (
              <Step key={step.lot_id} step={step} plan={plan} names={names} />
            ))}
          </ol>
        </Section>
      )}
      {plan.left_out.length > 0 && (
        <Section title={said.leftOut(plan.left_out.length)} lead={said.leftOutText}>
          <ul class="dock-list">
            {plan.left_out.map((id) => {
              const lot = lots.find((each) => each.id === id);
              return (
                <li key={id} class="dock-line">
                  <Link to={`/dock/lots/${id}`} class="dock-line-main">
                    <span class="dock-code">{lot?.code}</span>
                    <b>{cultivarName(names, lot?.cultivar_id)}</b>
                    {lot && <span class="quiet">{common.plants(lot.plants)}</span>}
                  </Link>
                </li>
              );
            })}
          </ul>
        </Section>
      )}
    </>
  );
}

/** Which lots to inspect first, and what the time allows to rule out. */
export function Plan({ site }: { site: Site }) {
  const { dock } = words.value;
  const said = dock.plan;
  const { query } = useRoute();
  const shipment = query.get('shipment');
  const asked = Number(query.get('minutes') ?? '60');
  const minutes = asked >= 1 && asked <= 1440 ? asked : 60;
  const [pace, setPace] = useState<Pace>({ seconds: 20, perLot: 1, confidence: 95 });
  const load = useLoad(
    async (signal): Promise<Found> => {
      const [plan, lots, names] = await Promise.all([
        read(
          client.GET('/dock-plan', {
            params: {
              query: {
                site_id: site.id,
                minutes,
                seconds_per_plant: pace.seconds,
                minutes_per_lot: pace.perLot,
                confidence_percent: pace.confidence,
                ...(shipment !== null && { shipment_id: shipment }),
              },
            },
            signal,
          }),
        ),
        fetchAll('lots', { site_id: site.id, state: 'waiting' }, signal),
        loadNames(),
      ]);
      return { plan, lots, names };
    },
    [site.id, minutes, shipment, pace.seconds, pace.perLot, pace.confidence],
  );
  const choose = (next: number | null): void => {
    if (next === null || next < 1 || next > 1440) return;
    go(withQuery('/dock/plan', { minutes: next, shipment }), { replace: true, keepScroll: true });
  };
  const back = shipment === null ? { to: '/dock', label: dock.title } : { to: `/dock/shipments/${shipment}`, label: dock.lot.shipment };
  return (
    <Page title={said.title} back={back}>
      <div class="dock-minutes">
        <ChoiceField
          label={said.minutes}
          value={String(minutes)}
          onValue={(value) => choose(Number(value))}
          options={usual.map((value) => ({ value, label: value }))}
        />
        <NumberField label={said.otherTime} unit={said.minutesUnit} value={minutes} onValue={choose} min={1} max={1440} />
      </div>
      <Loaded of={load}>{(found) => <Result found={found} />}</Loaded>
      <Details summary={said.how}>
        <p class="lead">{said.method}</p>
        <div class="form-row">
          <NumberField
            label={said.secondsPerPlant}
            unit={said.secondsUnit}
            value={pace.seconds}
            onValue={(seconds) => seconds !== null && seconds >= 1 && seconds <= 600 && setPace({ ...pace, seconds })}
          />
          <NumberField
            label={said.minutesPerLot}
            unit={said.minutesUnit}
            decimals={1}
            value={pace.perLot}
            onValue={(perLot) => perLot !== null && perLot >= 0 && perLot <= 60 && setPace({ ...pace, perLot })}
          />
          <NumberField
            label={said.confidence}
            unit="%"
            decimals={1}
            value={pace.confidence}
            onValue={(confidence) => confidence !== null && confidence > 0 && confidence < 100 && setPace({ ...pace, confidence })}
          />
        </div>
      </Details>
    </Page>
  );
}
