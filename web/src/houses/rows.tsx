import type { ComparedHouse, HouseComparison, HouseWalked, Rate } from '../contract.gen';
import { IntervalRow, percentTop } from '../marks';
import { Section, Table, Tag, type Column } from '../parts';
import { Link, withQuery } from '../router';
import { mostOf } from '../trends/scale';
import { format, words } from '../words';
import { hasSeveralSites, pointsText } from './answer';

interface RowsProps {
  comparison: HouseComparison;
  houses: readonly ComparedHouse[];
}

/** A house on Trends: its weeks, and where one week is meant, its looks. */
export function trendsOf({ house_id: house, site_id: site }: ComparedHouse, { from_week: from, to_week: to, season_id: season }: HouseComparison): string {
  return withQuery('/trends', { by: 'house', site, season, open: house, week: from === to ? from : null });
}

function within({ house_id: house, site_id: site }: ComparedHouse, { season_id: season }: HouseComparison, by: 'cultivar' | 'lot'): string {
  return withQuery('/trends', { by, site, house, season });
}

/** "12 of 31 · 39 % (24–56)" */
function rateText({ count, of, percent = 0, lower_percent: lower = 0, upper_percent: upper = 100 }: Rate): string {
  return words.value.houses.share(format.value.of(count, of), format.value.interval(percent, lower, upper));
}

function Name({ house, several }: { house: ComparedHouse; several: boolean }) {
  const say = words.value.houses;
  return (
    <>
      <span class="house-name">{house.name}</span>
      {several && <span class="house-site">{house.site}</span>}
      {house.rank > 0 && <span class="house-rank">{say.rank(house.rank)}</span>}
    </>
  );
}

function Share({ house, comparison, max }: { house: ComparedHouse; comparison: HouseComparison; max: number }) {
  const { share } = house;
  if (!share) return <span class="quiet">{words.value.houses.verdict.not_looked}</span>;
  return (
    <div class="house-share">
      <Link to={trendsOf(house, comparison)} class="house-link">
        {format.value.share(share)}
      </Link>
      <IntervalRow
        percent={share.infested_percent}
        lower={share.lower_percent}
        upper={share.upper_percent}
        overall={comparison.overall_percent}
        max={max}
      />
    </div>
  );
}

function Like({ house, comparison }: { house: ComparedHouse; comparison: HouseComparison }) {
  const say = words.value.houses;
  const f = format.value;
  const { like, verdict, share } = house;
  if (!share) return null;
  const strong = verdict === 'higher' || verdict === 'lower';
  return (
    <>
      <Tag strong={strong}>{say.verdict[verdict]}</Tag>
      {like.strata > 0 && (
        <>
          <br />
          <Link to={within(house, comparison, 'cultivar')} class="house-link">
            {pointsText(like, { words: words.value, format: f })}
          </Link>
          <span class="house-more">
            {say.hereThere(f.percent(like.infested_percent ?? 0), f.percent(like.others_percent ?? 0))}
            {like.plants_looked_at < share.plants_looked_at && `, ${say.part(f.of(like.plants_looked_at, share.plants_looked_at))}`}
          </span>
        </>
      )}
    </>
  );
}

function Rules({ walked, oneWeek }: { walked: HouseWalked; oneWeek: boolean }) {
  const say = words.value.houses;
  const f = format.value;
  if (walked.weeks === 0) return <span class="quiet">{say.noWeeks}</span>;
  const { crop_share_weeks: plants, block_share_weeks: blocks, plants_per_block_weeks: perBlock } = walked;
  if (oneWeek) {
    return (
      <>
        {say.rulesWeek(plants + blocks + perBlock)}
        <span class="house-more">
          {[
            say.plantsAsked(f.count(walked.plants_looked_at), f.count(walked.plants_asked ?? 0)),
            say.blocksAsked(f.count(walked.blocks_walked ?? 0), f.count(walked.blocks_asked ?? 0)),
            say.perBlock(perBlock > 0),
          ]
            .filter((part) => part !== '')
            .join(', ')}
        </span>
      </>
    );
  }
  return (
    <>
      {say.rulesSeason(f.of(walked.weeks_met, walked.weeks))}
      <span class="house-more">
        {say.walked(f.count(walked.weeks_walked))}; {say.rulesApart(plants, blocks, perBlock)}
      </span>
    </>
  );
}

function Looks({ house, comparison }: { house: ComparedHouse; comparison: HouseComparison }) {
  const say = words.value.houses;
  const f = format.value;
  const { walked, observers } = house;
  if (walked.looks === 0) return <span class="quiet">{say.nobody}</span>;
  return (
    <>
      <Link to={trendsOf(house, comparison)} class="house-link">
        {walked.plant_weeks > 0 ? say.looks(walked.looks, f.number((1000 * walked.looks) / walked.plant_weeks)) : say.looksOnly(walked.looks)}
      </Link>
      <span class="house-more">
        {walked.timed_looks > 0 ? say.minutes(f.number(walked.seconds / 60 / walked.timed_looks), f.of(walked.timed_looks, walked.looks)) : say.noMinutes}
      </span>
      <span class="house-more">
        {f.list(observers.map(({ name, looks }) => say.observer(name, looks)))}
      </span>
    </>
  );
}

function Lots({ house, comparison }: { house: ComparedHouse; comparison: HouseComparison }) {
  const say = words.value.houses;
  const { under, over, cannot_say: open } = house.lots;
  if (under.of === 0) return <span class="quiet">{say.noLots}</span>;
  return (
    <>
      <Link to={within(house, comparison, 'lot')} class="house-link">
        {rateText(under)}
      </Link>
      <span class="house-more">{say.lotsApart(over, open)}</span>
    </>
  );
}

/** The houses side by side, each number open down to Trends. */
export function Rows({ comparison, houses }: RowsProps) {
  const say = words.value.houses;
  const several = hasSeveralSites(comparison.houses);
  const oneWeek = comparison.from_week === comparison.to_week;
  const shares = houses.flatMap(({ share }) => (share ? [share] : []));
  const max = percentTop([mostOf(shares.map(({ upper_percent: upper }) => upper)), ...shares.map(({ infested_percent: share }) => share)]);
  const columns: Column<ComparedHouse>[] = [
    { key: 'house', head: say.head.house, cell: (house) => <Name house={house} several={several} /> },
    { key: 'share', head: say.head.share, cell: (house) => <Share house={house} comparison={comparison} max={max} /> },
    { key: 'like', head: say.head.like, cell: (house) => <Like house={house} comparison={comparison} /> },
    { key: 'rules', head: say.head.rules, cell: ({ walked }) => <Rules walked={walked} oneWeek={oneWeek} /> },
    { key: 'looks', head: say.head.looks, cell: (house) => <Looks house={house} comparison={comparison} /> },
    { key: 'lots', head: say.head.lots, cell: (house) => <Lots house={house} comparison={comparison} /> },
    {
      key: 'lost',
      head: say.head.lost,
      cell: ({ discarded }) => (discarded.of > 0 ? rateText(discarded) : <span class="quiet">{say.nothingStood}</span>),
    },
  ];
  return (
    <Section title={say.list} lead={say.lead(format.value.percent(max))}>
      <Table caption={say.caption} stack columns={columns} rows={houses} rowKey={({ house_id: id }) => id} />
    </Section>
  );
}
