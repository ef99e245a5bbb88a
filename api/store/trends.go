package store

import (
	"context"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// groupJoins reach from a tally or a look, as t, to everything it may be
// grouped by.
const groupJoins = `
	join block on block.organisation_id = t.organisation_id and block.id = t.block_id
	join house on house.organisation_id = t.organisation_id and house.id = block.house_id
	join site on site.organisation_id = t.organisation_id and site.id = t.site_id
	left join section on section.organisation_id = t.organisation_id and section.id = block.section_id
	left join lot on lot.organisation_id = t.organisation_id and lot.id = t.lot_id
	left join shipment on shipment.organisation_id = t.organisation_id and shipment.id = lot.shipment_id
	left join cultivar on cultivar.organisation_id = t.organisation_id and cultivar.id = lot.cultivar_id
	left join supplier on supplier.organisation_id = t.organisation_id and supplier.id = shipment.supplier_id`

// groupKey is how one grouping is told apart, named and described. What is not
// known is a group of its own, with an empty key.
type groupKey struct{ key, label, subLabel string }

func groupKeys() map[trend.By]groupKey {
	const shipped = `coalesce((shipment.left_at at time zone site.time_zone)::date::text, '')`
	const farm = `(select case count(*) when 0 then '' when 1 then min(f.farm_id::text) else 'several' end from lot_farm f
		where f.organisation_id = t.organisation_id and f.lot_id = t.lot_id)`
	// Lots of several farms are one group, whichever farms those are.
	const farmName = `(select case count(*) when 1 then min(farm.name) else '' end from lot_farm f
		join farm on farm.organisation_id = f.organisation_id and farm.id = f.farm_id
		where f.organisation_id = t.organisation_id and f.lot_id = t.lot_id)`
	return map[trend.By]groupKey{
		trend.ByLot:      {`coalesce(lot.id::text, '')`, `coalesce(lot.code, '')`, `coalesce(cultivar.name || ' · ' || shipment.arrived_on, '')`},
		trend.ByCultivar: {`coalesce(cultivar.id::text, '')`, `coalesce(cultivar.name, '')`, `''`},
		trend.ByArrival:  {`coalesce(shipment.arrived_on::text, '')`, `coalesce(shipment.arrived_on::text, '')`, `''`},
		trend.ByShipped:  {shipped, shipped, `''`},
		trend.BySupplier: {`coalesce(supplier.id::text, '')`, `coalesce(supplier.name, '')`, `''`},
		trend.ByFarm:     {farm, farmName, `coalesce(supplier.name, '')`},
		trend.ByForm:     {`coalesce(lot.form, '')`, `coalesce(lot.form, '')`, `''`},
		trend.ByFoliage:  {`coalesce(cultivar.foliage, '')`, `coalesce(cultivar.foliage, '')`, `''`},
		trend.ByBract:    {`coalesce(cultivar.bract_colour, '')`, `coalesce(cultivar.bract_colour, '')`, `''`},
		trend.ByBlock:    {`block.id::text`, `house.name || ' ' || block.name`, `site.name`},
		trend.BySection:  {`coalesce(section.id::text, '')`, `coalesce(section.name, '')`, `site.name`},
		trend.ByHouse:    {`house.id::text`, `house.name`, `site.name`},
		trend.BySite:     {`site.id::text`, `site.name`, `''`},
	}
}

// TrendQuery asks for weekly series; zero filters do not narrow.
type TrendQuery struct {
	By           trend.By
	OrganismID   domain.ID // the main pest of the season's crop when zero
	OrganismEPPO string    // the same by EPPO code
	SeasonID     domain.ID // the current one when zero

	SiteID, HouseID, CultivarID, LotID domain.ID
}

// TrendGroup is one line of the trends: what was looked at in each week.
type TrendGroup struct {
	Key, Label, SubLabel string
	Foliage              string    // when all of it has one
	CultivarID, HouseID  domain.ID // when all of it has one
	Lots                 int
	Weeks                []trend.Sample
}

// Trends is what a trend query finds.
type Trends struct {
	OrganismID domain.ID
	Season     stock.Season // zero when there is none yet
	Today      domain.Date  // at the site asked for, or in UTC
	Groups     []TrendGroup
	Limits     []advice.Threshold
	OnPurpose  int // looks left out because they were made on purpose
	Withdrawn  int
}

// Trends reads weekly series.
func (s *Store) Trends(ctx context.Context, a Actor, q TrendQuery) (Trends, error) {
	t := Trends{Today: domain.DateOf(s.clock().UTC())}
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		if !q.SiteID.IsZero() {
			zone, err := siteZone(ctx, tx, a.OrganisationID, q.SiteID)
			if err != nil {
				return err
			}
			t.Today = domain.DateOf(s.clock().In(zone))
		}
		if err := t.chooseSeason(ctx, tx, a.OrganisationID, q); err != nil || t.Season.ID.IsZero() {
			return err
		}
		if err := t.readGroups(ctx, tx, a.OrganisationID, q); err != nil {
			return err
		}
		limits := thresholdTable()
		records, err := limits.collect(ctx, tx, a.OrganisationID, limits.selectFrom()+` and t.crop_id = $2 and t.organism_id = $3
			and t.withdrawn_because = '' and t.to_on >= $4 and t.from_on <= $5 order by t.from_on, t.id`,
			t.Season.CropID, t.OrganismID, t.Season.StartsOn, t.Season.EndsOn)
		if err != nil {
			return err
		}
		for _, r := range records {
			t.Limits = append(t.Limits, r.Value)
		}
		return t.countLeftOut(ctx, tx, a.OrganisationID, q)
	})
	return t, err
}

