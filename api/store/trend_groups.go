package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/trend"
)

// ofWeeks brings what was looked at in each week, block and lot together with the
// plants of the lot there: as many as stood there at any time of the week, and as
// many as stood there at its end, looked at or not. Weeks without a look are left out.
const ofWeeks = `
	with doubted as (
		select k.week_start, k.block_id, k.lot_id, count(*) as looks from look k
		join look_finding f on f.organisation_id = $1 and f.look_id = k.id and f.organism_id = $2
		where k.organisation_id = $1 and k.doubts <> '{}' and k.settled_because = '' and k.withdrawn_because = '' and k.purpose = 'planned'
		group by 1, 2, 3),
	looked as (
		select site_id, week_start, block_id, lot_id, looks, plants, infested from tally
		where organisation_id = $1 and organism_id = $2 and plants > 0 and week_start between $3 and $4),
	week as (
		select w.week_start, site.id as site_id, w.week_start::timestamp at time zone site.time_zone as from_at,
			(w.week_start + 7)::timestamp at time zone site.time_zone as to_at
		from (select distinct week_start from looked) w, site where site.organisation_id = $1),
	standing as (
		select p.site_id, week.week_start, p.block_id, p.lot_id, max(p.plants) as plants,
			coalesce(max(p.plants) filter (where p.to_at is null or p.to_at >= week.to_at), 0) as at_end
		from placement p join week on week.site_id = p.site_id and p.from_at < week.to_at and (p.to_at is null or p.to_at > week.from_at)
		where p.organisation_id = $1 group by 1, 2, 3, 4),
	t as (
		select $1::uuid as organisation_id, coalesce(l.site_id, s.site_id) as site_id, coalesce(l.week_start, s.week_start) as week_start,
			coalesce(l.block_id, s.block_id) as block_id, coalesce(l.lot_id, s.lot_id) as lot_id,
			l.looks, l.plants, l.infested, s.plants as stood, s.at_end, d.looks as in_doubt
		from looked l
		full join standing s on s.week_start = l.week_start and s.block_id = l.block_id and s.lot_id = l.lot_id
		left join doubted d on d.week_start = l.week_start and d.block_id = l.block_id and d.lot_id is not distinct from l.lot_id)`

// sharedOut gives each arrival its part of what was looked at, and of what stands, in
// mixed lots. Rounding keeps the infested among those looked at.
const sharedOut = `(select t.organisation_id, t.site_id, t.week_start, t.block_id, coalesce(s.arrival_id, t.lot_id) as lot_id, t.looks,
		case when s.lot_id is null then t.plants else nullif(round(t.plants * s.numerator / s.denominator), 0)::int end as plants,
		case when s.lot_id is null then t.infested else round(t.infested * s.numerator / s.denominator)::int end as infested,
		case when s.lot_id is null then t.stood else round(t.stood * s.numerator / s.denominator)::int end as stood,
		case when s.lot_id is null then t.at_end else round(t.at_end * s.numerator / s.denominator)::int end as at_end, t.in_doubt
	from t left join lot mixed on mixed.organisation_id = t.organisation_id and mixed.id = t.lot_id and mixed.mixed
	left join lot_share s on s.organisation_id = t.organisation_id and s.lot_id = mixed.id) t`

// ofLotsThatAre leaves the lots of other seasons out, and those that were withdrawn.
const ofLotsThatAre = `(lot.id is null or lot.season_id = $5 and lot.withdrawn_because = '' and coalesce(shipment.withdrawn_because, '') = '')`

// groupOfBlock is one row that readGroups reads: a group's part in a block and week.
type groupOfBlock struct {
	group    TrendGroup
	lots     []domain.ID // looked at
	week     domain.Date
	cluster  trend.Cluster
	standing int // at the end of the week
}

// readGroups reads the groups with their weeks. Plants of one block are one cluster,
// of however many lots of the group.
func (t *Trends) readGroups(ctx context.Context, tx pgx.Tx, org domain.ID, q TrendQuery) ([]TrendGroup, error) {
	parts, err := t.readParts(ctx, tx, org, q)
	return gather(parts), err
}

// readParts reads the parts of the groups in the order of their groups and weeks,
// those where plants stood and nobody looked among them.
func (t *Trends) readParts(ctx context.Context, tx pgx.Tx, org domain.ID, q TrendQuery) ([]groupOfBlock, error) {
	if q.sharesOut() {
		return t.readShares(ctx, tx, org, q)
	}
	rows, err := t.rows(ctx, tx, org)
	if err != nil {
		return nil, err
	}
	of, err := t.named(ctx, tx, org, q, rows)
	return sumParts(of, rows.first), err
}

