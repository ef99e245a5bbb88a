import { fetchPage } from '../api';
import type { Daybook, Site } from '../contract.gen';
import { dateAt } from '../local/zone';
import { Button, ButtonLink, ChoiceField, Empty, Loaded, Notice, Page, Progress, useLoad } from '../parts';
import { withQuery } from '../router';
import { ScanButton } from '../scan/button';
import { isOwner, readsOnly, session } from '../session';
import { format, words } from '../words';
import { useDaybook } from './daybook-store';
import { House } from './house-round';
import { KeptDrafts } from './kept-drafts';
import { narrow, narrowingFor } from './narrowing';
import { planProblem, rulesHeld, walksOf } from './plan-store';
import { allWalked, namesOf, narrowed, nextOf, progressOf, roundOf, withoutPlan } from './round';
import { SecondLooks } from './second-look-choice';
import { lotName, momentText, nextAddress, stopName } from './said';

/** The blocks of today, house by house in walking order. */
export function Today({ site }: { site: Site }) {
  const { walk } = words.value;
  const load = useDaybook(site.id);
  const { data: book, problem } = load;
  return (
    <Page
      title={walk.title}
      actions={<ScanButton from="walk" site={site} />}
      above={book ? `${format.value.weekday(book.on)} · ${format.value.week(book.week)} · ${book.site.name}` : site.name}
    >
      {book && problem?.status === 0 ? (
        <>
          <Notice>
            <p>{walk.today.asOf(momentText(book.now, dateAt(book.now, site.time_zone), site.time_zone))}</p>
          </Notice>
          <Round book={book} onReload={load.reload} />
        </>
      ) : (
        <Loaded of={load}>{(data) => <Round book={data} onReload={load.reload} />}</Loaded>
      )}
    </Page>
  );
}

function Round({ book, onReload }: { book: Daybook; onReload: () => void }) {
  const { today, plan } = words.value.walk;
  const walks = walksOf(book);
  const rules = rulesHeld(book);
  const rounds = roundOf(book, walks);
  const names = namesOf(book);
  const narrowing = narrowingFor(book);
  const walked = narrowed(rounds, { ...narrowing, left: false });
  const shown = narrowed(rounds, narrowing);
  const { looked, all } = progressOf(walked);
  const next = nextOf(walked);
  const unplanned = withoutPlan(rounds);
  const planned = walks.size > 0 && unplanned.length === 0;
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
        <Progress label={planned ? plan.progress(looked, all) : today.progress(looked, all)} value={looked} max={Math.max(1, all)} />
        {next && readsOnly() ? null : next ? (
          <ButtonLink to={nextAddress(next)} kind="primary" size="large" wide>
            <span>
              {today.next(stopName(next.stop))} · <span class="walk-whole">{lotName(next.standing.lot, names)}</span>
            </span>
          </ButtonLink>
        ) : (
          all > 0 && <p>{!allWalked(walked) ? plan.leftGone : planned ? plan.allDone : today.allDone}</p>
        )}
        {unplanned.length > 0 && planProblem.value && (
          <div class="walk-said">
            <p class="quiet">{walks.size === 0 ? plan.none : plan.noneFor(format.value.list(unplanned.map(({ name }) => name)))}</p>
            <Button onClick={onReload}>{words.value.common.retry}</Button>
          </div>
        )}
      </div>
      <KeptDrafts book={book} />
      <SecondLooks book={book} rounds={walked} names={names} />
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
        <House
          key={round.house.id}
          book={book}
          round={round}
          whole={walked.find(({ house }) => house.id === round.house.id) ?? round}
          names={names}
          walk={walks.get(round.house.id)}
          rules={rules}
        />
      ))}
      <p>
        <ButtonLink to={withQuery('/sheets', narrowing.house ? { house: narrowing.house, site: book.site.id } : {})} kind="quiet">
          {words.value.walk.sheets}
        </ButtonLink>
      </p>
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
