import type { Trends } from '../contract.gen';
import { Empty, ButtonLink } from '../parts';
import { go } from '../router';
import { format, words } from '../words';
import { SeriesLegend } from '../marks';
import { pointsAhead } from './ahead';
import { Card } from './card';
import { HeldAgainst } from './held';
import { inOrder } from './order';
import { axisWeeks, commonTop } from './scale';
import { addressOf, type TrendsState } from './state';

/** How far the overview was scrolled when a group was opened, to come back to the same place. */
let leftAt = 0;

/** Gives the place once, then forgets it. */
export function placeLeft(): number {
  const place = leftAt;
  leftAt = 0;
  return place;
}

interface OverviewProps {
  state: TrendsState;
  trends: Trends;
  organism: string;
}

function Nothing({ state, trends }: { state: TrendsState; trends: Trends }) {
  const { trends: say } = words.value;
  if (!trends.season_id) {
    return (
      <Empty title={say.emptySeasonTitle} action={<ButtonLink to="/setup">{say.toSetup}</ButtonLink>}>
        <p>{say.emptySeason}</p>
      </Empty>
    );
  }
  const filtered = [state.house, state.cultivar, state.foliage, state.arrived, state.season, state.organism].some((filter) => filter !== null);
  return (
    <Empty title={say.emptyTitle} action={filtered ? undefined : <ButtonLink to="/walk">{say.toWalk}</ButtonLink>}>
      <p>{filtered ? say.emptyFiltered : say.empty}</p>
    </Empty>
  );
}

/** All groups as small multiples on one scale, what needs a person first. */
export function Overview({ state, trends, organism }: OverviewProps) {
  const { trends: say } = words.value;
  if (trends.groups.length === 0) return <Nothing state={state} trends={trends} />;
  const weeks = axisWeeks(trends.groups, trends.as_of);
  const top = commonTop(trends.groups);
  const leave = (): void => {
    leftAt = scrollY;
  };
  return (
    <>
      <HeldAgainst state={state} trends={trends} onOpen={leave} />
      <div class="trend-reading">
        <p class="lead">
          {say.sorted[state.order]} {say.scale(format.value.percent(top))}
        </p>
        <SeriesLegend confidence={trends.confidence_percent} ahead={trends.groups.some((group) => pointsAhead(group).length > 0)} />
      </div>
      <div class="multiples trend-cards">
        {inOrder(trends.groups, state.order).map((group) => {
          const opened = { ...state, open: group.key, week: null, look: null };
          return (
            <Card
              key={`${group.key} ${group.label}`}
              group={group}
              trends={trends}
              organism={organism}
              weeks={weeks}
              top={top}
              to={addressOf(opened)}
              onOpen={leave}
              onPick={(point) => {
                leave();
                go(addressOf({ ...opened, week: point.week }));
              }}
            />
          );
        })}
      </div>
    </>
  );
}
