import { fetchPage } from '../api';
import type { Daybook, Site } from '../contract.gen';
import { dateAt } from '../local/zone';
import { ButtonLink, ChoiceField, Details, Empty, Loaded, Notice, Page, Progress, useLoad } from '../parts';
import { Link } from '../router';
import { isOwner, session } from '../session';
import { format, words } from '../words';
import { useDaybook } from './daybook-store';
import { KeptDrafts } from './kept-drafts';
import { narrow, narrowingFor } from './narrowing';
import { counts, namesOf, narrowed, nextOf, progressOf, roundOf, type HouseRound, type Names, type Stop } from './round';
import { lotName, momentText, nextAddress, resultText, stopAddress, stopName } from './said';

/** The blocks of today, house by house in walking order. */
export function Today({ site }: { site: Site }) {
  const { walk } = words.value;
  const load = useDaybook(site.id);
  const { data: book, problem } = load;
  return (
    <Page
      title={walk.title}
      above={book ? `${format.value.weekday(book.on)} · ${format.value.week(book.week)} · ${book.site.name}` : site.name}
    >
      {book && problem?.status === 0 ? (
        <>
          <Notice>
            <p>{walk.today.asOf(momentText(book.now, dateAt(book.now, site.time_zone), site.time_zone))}</p>
          </Notice>
          <Round book={book} />
        </>
      ) : (
        <Loaded of={load}>{(data) => <Round book={data} />}</Loaded>
      )}
    </Page>
  );
}

function Round({ book }: { book: Daybook }) {
  const { today } = words.value.walk;
  const rounds = roundOf(book);
  const names = namesOf(book);
  const narrowing = narrowingFor(book);
  const walked = narrowed(rounds, { ...narrowing, left: false });
  const shown = narrowed(rounds, narrowing);
  const { looked, all } = progressOf(walked);
  const next = nextOf(walked);
  if (book.blocks.length === 0) {
    return (
      <Empty title={today.emptyTitle} action={isOwner(book.site.id) ? <ButtonLink to="/setup">{today.toSetup}</ButtonLink> : undefined}>
        <p>{today.emptyText}</p>
      </Empty>
    );
  }
  const mine = session.value?.person.id;
  return (
    <>
      <div class="walk-top">
        <Progress label={today.progress(looked, all)} value={looked} max={Math.max(1, all)} />
        {next ? (
          <ButtonLink to={nextAddress(next)} kind="primary" size="large" wide>
            <span>
              {today.next(stopName(next.stop))} · <span class="walk-whole">{lotName(next.standing.lot, names)}</span>
            </span>
          </ButtonLink>
        ) : (
          all > 0 && <p>{today.allDone}</p>
        )}
      </div>
      <KeptDrafts book={book} />
      <InDoubt siteId={book.site.id} />
      <div class="walk-narrow">
        <div class="walk-pair">
          {book.sections.length > 0 && (
            <Narrow
              label={today.section}
              all={today.allSections}
              value={narrowing.section}
              onValue={(section) => narrow(book, { ...narrowing, section })}
              options={book.sections.map(({ id, name, grower_id }) => ({ id, name: grower_id === mine ? today.mine(name) : name }))}
            />
          )}
          <Narrow
            label={today.house}
            all={today.allHouses}
            value={narrowing.house}
            onValue={(house) => narrow(book, { ...narrowing, house })}
            options={rounds.map(({ house: { id, name } }) => ({ id, name }))}
          />
        </div>
        <ChoiceField
          label={today.show}
          quietLabel
          value={narrowing.left ? 'left' : 'all'}
          onValue={(show) => narrow(book, { ...narrowing, left: show === 'left' })}
          options={[
            { value: 'all', label: today.showAll },
            { value: 'left', label: today.showLeft },
          ]}
        />
      </div>
      {shown.length === 0 && <p class="quiet">{today.nothingLeft}</p>}
      {shown.map((round) => (
        <House key={round.house.id} round={round} whole={walked.find(({ house }) => house.id === round.house.id) ?? round} names={names} />
      ))}
    </>
  );
}