// chooseSeason takes the season asked for, or the one of today with the most
// lots, or the latest there is.
func (t *Trends) chooseSeason(ctx context.Context, tx pgx.Tx, org domain.ID, q TrendQuery) error {
	const sql = `select s.id, s.crop_id, s.year, s.starts_on, s.ends_on, crop.main_organism_id
		from season s join crop on crop.organisation_id = $1 and crop.id = s.crop_id
		where s.organisation_id = $1 and ($2::uuid is null or s.id = $2)
		order by $3 between s.starts_on and s.ends_on desc,
			(select count(*) from lot where lot.organisation_id = $1 and lot.season_id = s.id) desc, s.starts_on desc limit 1`
	x := &t.Season
	err := tx.QueryRow(ctx, sql, org, q.SeasonID, t.Today).Scan(&x.ID, &x.CropID, &x.Year, &x.StartsOn, &x.EndsOn, &t.OrganismID)
	if errors.Is(err, pgx.ErrNoRows) && q.SeasonID.IsZero() {
		return nil
	}
	if err != nil {
		return missing(err, "season")
	}
	if !q.OrganismID.IsZero() || q.OrganismEPPO != "" {
		const byName = `select id from organism where organisation_id = $1 and ($2::uuid is null or id = $2) and ($3 = '' or eppo_code = $3) limit 1`
		if err := tx.QueryRow(ctx, byName, org, q.OrganismID, q.OrganismEPPO).Scan(&t.OrganismID); err != nil {
			err = missing(err, "organism")
			var faults domain.Faults
			if errors.As(err, &faults) && q.OrganismID.IsZero() {
				faults[0].Path = "/organism"
			}
			return err
		}
	}
	return nil
}

