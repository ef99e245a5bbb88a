package api

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/labstack/echo/v4"
	"github.com/stretchr/testify/require"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
)

// A grower of 60 houses of 20 blocks, 400 lots of 24 cultivars that came in 20 weeks,
// every block looked at in every one of 52 weeks, made of the few that are there.
var wholeYear = []string{
	`update season set starts_on = '2026-01-01', ends_on = '2026-12-31'`,
	`update crop set main_organism_id = (select id from organism where eppo_code = 'BEMITA' limit 1)`,
	`insert into cultivar select organisation_id, gen_random_uuid(), crop_id, 'C-' || n, (array['light', 'medium', 'dark'])[1 + n % 3], '', 1,
		recorded_at, recorded_by from (select * from cultivar limit 1) c, generate_series(0, 23) n`,
	`insert into house select organisation_id, gen_random_uuid(), site_id, 'H-' || n, null, 1, recorded_at, recorded_by
		from (select * from house limit 1) h, generate_series(0, 59) n`,
	`insert into block select b.organisation_id, gen_random_uuid(), b.site_id, h.id, null, h.name || '-' || n, n, 1, b.recorded_at, b.recorded_by
		from (select * from block limit 1) b, house h, generate_series(1, 20) n where h.name like 'H-%'`,
	`insert into lot select l.organisation_id, gen_random_uuid(), site_id, shipment_id, c.id, season_id, 'L-' || n, true,
		form, farm_known_by, supplier_lot_code, rooting_station, plants, plants_on_hand, note, '', 1, l.recorded_at, l.recorded_by,
		null, origin_id, supplier_id, date '2026-01-05' + 7 * (n % 20), false, state
		from (select * from lot where shipment_id is not null limit 1) l, generate_series(0, 399) n
		join cultivar c on c.name = 'C-' || n % 24`,
	`insert into tally select b.organisation_id, (select id from organism where eppo_code = 'BEMITA' limit 1), date '2026-01-05' + 7 * week, b.id, l.id, b.site_id, 1, 18,
			(week + l.n) % 10
		from (select *, row_number() over (order by id) as n from block where name like 'H-%') b
		join (select *, row_number() over (order by id) as n from lot where code like 'L-%') l on b.n % 400 = l.n % 400
		cross join generate_series(0, 50) week`,
	`insert into placement select distinct organisation_id, lot_id, block_id, timestamptz '2026-01-02 08:00Z', null::timestamptz, 300, site_id
		from tally where lot_id in (select id from lot where code like 'L-%')`,
	`analyze`,
}

// Answering what a page of that size asks, from the database to the bytes, as a ratio
// to the bare sum over its tallies.
func BenchmarkReadingAWholeYear(b *testing.B) {
	ownerURL, program := cluster.Database(b)
	now := func() time.Time { return time.Date(2026, time.December, 26, 12, 0, 0, 0, time.UTC) }
	st := store.New(storetest.Pool(b, program), now)
	f := storetest.Fill(b, st, "Fernhollow")
	owner, err := pgx.Connect(b.Context(), ownerURL)
	require.NoError(b, err)
	b.Cleanup(func() { _ = owner.Close(b.Context()) })
	for _, sql := range wholeYear {
		_, err := owner.Exec(b.Context(), sql)
		require.NoError(b, err, sql)
	}
	organisms, err := st.OrganismsByEPPO(b.Context(), f.Owner)
	require.NoError(b, err)
	bare := time.Hour
	for range 5 {
		start := time.Now()
		rows, err := owner.Query(b.Context(), `select lot_id, week_start, sum(plants), sum(infested) from tally group by 1, 2`)
		require.NoError(b, err)
		rows.Close()
		require.NoError(b, rows.Err())
		bare = min(bare, time.Since(start))
	}
	var house domain.ID
	require.NoError(b, owner.QueryRow(b.Context(), `select id from house where name = 'H-7'`).Scan(&house))
	s := &server{Deps: Deps{Store: st, Clock: now}}
	trends := func(by string) func(echo.Context) error {
		return func(c echo.Context) error {
			return s.GetTrends(c, wire.GetTrendsParams{By: wire.TrendBy(by), OrganismID: organisms["BEMITA"]})
		}
	}
	for name, answer := range map[string]func(echo.Context) error{
		"trends by lot": trends("lot"), "trends by cultivar": trends("cultivar"), "trends by house": trends("house"), "trends by block": trends("block"),
		"trends by arrival": trends("arrival"),
		"arrivals": func(c echo.Context) error {
			return s.GetArrivals(c, wire.GetArrivalsParams{OrganismID: organisms["BEMITA"]})
		},
		"houses of a week": func(c echo.Context) error {
			return s.GetHouseComparison(c, wire.GetHouseComparisonParams{OrganismID: organisms["BEMITA"], Week: "2026-W40"})
		},
		"houses of the year": func(c echo.Context) error {
			return s.GetHouseComparison(c, wire.GetHouseComparisonParams{OrganismID: organisms["BEMITA"]})
		},
		"season review by cultivar": func(c echo.Context) error {
			return s.GetSeasonReview(c, wire.GetSeasonReviewParams{By: wire.ReviewBy("cultivar")})
		},
		"season review by house": func(c echo.Context) error {
			return s.GetSeasonReview(c, wire.GetSeasonReviewParams{By: wire.ReviewBy("house")})
		},
		"map": func(c echo.Context) error {
			return s.GetHouseMap(c, wire.GetHouseMapParams{HouseID: house, OrganismID: organisms["BEMITA"]})
		},
	} {
		b.Run(name, func(b *testing.B) {
			size := 0
			for b.Loop() {
				answered := httptest.NewRecorder()
				c := echo.New().NewContext(httptest.NewRequestWithContext(b.Context(), http.MethodGet, "/", nil), answered)
				c.Set(actorKey, f.Owner)
				require.NoError(b, answer(c))
				size = answered.Body.Len()
			}
			b.ReportMetric(float64(b.Elapsed())/float64(b.N)/float64(bare), "times-bare")
			b.ReportMetric(float64(bare.Milliseconds()), "bare-ms")
			b.ReportMetric(float64(size)/1024, "KiB")
		})
	}
}
