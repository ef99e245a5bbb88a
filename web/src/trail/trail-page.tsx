import { client, read } from '../api';
import type { Trail } from '../contract.gen';
import { Answer, ButtonLink, ChoiceField, Empty, Loaded, Page, Section, useLoad } from '../parts';
import { go } from '../router';
import { Marked } from '../trends/marked';
import { unmarked } from '../trends/mark';
import { format, words } from '../words';
import { Diagram } from './flow/diagram';
import { LotsTable } from './lots-table';
import { fetchNames, type Names } from './names';
import { Events, ExactParts, OnlyThese } from './parts';
import { Papers } from './reach/records';
import { balanceSentence, startName, trailAnswer } from './sentences';
import { exportAddress, reachAddress, trailAddress, ways, type Asked } from './state';

interface Found {
  trail: Trail;
  names: Names;
}

async function fetchTrail({ from, id, way }: Asked, signal: AbortSignal): Promise<Found> {
  const [trail, names] = await Promise.all([read(client.GET('/trail', { params: { query: { from, id, way } }, signal })), fetchNames(signal)]);
  return { trail, names };
}

/** What can be done with a trail besides reading it. */
function Actions({ asked }: { asked: Asked }) {
  const { exports: say } = words.value.trail;
  return (
    <div class="row trail-actions">
      {asked.way === 'forward' && (
        <ButtonLink to={reachAddress(asked)} kind="primary">
          {say.reach}
        </ButtonLink>
      )}
      <a class="btn btn-plain" href={exportAddress('csv', asked)} download>
        {say.csv}
      </a>
      <a class="btn btn-plain" href={exportAddress('epcis', asked)} download>
        {say.epcis}
      </a>
    </div>
  );
}

function Body({ asked, found: { trail, names } }: { asked: Asked; found: Found }) {
  const say = words.value.trail;
  const speech = { words: words.value, format: format.value };
  const answer = trailAnswer(trail, startName(trail, names, speech), names, speech);
  const balance = balanceSentence(trail, speech);
  if (trail.lots.length === 0 && trail.cannot_rule_out.length === 0) {
    return (
      <Empty title={say.nothingTitle}>
        <OnlyThese />
        <p>{say.nothing}</p>
      </Empty>
    );
  }
  return (
    <>
      <OnlyThese />
      <Answer>
        <Marked text={answer} />
      </Answer>
      {balance !== '' && <p class="lead">{balance}</p>}
      <ExactParts trail={trail} />
      <Actions asked={asked} />
      {trail.lots.length > 0 && (
        <>
          <Section title={say.diagram.title}>
            <Diagram trail={trail} names={names} answer={unmarked(answer)} />
          </Section>
          <Section title={say.table.title}>
            <LotsTable trail={trail} lots={trail.lots} names={names} caption={say.table.caption} />
          </Section>
          {asked.way === 'back' && <Papers trail={trail} names={names} />}
          <Events trail={trail} names={names} />
        </>
      )}
      {trail.cannot_rule_out.length > 0 && (
        <Section title={say.table.cannotRuleOut} lead={say.table.cannotRuleOutLead}>
          <LotsTable trail={trail} lots={trail.cannot_rule_out} names={names} caption={say.table.cannotRuleOut} />
        </Section>
      )}
    </>
  );
}

/** One trail: the answer, the flow, every lot, and what happened. */
export function TrailPage({ asked }: { asked: Asked }) {
  const say = words.value.trail;
  const load = useLoad((signal) => fetchTrail(asked, signal), [asked.from, asked.id, asked.way]);
  const found = load.data?.trail.id === asked.id && load.data.trail.way === asked.way ? load.data : undefined;
  const title = found ? say.heading[asked.from](startName(found.trail, found.names, { words: words.value, format: format.value })) : say.title;
  const open = { lot: { to: `/dock/lots/${asked.id}`, label: say.openLot }, shipment: { to: `/dock/shipments/${asked.id}`, label: say.openShipment } };
  const opens = asked.from === 'lot' || asked.from === 'shipment' ? open[asked.from] : null;
  return (
    <Page width="wide" title={title} back={{ to: '/trail', label: say.another }} actions={opens && <ButtonLink to={opens.to}>{opens.label}</ButtonLink>}>
      <div class="trail" aria-busy={load.loading}>
        <ChoiceField
          label={say.wayLabel}
          quietLabel
          value={asked.way}
          onValue={(way) => go(trailAddress(asked.from, asked.id, way), { keepScroll: true })}
          options={ways.map((way) => ({ value: way, label: say.way[way] }))}
        />
        <Loaded of={{ ...load, data: found }}>{(data) => <Body asked={asked} found={data} />}</Loaded>
        {load.problem?.status === 422 && <p>{say.noSuch}</p>}
      </div>
    </Page>
  );
}