interface NarrowProps {
  label: string;
  /** The words for all of them. */
  all: string;
  value: string | null;
  onValue: (id: string | null) => void;
  options: readonly { id: string; name: string }[];
}

function Narrow({ label, all, value, onValue, options }: NarrowProps) {
  return (
    <label>
      <span class="aside-only">{label}</span>
      <select class="input" value={value ?? ''} onChange={(event) => onValue(event.currentTarget.value || null)}>
        <option value="">{all}</option>
        {options.map(({ id, name }) => (
          <option key={id} value={id}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
}

function House({ round, whole, names }: { round: HouseRound; whole: HouseRound; names: Names }) {
  const { today } = words.value.walk;
  const { looked, all } = progressOf([whole]);
  const standing = round.stops.filter((stop) => stop.standing.length > 0);
  const empty = round.stops.filter((stop) => stop.standing.length === 0);
  return (
    <section class="section">
      <header class="section-head">
        <h2>{round.house.name}</h2>
        {all > 0 && <p class="quiet">{today.houseCount(looked, all)}</p>}
      </header>
      {standing.length > 0 && (
        <ol class="walk-stops">
          {standing.map((stop) => (
            <StopRow key={stop.block.id} stop={stop} names={names} />
          ))}
        </ol>
      )}
      {empty.length > 0 && (
        <Details summary={today.nothingStands(empty.length)}>
          <ul class="walk-empty">
            {empty.map(({ block, others }) => (
              <li key={block.id}>
                <Link to={stopAddress(block.id)}>
                  {block.name}
                  {others.length > 0 && ` · ${resultText(others, null, names)}`}
                </Link>
              </li>
            ))}
          </ul>
        </Details>
      )}
    </section>
  );
}

function StopRow({ stop, names }: { stop: Stop; names: Names }) {
  const { lot: lotWords } = words.value.walk;
  const { common } = words.value;
  return (
    <li class="walk-stop">
      <h3>{stop.block.name}</h3>
      <ul>
        {stop.standing.map(({ lot_id, lot, plants, looks }) => {
          const cultivar = names.cultivar(lot?.cultivar_id);
          return (
            <li key={lot_id} class={looks.some(counts) ? 'walk-looked' : 'walk-left'}>
              <Link to={stopAddress(stop.block.id, lot_id)}>
                <b>{lotName(lot, names)}</b>
                <span class="quiet">
                  {[cultivar && lotWords.foliage[cultivar.foliage], common.plants(plants)].filter(Boolean).join(' · ')}
                </span>
                <span class="walk-result">{resultText(looks, names.mainOrganism(lot), names)}</span>
              </Link>
            </li>
          );
        })}
        {stop.others.length > 0 && (
          <li class="walk-looked">
            <Link to={stopAddress(stop.block.id)}>
              <b>{stop.others.some((look) => look.lot_id) ? lotWords.another : lotWords.notKnown}</b>
              <span class="walk-result">{resultText(stop.others, null, names)}</span>
            </Link>
          </li>
        )}
      </ul>
    </li>
  );
}

function InDoubt({ siteId }: { siteId: string }) {
  const { walk, common } = words.value;
  const { data } = useLoad((signal) => fetchPage('looks', { site_id: siteId, in_doubt: true, limit: 50 }, signal), [siteId]);
  if (!data || data.items.length === 0) return null;
  const many = data.next === null ? common.looks(data.items.length) : `${common.looks(data.items.length)}+`;
  return (
    <Notice kind="doubt">
      <div class="row">
        <p>{walk.today.doubts(many)}</p>
        <ButtonLink to="/walk/doubts">{walk.today.settle}</ButtonLink>
      </div>
    </Notice>
  );
}
