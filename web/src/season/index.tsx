import './season.css';

import { client, fetchAll, read } from '../api';
import type { SeasonReview } from '../contract.gen';
import { commonName } from '../organism';
import { Answer, ChoiceField, Details, Empty, Loaded, Page, Section, SelectField, useLoad } from '../parts';
import { go, Link, useRoute, withQuery } from '../router';
import { sites } from '../session';
import { Marked } from '../trends/marked';
import { originAnswer } from '../trends/origin/sentences';
import { format, words } from '../words';
import { reviewAnswer } from './review';
import { Rows } from './rows';
import { addressOf, fileAddress, groupings, orders, questionOf, readState, type Order, type SeasonState } from './state';

async function fetchNames(signal: AbortSignal) {
  const [seasons, crops, organisms] = await Promise.all([fetchAll('seasons', {}, signal), fetchAll('crops', {}, signal), fetchAll('organisms', {}, signal)]);
  return { seasons, crops, organisms };
}

type Names = Awaited<ReturnType<typeof fetchNames>>;

const all = 'all';

function Filters({ state, review, names }: { state: SeasonState; review: SeasonReview; names: Names }) {
  const say = words.value.season;
  const change = (to: Partial<SeasonState>): void => go(addressOf({ ...state, ...to }), { keepScroll: true });
  const crop = (id: string): string => names.crops.find((one) => one.id === id)?.name ?? '';
  return (
    <div class="season-filters">
      <ChoiceField label={say.byLabel} value={state.by} onValue={(by) => change({ by })} options={groupings.map((value) => ({ value, label: say.by[value] }))} />
      <div class="form-row" role="group" aria-label={say.filters}>
        {names.seasons.length > 1 && (
          <SelectField
            label={say.season}
            value={review.season_id ?? null}
            onValue={(season) => change({ season })}
            options={names.seasons.toSorted((a, b) => b.year - a.year).map(({ id, year, crop_id: of }) => ({ value: id, label: say.seasonYear(year, crop(of)) }))}
          />
        )}
        {sites.value.length > 1 && (
          <SelectField
            label={say.site}
            value={state.site ?? all}
            onValue={(site) => change({ site: site === all ? null : site })}
            options={[{ value: all, label: say.allSites }, ...sites.value.map(({ id, name }) => ({ value: id, label: name }))]}
          />
        )}
        <SelectField<Order> label={say.order} value={state.order} onValue={(order) => change({ order: order ?? 'peak' })} options={orders.map((value) => ({ value, label: say.orders[value] }))} />
      </div>
    </div>
  );
}

function Found({ state, review, names }: { state: SeasonState; review: SeasonReview; names: Names }) {
  const say = words.value.season;
  const speech = { words: words.value, format: format.value };
  if (!review.season_id) {
    return (
      <Empty title={say.emptyTitle}>
        <p>{say.empty}</p>
      </Empty>
    );
  }
  const organism = names.organisms.find(({ id }) => id === review.organism_id);
  return (
    <>
      <Answer>
        <Marked text={reviewAnswer(review, speech)} />
      </Answer>
      <Filters state={state} review={review} names={names} />
      <Rows review={review} state={state} />
      {review.origin && (
        <Section title={say.origin}>
          <Answer small>
            <Marked text={originAnswer(review.origin, organism ? commonName(organism) : '', speech)} />
          </Answer>
          <p class="aside-print">
            <Link to={withQuery('/trends', { by: 'arrival', site: state.site ?? all, season: review.season_id })}>{say.toOrigin}</Link>
          </p>
        </Section>
      )}
      <footer class="season-foot">
        <Details summary={say.workedOut}>
          {say.method.map((text) => (
            <p key={text}>{text}</p>
          ))}
        </Details>
      </footer>
    </>
  );
}

function aboveOf({ organism_id: organism, season_year: year, as_of: day }: SeasonReview, names: Names, { site }: SeasonState): string {
  const say = words.value.season;
  const one = names.organisms.find(({ id }) => id === organism);
  return [
    one && commonName(one),
    site === null ? (sites.value.length > 1 ? say.allSites : sites.value[0]?.name) : sites.value.find(({ id }) => id === site)?.name,
    year === undefined ? undefined : say.seasonYear(year, ''),
    day === undefined ? undefined : say.asOf(format.value.fullDate(day)),
  ]
    .filter((part) => part !== undefined && part !== '')
    .join(' · ');
}

/** How a season went by supplier, farm, cultivar, arrival and house, against the one before. */
export default function Season() {
  const say = words.value.season;
  const state = readState(useRoute().query);
  const names = useLoad(fetchNames, []);
  const query = questionOf(state);
  const asked = JSON.stringify(query);
  const load = useLoad(async (signal) => ({ asked, review: await read(client.GET('/season-review', { params: { query }, signal })) }), [asked]);
  const review = load.data?.asked === asked ? load.data.review : undefined;
  return (
    <div class="season" aria-busy={load.loading || names.loading}>
      <Page
        width="wide"
        title={say.title}
        back={{ to: '/houses', label: say.toHouses }}
        above={review && names.data ? aboveOf(review, names.data, state) : undefined}
        actions={
          <>
            <a class="btn btn-plain" href={fileAddress(state, 'csv')} download>
              {say.csv}
            </a>
            <a class="btn btn-plain" href={fileAddress(state, 'xlsx')} download>
              {say.xlsx}
            </a>
          </>
        }
      >
        <Loaded of={names}>{(named) => (review ? <Found state={state} review={review} names={named} /> : null)}</Loaded>
        <Loaded of={{ ...load, data: review }}>{() => null}</Loaded>
      </Page>
    </div>
  );
}
