import './reach.css';

import { dateAt } from '../../local/zone';
import { Answer, Button, Loaded, Notice, Page, Section, Table, useLoad, type Column } from '../../parts';
import { session } from '../../session';
import { Marked } from '../../trends/marked';
import { format, words } from '../../words';
import { ExactParts, OnlyThese } from '../parts';
import { LotsTable } from '../lots-table';
import { nameIn, zoneOf } from '../names';
import { balanceSentence, startName, trailAnswer } from '../sentences';
import { exportAddress, trailAddress, type Asked } from '../state';
import { Contacts } from './contacts';
import { doubtful, fetchReach, type Doubtful, type Reach } from './read';
import { Customers, Destroyed, Holds, Papers, Places, Samples } from './records';

function Doubts({ reach: { trail, names } }: { reach: Reach }) {
  const { reach: say, table } = words.value.trail;
  const rows = doubtful(trail);
  const columns: Column<Doubtful>[] = [
    { key: 'lot', head: say.lot, cell: ({ lot }) => lot.code },
    { key: 'cultivar', head: table.cultivar, cell: ({ lot }) => nameIn(names.cultivars, lot.cultivar_id) },
    { key: 'received', head: table.received, number: true, cell: ({ lot }) => format.value.count(lot.tally.received) },
    { key: 'onHand', head: table.onHand, number: true, cell: ({ lot }) => format.value.count(lot.on_hand) },
    { key: 'why', head: say.reasonHead, cell: ({ why }) => say.why[why] },
  ];
  return (
    <Section title={say.cannotRuleOut} {...(rows.length > 0 && { lead: say.cannotRuleOutLead })}>
      <Table
        caption={say.cannotRuleOut}
        columns={columns}
        rows={rows}
        rowKey={({ lot }) => lot.lot_id}
        empty={<p>{trail.from === 'farm' ? say.noneCannotRuleOut : say.noneCannotRuleOutOther}</p>}
      />
    </Section>
  );
}

function Body({ asked, reach }: { asked: Asked; reach: Reach }) {
  const { reach: say, table } = words.value.trail;
  const speech = { words: words.value, format: format.value };
  const { trail, names } = reach;
  const name = startName(trail, names, speech);
  const balance = balanceSentence(trail, speech);
  const who = session.value;
  const zone = zoneOf(trail.lots[0]?.site_id);
  return (
    <>
      <p class="reach-made">
        {say.made(who?.organisation.name ?? '', `${format.value.fullDate(dateAt(reach.at, zone))}, ${format.value.time(reach.at, zone)}`, who?.person.name ?? '')}
        {who?.demo === true && ` ${say.demo}`}
      </p>
      <p>{say.asked[asked.from](name)}</p>
      <OnlyThese />
      <Answer>
        <Marked text={trailAnswer(trail, name, names, speech)} />
      </Answer>
      {balance !== '' && <p class="lead">{balance}</p>}
      <ExactParts trail={trail} />
      <Notice>{say.caution}</Notice>
      <Section title={say.lots}>
        <LotsTable trail={trail} lots={trail.lots} names={names} caption={table.caption} plain />
      </Section>
      <Doubts reach={reach} />
      <Places reach={reach} />
      <Customers reach={reach} />
      <Destroyed reach={reach} />
      <Holds reach={reach} />
      <Samples reach={reach} />
      <Papers trail={trail} origins={reach.origins} names={names} />
      <Contacts reach={reach} />
    </>
  );
}

function Actions({ asked }: { asked: Asked }) {
  const { exports: say } = words.value.trail;
  return (
    <>
      <Button kind="primary" onClick={() => print()}>
        {say.print}
      </Button>
      <a class="btn btn-plain" href={exportAddress('csv', asked)} download>
        {say.csv}
      </a>
      <a class="btn btn-plain" href={exportAddress('epcis', asked)} download>
        {say.epcis}
      </a>
    </>
  );
}

/** The answer for a plant health authority, to read and to print. */
export function ReachPage({ asked }: { asked: Asked }) {
  const { reach: say, heading, title } = words.value.trail;
  const load = useLoad((signal) => fetchReach(asked, signal), [asked.from, asked.id]);
  const speech = { words: words.value, format: format.value };
  const name = load.data && startName(load.data.trail, load.data.names, speech);
  return (
    <Page
      width="wide"
      title={name === undefined ? title : say.title(heading[asked.from](name))}
      back={{ to: trailAddress(asked.from, asked.id, 'forward'), label: say.back }}
      actions={load.data && <Actions asked={asked} />}
    >
      <div class="trail reach" aria-busy={load.loading}>
        <Loaded of={load}>{(reach) => <Body asked={asked} reach={reach} />}</Loaded>
      </div>
    </Page>
  );
}
