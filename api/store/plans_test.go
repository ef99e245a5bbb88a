package store_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/domain"
)

// Six houses of thirty blocks, two lots in each, looked at for twelve weeks; made
// of the one house, block and lot that are there.
const (
	sixHouses = `insert into house select organisation_id, gen_random_uuid(), site_id, 'H-' || n, area_m2, 1, recorded_at, recorded_by
		from house, generate_series(1, 6) n where id = $1`
	theirBlocks = `insert into block select b.organisation_id, gen_random_uuid(), b.site_id, h.id, null, h.name || ' B-' || n, n, 1, b.recorded_at,
		b.recorded_by from block b, house h, generate_series(1, 30) n where b.id = $1 and h.name like 'H-%'`
	theirPlants = `insert into placement select b.organisation_id, l.id, b.id, l.recorded_at - interval '100 days', null, 150, b.site_id
		from (select *, row_number() over (order by id) as n from block where name like 'H-%') b
		join (select *, row_number() over (order by id) as n from lot where code like 'B-%') l on b.n % 160 = l.n % 160 or (b.n + 7) % 160 = l.n % 160`
	theirTallies = `insert into tally select p.organisation_id, $1, date '2026-09-14' - 7 * week, p.block_id, p.lot_id, p.site_id, 1, 18, week % 7
		from placement p join block b on b.organisation_id = p.organisation_id and b.id = p.block_id and b.name like 'H-%'
		cross join generate_series(0, 11) week`
)

// Reading what the rounds of a site are planned from, as a ratio to the bare sum
// over its tallies.
func BenchmarkRoundsOfASite(b *testing.B) {
	st, f, owner, organism := filledForBench(b)
	for _, x := range []struct {
		sql string
		id  domain.ID
	}{{manyLots, f.Lot}, {sixHouses, f.House}, {theirBlocks, f.Block}, {theirTallies, organism}} {
		if x.sql == theirTallies {
			_, err := owner.Exec(b.Context(), theirPlants)
			require.NoError(b, err)
		}
		_, err := owner.Exec(b.Context(), x.sql, x.id.String())
		require.NoError(b, err)
	}
	_, err := owner.Exec(b.Context(), `analyze`)
	require.NoError(b, err)
	perBare := timeOf(b, func() {
		rows, err := owner.Query(b.Context(), `select block_id, week_start, sum(plants), sum(infested) from tally group by 1, 2`)
		require.NoError(b, err)
		rows.Close()
		require.NoError(b, rows.Err())
	})
	b.ResetTimer()
	for b.Loop() {
		found, err := st.Rounds(b.Context(), f.Owner, store.RoundQuery{SiteID: f.Site, OrganismID: organism})
		require.NoError(b, err)
		require.Len(b, found.Houses, 7)
		require.GreaterOrEqual(b, len(found.Houses[1].Stands), 60)
	}
	report(b, perBare)
}