// ofWeeks brings what was looked at in each week, block and lot together with the
// plants that stood there at any time of the week, looked at or not. Weeks without
// a look are left out.
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
		select p.site_id, week.week_start, p.block_id, p.lot_id, max(p.plants) as plants
		from placement p join week on week.site_id = p.site_id and p.from_at < week.to_at and (p.to_at is null or p.to_at > week.from_at)
		where p.organisation_id = $1 group by 1, 2, 3, 4),
	t as (
		select $1::uuid as organisation_id, coalesce(l.site_id, s.site_id) as site_id, coalesce(l.week_start, s.week_start) as week_start,
			coalesce(l.block_id, s.block_id) as block_id, coalesce(l.lot_id, s.lot_id) as lot_id,
			l.looks, l.plants::float8 as n, l.infested::float8 as x, coalesce(greatest(s.plants, l.plants), 0)::float8 as standing,
			case when s.plants is not null then greatest(s.plants, l.plants)::float8 end as stood, d.looks as in_doubt
		from looked l
		full join standing s on s.week_start = l.week_start and s.block_id = l.block_id and s.lot_id = l.lot_id
		left join doubted d on d.week_start = l.week_start and d.block_id = l.block_id and d.lot_id is not distinct from l.lot_id)`

func (t *Trends) readGroups(ctx context.Context, tx pgx.Tx, org domain.ID, q TrendQuery) error {
	by := groupKeys()[q.By]
	// The sums are those of trend.SampleOf.
	sql := ofWeeks + `
		select ` + by.key + `, ` + by.label + `, min(` + by.subLabel + `),
			case when count(distinct cultivar.foliage) = 1 then min(cultivar.foliage) else '' end,
			case when count(distinct lot.cultivar_id) = 1 then min(lot.cultivar_id::text)::uuid end,
			case when count(distinct house.id) = 1 then min(house.id::text)::uuid end,
			array_agg(distinct lot.id) filter (where lot.id is not null and n is not null),
			t.week_start, sum(t.looks)::int, count(distinct t.block_id) filter (where n is not null)::int, sum(n)::int, sum(x)::int,
			coalesce(sum(t.in_doubt), 0)::int,
			count(n)::int, min(n)::int, max(n)::int, sum(n * n), sum(x * (x / n)), coalesce(bool_and(stood is not null) filter (where n is not null), false),
			coalesce(sum(stood) filter (where n is not null), 0), coalesce(sum(stood * stood) filter (where n is not null), 0),
			coalesce(sum(stood * (stood / n)), 0), coalesce(sum(stood * (x / n)), 0), coalesce(sum(n * (n / stood)), 0),
			sum(standing)::int, count(distinct t.block_id) filter (where standing > 0)::int
		from t ` + groupJoins + `
		where (lot.season_id = $5 or lot.id is null) ` + trendFilter + `
		group by 1, 2, t.week_start having count(n) > 0 order by 2, 1, t.week_start`
	first := t.Season.StartsOn.Week().Monday()
	// Planned anew each time: a plan for any filter is three times as slow as one for these.
	rows, err := tx.Query(ctx, sql, pgx.QueryExecModeCacheDescribe, org, t.OrganismID, first, t.Season.EndsOn, t.Season.ID, q.SiteID, q.HouseID, q.CultivarID, q.LotID)
	if err != nil {
		return fmt.Errorf("read the tallies: %w", err)
	}
	seen := map[domain.ID]bool{}
	_, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (struct{}, error) {
		var g TrendGroup
		var w trend.Sample
		var lots []domain.ID
		err := row.Scan(&g.Key, &g.Label, &g.SubLabel, &g.Foliage, &g.CultivarID, &g.HouseID, &lots,
			&w.WeekStart, &w.Looks, &w.Blocks, &w.Plants, &w.Infested, &w.InDoubt,
			&w.Clusters, &w.FewestPlants, &w.MostPlants, &w.PlantsSquared, &w.InfestedSquaredPerPlant, &w.AllStandingKnown,
			&w.Standing, &w.StandingSquared, &w.StandingSquaredPerPlant, &w.StandingInfested, &w.PlantsSquaredPerStand,
			&w.StandingPlants, &w.StandingBlocks)
		if err != nil {
			return struct{}{}, err
		}
		if n := len(t.Groups); n == 0 || t.Groups[n-1].Key != g.Key {
			t.Groups = append(t.Groups, g)
			clear(seen)
		}
		last := &t.Groups[len(t.Groups)-1]
		last.add(g, w)
		for _, lot := range lots {
			seen[lot] = true
		}
		last.Lots = len(seen)
		return struct{}{}, nil
	})
	if err != nil {
		return fmt.Errorf("read the tallies: %w", err)
	}
	return nil
}

// add takes one more week into the group; what differs between its weeks is no
// longer said of the whole.
func (g *TrendGroup) add(week TrendGroup, w trend.Sample) {
	if g.Foliage != week.Foliage {
		g.Foliage = ""
	}
	if g.CultivarID != week.CultivarID {
		g.CultivarID = domain.ID{}
	}
	if g.HouseID != week.HouseID {
		g.HouseID = domain.ID{}
	}
	g.Weeks = append(g.Weeks, w)
}

const trendFilter = `and ($6::uuid is null or t.site_id = $6) and ($7::uuid is null or house.id = $7)
	and ($8::uuid is null or lot.cultivar_id = $8) and ($9::uuid is null or lot.id = $9)`

func (t *Trends) countLeftOut(ctx context.Context, tx pgx.Tx, org domain.ID, q TrendQuery) error {
	sql := `select count(*) filter (where t.withdrawn_because = '' and t.purpose = 'on_purpose'), count(*) filter (where t.withdrawn_because <> '')
		from look t ` + groupJoins + ` join look_finding f on f.organisation_id = $1 and f.look_id = t.id and f.organism_id = $2
		where t.organisation_id = $1 and t.week_start between $3 and $4 and (lot.season_id = $5 or lot.id is null) ` + trendFilter
	first := t.Season.StartsOn.Week().Monday()
	err := tx.QueryRow(ctx, sql, org, t.OrganismID, first, t.Season.EndsOn, t.Season.ID, q.SiteID, q.HouseID, q.CultivarID, q.LotID).
		Scan(&t.OnPurpose, &t.Withdrawn)
	if err != nil {
		return fmt.Errorf("count what is left out: %w", err)
	}
	return nil
}
