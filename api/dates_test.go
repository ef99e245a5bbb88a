package api

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Clocks go back on the first Sunday of November in America/Chicago and on the
// last Sunday of October in Europe/Madrid (IANA time zone database); weeks begin
// on Monday (ISO 8601).
func TestALookBelongsToTheLocalDayAlsoWhenTheClocksChange(t *testing.T) {
	t.Parallel()
	r := run(t)
	r.clock.Set(time.Date(2026, time.November, 10, 12, 0, 0, 0, time.UTC))
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	madrid := c.new("sites", object{"name": "South", "time_zone": "Europe/Madrid"})
	house := c.new("houses", object{"site_id": madrid, "name": "1"})
	blocks := map[string]string{"America/Chicago": g.block, "Europe/Madrid": c.new("blocks", object{"house_id": house, "name": "1", "position": 1})}
	for _, x := range []struct{ zone, lookedAt, day, week string }{
		{"America/Chicago", "2026-11-01T04:59:00Z", "2026-10-31", "2026-W44"}, // 23:59 on Saturday
		{"America/Chicago", "2026-11-01T06:30:00Z", "2026-11-01", "2026-W44"}, // 01:30 for the first time
		{"America/Chicago", "2026-11-01T07:30:00Z", "2026-11-01", "2026-W44"}, // and again
		{"America/Chicago", "2026-11-02T05:30:00Z", "2026-11-01", "2026-W44"}, // 23:30 on Sunday
		{"America/Chicago", "2026-11-02T00:30:00-06:00", "2026-11-02", "2026-W45"},
		{"America/Chicago", "2026-03-09T00:30:00-05:00", "2026-03-09", "2026-W11"}, // the night after they went forward
		{"Europe/Madrid", "2026-10-24T22:30:00Z", "2026-10-25", "2026-W43"},        // 00:30 on Sunday
		{"Europe/Madrid", "2026-10-25T22:30:00Z", "2026-10-25", "2026-W43"},        // 23:30 on Sunday, an hour later in the year
		{"Europe/Madrid", "2026-10-25T23:30:00Z", "2026-10-26", "2026-W44"},        // 00:30 on Monday
		{"Europe/Madrid", "2026-10-26T00:30:00+01:00", "2026-10-26", "2026-W44"},
	} {
		look := c.new("looks", with(g.look(), object{"block_id": blocks[x.zone], "lot_id": nil, "looked_at": x.lookedAt}))
		stored := c.get("/looks/" + look)
		require.Equal(t, x.day, stored["looked_on"], x.lookedAt)
		require.Equal(t, x.week, stored["week"], x.lookedAt)
		found := c.items("/looks?week=" + x.week + "&block_id=" + blocks[x.zone])
		require.Contains(t, found, stored, x.lookedAt)
	}
	weeks := map[string]float64{}
	for _, group := range objects(t, c.get("/trends?by=block&season_id=" + g.season)["groups"]) {
		if group["key"] != g.block {
			continue
		}
		for _, p := range objects(t, group["points"]) {
			weeks[p["week"].(string)] = p["looks"].(float64)
		}
	}
	require.Equal(t, map[string]float64{"2026-W11": 1, "2026-W44": 4, "2026-W45": 1}, weeks)
}

func TestArrivalAndTodayAreTheSitesOwnDates(t *testing.T) {
	t.Parallel()
	r := run(t)
	r.clock.Set(time.Date(2026, time.November, 2, 5, 30, 0, 0, time.UTC)) // Sunday, 23:30, in Chicago
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	tokyo := c.new("sites", object{"name": "East", "time_zone": "Asia/Tokyo"})
	require.Equal(t, "2026-11-01", c.get("/daybook?site_id=" + g.site)["on"])
	require.Equal(t, "2026-W44", c.get("/daybook?site_id=" + g.site)["week"])
	require.Equal(t, "2026-11-02", c.get("/daybook?site_id=" + tokyo)["on"])
	require.Equal(t, "2026-11-01", c.get("/trends?by=lot&site_id=" + g.site)["as_of"])

	body := object{"site_id": g.site, "supplier_id": g.supplier, "expected_on": "2026-08-01", "docked_at": "2026-08-03T04:30:00Z"}
	shipment := c.new("shipments", body)
	require.Equal(t, "2026-08-02", c.get("/shipments/" + shipment)["arrived_on"], "late in the evening there")
	moved := c.put("/shipments/"+shipment, with(body, object{"site_id": tokyo}), "If-Match", "1")
	require.Equal(t, "2026-08-03", moved["arrived_on"])
	waiting := c.put("/shipments/"+shipment, with(body, object{"docked_at": nil}), "If-Match", "2")
	require.Equal(t, "2026-08-01", waiting["arrived_on"], "the expected date while it is not there")
	require.Nil(t, waiting["claim_closes_at"])
}
