import { useEffect, useState } from 'preact/hooks';

import { Button, Details, Empty, Section } from '../../../parts';
import { Link } from '../../../router';
import { format, words } from '../../../words';
import { Marked } from '../../shared/marked';
import { zoneOf } from '../../shared/site';
import { EventRow } from './event';
import { timelineOf, type LifeEvent } from './events';
import { codeOf, type Found } from './found';
import { sumOf, type Term } from './tally';

const shownAtFirst = 20;

/** What came is what is there and what went: a sum that a person can check. */
function Sum({ found: { life, lot } }: { found: Found }) {
  const said = words.value.dock.life.sum;
  const { came, went } = sumOf(life.tally, !lot.shipment_id);
  const side = (terms: Term[]): string => terms.map(({ key, plants }) => said[key](plants)).join(' + ');
  return <p class="lot-sum">{`${side(came)} = ${side(went)}`}</p>;
}

function Strike({ found: { life } }: { found: Found }) {
  const { count, of, percent, lower_percent: lower, upper_percent: upper } = life.strike;
  if (of === 0) return null;
  const f = format.value;
  const known = typeof percent === 'number' && typeof lower === 'number' && typeof upper === 'number';
  return (
    <p>
      <Marked text={words.value.dock.life.rooted(f.of(count, of), known ? f.interval(percent, lower, upper) : '')} />
    </p>
  );
}

/** The whole life of a lot, newest first, with what it has from the lots it came from. */
export function Timeline({ found, changed }: { found: Found; changed: () => void }) {
  const said = words.value.dock.life;
  const { common } = words.value;
  const zone = zoneOf(found.lot.site_id);
  const [all, setAll] = useState(false);
  const { standing, withdrawn } = timelineOf(found.life, found.own, found.ancestors);
  // An address that names an event shows it, however old it is; the page came after the address, so it is scrolled to here.
  const hash = location.hash.slice(1);
  const named = standing.findIndex(({ id }) => id === hash);
  useEffect(() => {
    if (named >= 0) document.getElementById(hash)?.scrollIntoView();
  }, [hash]);
  const shown = all || named >= shownAtFirst ? standing : standing.slice(0, shownAtFirst);
  const rows = (events: readonly LifeEvent[]) => (
    <ol class="dock-list">
      {events.map((event) => (
        <EventRow key={`${event.what} ${event.id}`} event={event} found={found} zone={zone} named={event.id === hash} changed={changed} />
      ))}
    </ol>
  );
  const leftOut = found.ancestorsLeftOut > 0 ? found.life.ancestors.filter(({ lot_id }) => !found.ancestors.some(({ of }) => of.lot_id === lot_id)) : [];
  return (
    <Section title={said.title} lead={found.whole ? said.inTimeline : said.notWhole}>
      {found.whole && found.life.state !== 'expected' && <Sum found={found} />}
      <Strike found={found} />
      {standing.length === 0 ? <Empty title={said.title}>{said.empty}</Empty> : rows(shown)}
      {shown.length < standing.length && (
        <div>
          <Button onClick={() => setAll(true)}>{`${common.more} (${format.value.count(standing.length - shown.length)})`}</Button>
        </div>
      )}
      {leftOut.length > 0 && (
        <Details summary={said.parentsLeftOut(leftOut.length)}>
          <p>
            {leftOut.map(({ lot_id }) => (
              <Link key={lot_id} to={`/dock/lots/${lot_id}`} class="dock-lot-name">
                {`${codeOf(found.kin, lot_id)} `}
              </Link>
            ))}
          </p>
        </Details>
      )}
      {withdrawn.length > 0 && <Details summary={said.withdrawn(withdrawn.length)}>{rows(withdrawn)}</Details>}
    </Section>
  );
}