// readShares reads the parts of the groups where mixed lots are shared out.
func (t *Trends) readShares(ctx context.Context, tx pgx.Tx, org domain.ID, q TrendQuery) ([]groupOfBlock, error) {
	by := groupKeys()[q.By]
	sql := ofWeeks + `
		select ` + by.key + `, ` + by.label + `, min(` + by.subLabel + `),
			case when count(distinct cultivar.foliage) = 1 then min(cultivar.foliage) else '' end,
			case when count(distinct lot.cultivar_id) = 1 then min(lot.cultivar_id::text)::uuid end, min(house.id::text)::uuid,
			array_agg(lot.id) filter (where lot.id is not null and t.plants is not null),
			t.week_start, t.block_id, coalesce(sum(t.looks), 0)::int, coalesce(sum(t.plants), 0)::int, coalesce(sum(t.infested), 0)::int,
			coalesce(sum(t.in_doubt), 0)::int,
			case when bool_and(t.stood is not null) filter (where t.plants is not null) then sum(t.stood) filter (where t.plants is not null) else 0 end::int,
			coalesce(sum(t.at_end), 0)::int
		from ` + sharedOut + groupJoins + `
		where ` + ofLotsThatAre + trendFilter + `
		group by 1, 2, t.week_start, t.block_id order by 2, 1, t.week_start`
	first := t.Season.StartsOn.Week().Monday()
	// Planned anew each time: a plan for any filter is three times as slow as one for these.
	arguments := append([]any{pgx.QueryExecModeCacheDescribe, org, t.OrganismID, first, t.Season.EndsOn, t.Season.ID}, q.filters()...)
	rows, err := tx.Query(ctx, sql, arguments...)
	if err != nil {
		return nil, fmt.Errorf("read the tallies: %w", err)
	}
	parts, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (x groupOfBlock, err error) {
		g, c := &x.group, &x.cluster
		return x, row.Scan(&g.Key, &g.Label, &g.SubLabel, &g.Foliage, &g.CultivarID, &g.HouseID, &x.lots,
			&x.week, &c.BlockID, &c.Looks, &c.Plants, &c.Infested, &c.InDoubt, &c.Standing, &x.standing)
	})
	if err != nil {
		return nil, fmt.Errorf("read the tallies: %w", err)
	}
	return parts, nil
}

// gather makes groups of parts in the order of their groups and weeks.
func gather(parts []groupOfBlock) []TrendGroup {
	var groups []TrendGroup
	for len(parts) > 0 {
		n := 1
		for n < len(parts) && parts[n].group.Key == parts[0].group.Key {
			n++
		}
		if g := gatherOne(parts[:n]); len(g.Weeks) > 0 {
			groups = append(groups, g)
		}
		parts = parts[n:]
	}
	return groups
}

// gatherOne makes the group of its parts. What differs between those looked at is
// not said of the whole.
func gatherOne(parts []groupOfBlock) TrendGroup {
	g := TrendGroup{}
	seen := map[domain.ID]bool{}
	for len(parts) > 0 {
		week := parts[0].week
		var clusters []trend.Cluster
		var plants, blocks int
		for ; len(parts) > 0 && parts[0].week == week; parts = parts[1:] {
			p := parts[0]
			plants += p.standing
			if p.standing > 0 {
				blocks++
			}
			if p.cluster.Plants == 0 {
				continue
			}
			clusters = append(clusters, p.cluster)
			if len(g.Weeks) == 0 && len(clusters) == 1 {
				g = p.group
			}
			g.keepCommon(p.group)
			for _, lot := range p.lots {
				seen[lot] = true
			}
		}
		if len(clusters) > 0 {
			g.Weeks = append(g.Weeks, trend.SampleOf(week, clusters, plants, blocks))
		}
	}
	g.Lots = len(seen)
	return g
}

func (g *TrendGroup) keepCommon(part TrendGroup) {
	if g.Foliage != part.Foliage {
		g.Foliage = ""
	}
	if g.CultivarID != part.CultivarID {
		g.CultivarID = domain.ID{}
	}
	if g.HouseID != part.HouseID {
		g.HouseID = domain.ID{}
	}
	g.SubLabel = min(g.SubLabel, part.SubLabel)
}
