package store_test

import (
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
	"benchtrail/domain/trend"
)

// A year as large as an owner's is: 60 houses of ten blocks, 400 lots of four cultivars,
// each in three blocks of one house, every block looked at every other week, made of the
// one house, block, lot and cultivar that are there.
var aYear = []string{
	`update season set starts_on = '2025-10-06', ends_on = '2026-10-04'`,
	`insert into cultivar select organisation_id, gen_random_uuid(), crop_id, 'Y-' || n, (array['light', 'medium', 'dark', 'light'])[n], bract_colour, 1,
		recorded_at, recorded_by from cultivar, generate_series(1, 4) n where name = 'Cultivar'`,
	`insert into house select organisation_id, gen_random_uuid(), site_id, 'Y-' || n, null, 1, recorded_at, recorded_by
		from house, generate_series(1, 60) n where name = 'House'`,
	`insert into block select h.organisation_id, gen_random_uuid(), h.site_id, h.id, null, 'Y-' || n, n, 1, h.recorded_at, h.recorded_by
		from house h, generate_series(1, 10) n where h.name like 'Y-%'`,
	`insert into lot select l.organisation_id, gen_random_uuid(), l.site_id, l.shipment_id, c.id, l.season_id, 'Y-' || n, true, l.form, l.farm_known_by,
		l.supplier_lot_code, l.rooting_station, l.plants, l.plants_on_hand, l.note, '', 1, l.recorded_at, l.recorded_by, null, l.origin_id, l.supplier_id,
		date '2025-10-01' + n / 2, false, 'growing'
		from (select * from lot where code_given is not null and shipment_id is not null order by id limit 1) l, generate_series(1, 400) n
		join cultivar c on c.name = 'Y-' || (1 + n % 4)`,
	`insert into placement select b.organisation_id, l.id, b.id, timestamptz '2025-10-06 08:00Z', null, 300, b.site_id
		from (select *, row_number() over (order by id) as n from lot where code like 'Y-%') l
		join (select *, dense_rank() over (order by house_id) as h from block where name like 'Y-%') b
			on b.h = 1 + l.n % 60 and b.position in (1 + l.n / 60 % 10, 1 + (l.n / 60 + 3) % 10, 1 + (l.n / 60 + 6) % 10)`,
	`insert into tally select p.organisation_id, o.id, date '2025-10-06' + 7 * week, p.block_id, p.lot_id, p.site_id, 1, 20,
			least(20, (abs(hashtext(p.lot_id::text || week)) % 7) * (week / 10))
		from placement p join lot on lot.id = p.lot_id and lot.code like 'Y-%' join block on block.id = p.block_id cross join generate_series(0, 51) week
		cross join (select crop.main_organism_id as id from crop limit 1) o where (block.position + week) % 2 = 0`,
	`insert into lot_account (organisation_id, lot_id, site_id, received, unplaced, placed, discarded, dispatched, split_off, merged_away, gained, lost, stuck, rooted, born_at, born)
		select organisation_id, id, site_id, 1000, 0, 900, 60, 0, 0, 0, 0, 40, 1000, 950, null, 0 from lot where code like 'Y-%' on conflict do nothing`,
	`analyze`,
}

// aYearFor fills a year and gives how long the bare sum over its tallies takes.
func aYearFor(b *testing.B) (*store.Store, storetest.Filled, *pgx.Conn) {
	b.Helper()
	st, f, owner, _ := filledForBench(b)
	for _, sql := range aYear {
		_, err := owner.Exec(b.Context(), sql)
		require.NoError(b, err, sql)
	}
	return st, f, owner
}

const bareYear = `select block_id, week_start, sum(plants), sum(infested) from tally group by 1, 2`

func bareOver(b *testing.B, owner *pgx.Conn) func() {
	return func() {
		rows, err := owner.Query(b.Context(), bareYear)
		require.NoError(b, err)
		rows.Close()
		require.NoError(b, rows.Err())
	}
}

// Reading and comparing 60 houses for a year and for a week, as a ratio to the bare sum
// over its tallies.
func BenchmarkHousesOfAYear(b *testing.B) {
	st, f, owner := aYearFor(b)
	bare := timeOf(b, bareOver(b, owner))
	for name, q := range map[string]store.HousesQuery{"season": {}, "week": {Week: domain.NewDate(2026, 9, 7).Week()}} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				found, err := st.HouseComparison(b.Context(), f.Owner, q)
				require.NoError(b, err)
				looks := make([]trend.HouseLooks, 0, len(found.Houses))
				for id, h := range trend.HousesIn(found.Placed, found.Period) {
					h.Key = id.String()
					looks = append(looks, h)
				}
				alike, within := trend.AlikeInHouses(found.Placed, found.Period)
				c, err := trend.CompareHouses(looks, found.Period.Week(), alike, within)
				require.NoError(b, err)
				require.GreaterOrEqual(b, c.Compared, 60)
				_, err = trend.LotsIn(found.Placed, found.Period, alike)
				require.NoError(b, err)
			}
			report(b, bare)
		})
	}
}

// Reading the review of a year by what has the most groups and by house, the same.
func BenchmarkSeasonReviewOfAYear(b *testing.B) {
	st, f, owner := aYearFor(b)
	bare := timeOf(b, bareOver(b, owner))
	for _, by := range []trend.By{trend.ByArrival, trend.ByHouse} {
		b.Run(string(by), func(b *testing.B) {
			for b.Loop() {
				found, err := st.SeasonReview(b.Context(), f.Owner, store.ReviewQuery{By: by})
				require.NoError(b, err)
				require.GreaterOrEqual(b, len(found.Season.Groups), 50)
				_, err = trend.WhatTheyShare(found.Season.All)
				require.NoError(b, err)
			}
			report(b, bare)
		})
	}
}
