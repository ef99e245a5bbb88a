import type { ComponentChildren } from 'preact';

import type { WeekReading, WeekSection } from '../contract.gen';
import { inspectAddress } from '../dock/shared/inspect-address';
import { addDays } from '../local/zone';
import { Tag } from '../parts';
import { Link } from '../router';
import { serverNow } from '../session';
import { zoneOf } from '../trends/names';
import { format, words } from '../words';
import { isOf } from './state';

const day = 86_400_000;

/** So many of each stand on the printed sheet. */
const printed = 4;

function Part({ title, none, children }: { title: string; none: string; children: ComponentChildren[] }) {
  return (
    <div class="week-due-part">
      <h4>{title}</h4>
      {children.length > 0 ? <ul>{children}</ul> : <p class="quiet">{none}</p>}
      {children.length > printed && <p class="week-printed quiet">{words.value.week.andMore(children.length - printed)}</p>}
    </div>
  );
}

type Hold = WeekReading['holds'][number];

/** Holds that were laid at once for one reason, with all their lots. */
function laidTogether(holds: readonly Hold[]): Hold[][] {
  const groups = new Map<string, Hold[]>();
  for (const hold of holds) {
    const key = [hold.kind, hold.from_at, hold.reason].join(' ');
    groups.set(key, [...(groups.get(key) ?? []), hold]);
  }
  return [...groups.values()];
}

/** What somebody has to see to: the round, second looks, holds, claims. */
export function Due({ section, reading }: { section: WeekSection; reading: WeekReading }) {
  const { week: say, common } = words.value;
  const f = format.value;
  const { plan } = section;
  const now = serverNow();
  const zone = zoneOf(reading.site_id);
  const soon = addDays(reading.as_of, 7);
  const looks = reading.second_looks.filter(({ section_ids, second_look }) => isOf(section_ids, section) && second_look.due_from <= soon);
  const holds = reading.holds.filter(({ section_ids }) => isOf(section_ids, section));
  return (
    <section class="week-part week-due">
      <h3>{say.due}</h3>
      <div class="week-due-parts">
        <div class="week-due-part">
          <h4>{say.plan(f.week(plan.week))}</h4>
          {plan.blocks === 0 ? (
            <p class="quiet">{say.noRound}</p>
          ) : (
            <p>
              {say.planned(common.blocks(plan.blocks), common.plants(plan.plants), f.span(plan.minutes * 60_000), f.of(plan.blocks_done, plan.blocks))}{' '}
              <Link to="/walk" class="week-more">
                {say.toWalk}
              </Link>
            </p>
          )}
        </div>
        <Part title={say.secondLooks} none={say.noSecondLooks}>
          {looks.map(({ second_look: look, cultivar }) => (
            <li key={look.lot_id}>
              <Link to={inspectAddress(look.lot_id, 'second_look')}>
                {look.lot_code} {cultivar}
              </Link>{' '}
              {look.state === 'late' ? (
                <Tag strong>{say.late(Math.round((Date.parse(reading.as_of) - Date.parse(look.due_to)) / day))}</Tag>
              ) : look.state === 'due' ? (
                <Tag>{say.dueTo(f.date(look.due_to))}</Tag>
              ) : (
                <span class="quiet">{say.from(f.date(look.due_from))}</span>
              )}
            </li>
          ))}
        </Part>
        <Part title={say.holds} none={say.noHolds}>
          {laidTogether(holds).flatMap((held) => {
            const [hold] = held;
            if (!hold) return [];
            return (
              <li key={`${hold.lot_id} ${hold.from_at}`}>
                {held.map(({ lot_id, lot_code }) => (
                  <Link key={lot_id} to={`/dock/lots/${lot_id}`}>
                    {lot_code}
                  </Link>
                ))}{' '}
                {Object.hasOwn(say.hold, hold.kind) ? say.hold[hold.kind as keyof typeof say.hold] : hold.kind}, {say.since(f.moment(hold.from_at, zone))}. {hold.reason}
              </li>
            );
          })}
        </Part>
        <Part title={`${say.claims} (${say.siteWide})`} none={say.noClaims}>
          {reading.claims.map((claim) => {
            const arrived = f.date(claim.arrived_on);
            const left = f.left(claim.closes_at, now);
            return (
              <li key={`${claim.shipment_id} ${claim.claim_id ?? ''}`}>
                <Link to={`/dock/shipments/${claim.shipment_id}`}>{claim.supplier}</Link>{' '}
                {claim.claim_id === null ? say.claimRuns(arrived, left) : claim.sent_at ? say.claimSent(arrived, f.moment(claim.sent_at, zone)) : say.claimDraft(arrived, left)}
              </li>
            );
          })}
        </Part>
      </div>
    </section>
  );
}
