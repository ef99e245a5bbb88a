package store_test

import (
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
	"benchtrail/domain/scouting"
	"benchtrail/domain/trend"
)

// A season of 160 lots in 400 blocks over eleven weeks, made of the one lot and
// block that are there.
const (
	manyLots = `insert into lot select organisation_id, gen_random_uuid(), site_id, shipment_id, cultivar_id, season_id, 'B-' || n, true,
		form, farm_known_by, supplier_lot_code, rooting_station, plants, plants_on_hand, note, '', 1, recorded_at, recorded_by,
		null, origin_id, supplier_id, arrived_on, false, state from lot, generate_series(1, 160) n where id = $1`
	manyBlocks = `insert into block select organisation_id, gen_random_uuid(), site_id, house_id, null, 'B-' || n, n, 1, recorded_at,
		recorded_by from block, generate_series(1, 400) n where id = $1`
	manyTallies = `insert into tally select b.organisation_id, $1, date '2026-06-29' + 7 * week, b.id, l.id, b.site_id, 1, 18, (week + l.n) % 10
		from (select *, row_number() over (order by id) as n from block where name like 'B-%') b
		join (select *, row_number() over (order by id) as n from lot where code like 'B-%') l
			on b.n % 160 = l.n % 160 or (b.n + 7) % 160 = l.n % 160
		cross join generate_series(0, 10) week`
	manyPlacements = `insert into placement select distinct organisation_id, lot_id, block_id, timestamptz '2026-06-20 08:00Z',
		null::timestamptz, 300, site_id from tally where lot_id is not null`
)

// Reading the trends of a season with growth and forecast, as a ratio to the bare
// sum over its tallies.
func BenchmarkTrendsOfASeasonByLot(b *testing.B) {
	st, f, owner, organism := filledForBench(b)
	for sql, id := range map[string]domain.ID{manyLots: f.Lot, manyBlocks: f.Block} {
		_, err := owner.Exec(b.Context(), sql, id.String())
		require.NoError(b, err)
	}
	_, err := owner.Exec(b.Context(), manyTallies, organism.String())
	require.NoError(b, err)
	_, err = owner.Exec(b.Context(), manyPlacements)
	require.NoError(b, err)
	_, err = owner.Exec(b.Context(), `analyze`)
	require.NoError(b, err)
	const bare = `select lot_id, week_start, sum(plants), sum(infested) from tally group by 1, 2`
	perBare := timeOf(b, func() {
		rows, err := owner.Query(b.Context(), bare)
		require.NoError(b, err)
		rows.Close()
		require.NoError(b, rows.Err())
	})
	b.ResetTimer()
	for b.Loop() {
		found, err := st.Trends(b.Context(), f.Owner, store.TrendQuery{By: trend.ByLot, OrganismID: organism})
		require.NoError(b, err)
		require.GreaterOrEqual(b, len(found.Groups), 160)
		samples := make([][]trend.Sample, len(found.Groups))
		for i, g := range found.Groups {
			samples[i] = g.Weeks
		}
		read, err := trend.ReadAll(samples)
		require.NoError(b, err)
		for _, g := range read.Groups {
			_ = g.Course.At(found.Today.AddDays(21))
		}
	}
	report(b, perBare)
}

// Saving a look of twenty plants, as a ratio to one bare insert in a
// transaction of its own.
func BenchmarkPutLookOfTwentyPlants(b *testing.B) {
	st, f, owner, organism := filledForBench(b)
	_, err := owner.Exec(b.Context(), `create table bare (id uuid primary key, plants int)`)
	require.NoError(b, err)
	perBare := timeOf(b, func() {
		_, err := owner.Exec(b.Context(), `insert into bare values ($1, 20)`, storetest.NewID(b).String())
		require.NoError(b, err)
	})
	look := scouting.Look{
		BlockID: f.Block, LotID: f.Lot, LookedAt: storetest.Now(), Purpose: scouting.Planned,
		Targets: []scouting.Target{{OrganismID: organism, Plants: make([]scouting.Plant, 20)}},
	}
	b.ResetTimer()
	for b.Loop() {
		_, err := st.PutLook(b.Context(), f.Owner, store.Put{ID: storetest.NewID(b), Content: []byte(`{}`)}, look)
		require.NoError(b, err)
	}
	report(b, perBare)
}

func filledForBench(b *testing.B) (*store.Store, storetest.Filled, *pgx.Conn, domain.ID) {
	b.Helper()
	ownerURL, programURL := cluster.Database(b)
	st := store.New(storetest.Pool(b, programURL), storetest.Now)
	f := storetest.Fill(b, st, "Fernhollow")
	organisms, err := st.OrganismsByEPPO(b.Context(), f.Owner)
	require.NoError(b, err)
	return st, f, connect(b, ownerURL), organisms["BEMITA"]
}

// timeOf gives the best of a few rounds of many calls.
func timeOf(b *testing.B, call func()) time.Duration {
	b.Helper()
	best := time.Hour
	for range 5 {
		const calls = 20
		start := time.Now()
		for range calls {
			call()
		}
		best = min(best, time.Since(start)/calls)
	}
	return best
}

func report(b *testing.B, bare time.Duration) {
	b.Helper()
	b.ReportMetric(float64(b.Elapsed())/float64(b.N)/float64(bare), "times-bare")
	b.ReportMetric(float64(bare.Microseconds()), "bare-µs")
}
