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
	left join shipment on shipment.organisation_id = t.organisation_id and shipment.id = lot.origin_id
	left join cultivar on cultivar.organisation_id = t.organisation_id and cultivar.id = lot.cultivar_id
	left join supplier on supplier.organisation_id = t.organisation_id and supplier.id = lot.supplier_id`

// arrivalWeek names the week a lot arrived in, such as 2026-W31. Mixed lots are apart,
// by the first of their arrivals: "mixed 2026-W31".
const arrivalWeek = `coalesce(case when lot.mixed then 'mixed ' else '' end || to_char(lot.arrived_on, 'IYYY"-W"IW'), '')`

// groupKey is how one grouping is told apart, named and described. What is not
// known is a group of its own, with an empty key; lots of several arrivals are one
// with the key mixed.
type groupKey struct{ key, label, subLabel string }

func groupKeys() map[trend.By]groupKey {
	const shipped = `case when lot.mixed then 'mixed' else coalesce((shipment.left_at at time zone site.time_zone)::date::text, '') end`
	const arrived = `case when lot.mixed then 'mixed' else coalesce(lot.arrived_on::text, '') end`
	const farm = `case when lot.mixed then 'mixed' else (select case count(*) when 0 then '' when 1 then min(f.farm_id::text) else 'several' end from lot_farm f
		where f.organisation_id = t.organisation_id and f.lot_id = t.lot_id) end`
	// Lots of several farms are one group, whichever farms those are.
	const farmName = `(select case count(*) when 1 then min(farm.name) else '' end from lot_farm f
		join farm on farm.organisation_id = f.organisation_id and farm.id = f.farm_id
		where f.organisation_id = t.organisation_id and f.lot_id = t.lot_id)`
	return map[trend.By]groupKey{
		trend.ByLot:         {`coalesce(lot.id::text, '')`, `coalesce(lot.code, '')`, `coalesce(cultivar.name || ' · ' || lot.arrived_on, '')`},
		trend.ByCultivar:    {`coalesce(cultivar.id::text, '')`, `coalesce(cultivar.name, '')`, `''`},
		trend.ByArrival:     {arrived, arrived, `''`},
		trend.ByArrivalWeek: {arrivalWeek, arrivalWeek, `''`},
		trend.ByShipped:     {shipped, shipped, `''`},
		trend.BySupplier:    {`case when lot.mixed and supplier.id is null then 'mixed' else coalesce(supplier.id::text, '') end`, `coalesce(supplier.name, '')`, `''`},
		trend.ByFarm:        {farm, farmName, `coalesce(supplier.name, '')`},
		trend.ByForm:        {`coalesce(lot.form, '')`, `coalesce(lot.form, '')`, `''`},
		trend.ByFoliage:     {`coalesce(cultivar.foliage, '')`, `coalesce(cultivar.foliage, '')`, `''`},
		trend.ByBract:       {`coalesce(cultivar.bract_colour, '')`, `coalesce(cultivar.bract_colour, '')`, `''`},
		trend.ByBlock:       {`block.id::text`, `house.name || ' ' || block.name`, `site.name`},
		trend.BySection:     {`coalesce(section.id::text, '')`, `coalesce(section.name, '')`, `site.name`},
		trend.ByHouse:       {`house.id::text`, `house.name`, `site.name`},
		trend.BySite:        {`site.id::text`, `site.name`, `''`},

		byCultivarInHouse: {`coalesce(cultivar.id || ' ' || house.id, '')`, `coalesce(cultivar.name, '')`, `house.name`},
	}
}

// TrendQuery asks for weekly series; zero filters do not narrow.
type TrendQuery struct {
	By           trend.By
	OrganismID   domain.ID // the main pest of the season's crop when zero
	OrganismEPPO string    // the same by EPPO code
	SeasonID     domain.ID // the current one when zero

	SiteID, HouseID, CultivarID, LotID domain.ID
	Foliage                            stock.Foliage
	ArrivalWeek                        string // key of one week of arrival

	Shared bool // mixed lots are shared out by their composition where that tells groups apart
}

// sharesOut reports whether mixed lots are shared out over the groups asked for.
func (q TrendQuery) sharesOut() bool {
	switch q.By {
	case trend.ByArrival, trend.ByArrivalWeek, trend.ByShipped, trend.BySupplier, trend.ByFarm:
		return q.Shared
	}
	return false
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
	// All is what was looked at of every group of the season at the site asked for, or
	// with none at all that the person may see: what groups have in common is read from
	// all of them, so that a group says the same however the question is narrowed, and to
	// everybody who may see the site.
	All         [][]trend.Sample
	Limits      []advice.Threshold
	MixedPlants int // looked at in lots of several arrivals
	OnPurpose   int // looks left out because they were made on purpose
	Withdrawn   int // looks left out because they, or their lots, were withdrawn

	read *seasonRows
}

// narrowed reports whether a question leaves parts of the season out.
func (q TrendQuery) narrowed() bool {
	return !q.SiteID.IsZero() || !q.HouseID.IsZero() || !q.CultivarID.IsZero() || !q.LotID.IsZero() || q.Foliage != "" || q.ArrivalWeek != ""
}

// byCultivarInHouse is what limits are judged on and advice is given for.
const byCultivarInHouse trend.By = "cultivar_in_house"

// pooledOver gives the grouping from which is read what groups have in common. Lots
// share it with the cultivars in houses that they are most or all of, so that the two
// readings of the same plants agree.
func pooledOver(by trend.By) trend.By {
	if by == trend.ByLot {
		return byCultivarInHouse
	}
	return by
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
		err := t.chooseSeason(ctx, tx, a.OrganisationID, q)
		if err != nil || t.Season.ID.IsZero() {
			return err
		}
		if t.Groups, err = t.readGroups(ctx, tx, a.OrganisationID, q); err != nil {
			return err
		}
		all, pooledBy := t.Groups, pooledOver(q.By)
		if q.narrowed() || pooledBy != q.By {
			if all, err = t.readGroups(ctx, tx, a.OrganisationID, TrendQuery{By: pooledBy, Shared: q.Shared, SiteID: q.SiteID}); err != nil {
				return err
			}
		}
		t.All = nil
		for _, g := range all {
			if pooledBy != byCultivarInHouse || g.Key != "" { // of what is not known, no two plants need be alike
				t.All = append(t.All, g.Weeks)
			}
		}
		if err := t.readLimits(ctx, tx, a.OrganisationID); err != nil {
			return err
		}
		const mixed = `select coalesce(sum(t.plants), 0)::int from tally t join lot on lot.organisation_id = $1 and lot.id = t.lot_id and lot.mixed
			where t.organisation_id = $1 and t.organism_id = $2 and lot.season_id = $3 and ($4::uuid is null or t.site_id = $4)`
		if err := tx.QueryRow(ctx, mixed, a.OrganisationID, t.OrganismID, t.Season.ID, q.SiteID).Scan(&t.MixedPlants); err != nil {
			return fmt.Errorf("count the plants of mixed lots: %w", err)
		}
		return t.countLeftOut(ctx, tx, a.OrganisationID, q)
	})
	return t, err
}

// readLimits reads the limits of the season, for what is looked for.
func (t *Trends) readLimits(ctx context.Context, tx pgx.Tx, org domain.ID) error {
	limits := thresholdTable()
	records, err := limits.collect(ctx, tx, org, limits.selectFrom()+` and t.crop_id = $2 and t.organism_id = $3
		and t.withdrawn_because = '' and t.to_on >= $4 and t.from_on <= $5 order by t.from_on, t.id`,
		t.Season.CropID, t.OrganismID, t.Season.StartsOn, t.Season.EndsOn)
	if err != nil {
		return err
	}
	t.Limits = nil
	for _, r := range records {
		t.Limits = append(t.Limits, r.Value)
	}
	return nil
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

const trendFilter = ` and ($6::uuid is null or t.site_id = $6) and ($7::uuid is null or house.id = $7)
	and ($8::uuid is null or lot.cultivar_id = $8) and ($9::uuid is null or lot.id = $9)
	and ($10::text = '' or cultivar.foliage = $10) and ($11::text = '' or ` + arrivalWeek + ` = $11)`

// filters gives the arguments of trendFilter.
func (q TrendQuery) filters() []any {
	return []any{q.SiteID, q.HouseID, q.CultivarID, q.LotID, q.Foliage, q.ArrivalWeek}
}

// leftOut are the looks that may not count: few beside those that do, so that they are
// found by themselves (index look_left_out). What was undone with its import is as if
// it had never come.
const leftOut = `(
		select k.* from look k left join import i on i.organisation_id = $1 and i.id = k.import_id
		where k.organisation_id = $1 and (k.purpose = 'on_purpose' or k.withdrawn_because <> '') and k.week_start between $3 and $4
			and coalesce(i.withdrawn_because, '') = ''
		union all
		select k.* from lot l left join shipment s on s.organisation_id = $1 and s.id = l.origin_id
		join look k on k.organisation_id = $1 and k.lot_id = l.id and k.week_start between $3 and $4
		where l.organisation_id = $1 and (l.withdrawn_because <> '' or s.withdrawn_because <> '')
			and k.purpose <> 'on_purpose' and k.withdrawn_because = '')`

func (t *Trends) countLeftOut(ctx context.Context, tx pgx.Tx, org domain.ID, q TrendQuery) error {
	const withdrawn = `(t.withdrawn_because <> '' or coalesce(lot.withdrawn_because, '') <> '' or coalesce(shipment.withdrawn_because, '') <> '')`
	sql := `select count(*) filter (where t.purpose = 'on_purpose' and not ` + withdrawn + `), count(*) filter (where ` + withdrawn + `)
		from ` + leftOut + ` t ` + groupJoins + ` join look_finding f on f.organisation_id = $1 and f.look_id = t.id and f.organism_id = $2
		where (lot.season_id = $5 or lot.id is null)` + trendFilter
	first := t.Season.StartsOn.Week().Monday()
	err := tx.QueryRow(ctx, sql, append([]any{org, t.OrganismID, first, t.Season.EndsOn, t.Season.ID}, q.filters()...)...).
		Scan(&t.OnPurpose, &t.Withdrawn)
	if err != nil {
		return fmt.Errorf("count what is left out: %w", err)
	}
	return nil
}
