package api

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func idsIn(t *testing.T, list any) []string {
	t.Helper()
	ids := []string{}
	for _, x := range objects(t, list) {
		ids = append(ids, x["id"].(string))
	}
	return ids
}

func TestTheDaybookHasWhatTheDockNeedsWithNoNetwork(t *testing.T) {
	t.Parallel()
	r := run(t)
	r.clock.Set(time.Date(2026, time.September, 14, 12, 0, 0, 0, time.UTC))
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	expected := func(on string) (shipment, lot string) {
		shipment = c.new("shipments", object{"site_id": g.site, "supplier_id": g.supplier, "expected_on": on})
		return shipment, c.new("lots", object{"shipment_id": shipment, "cultivar_id": g.cultivar, "plants": 300})
	}
	soon, soonLot := expected("2026-10-14")
	far, _ := expected("2026-10-15")
	lately, latelyLot := expected("2026-07-16")
	old, _ := expected("2026-07-15")
	oldStanding, standingLot := expected("2026-05-01")
	c.new("movements", object{"lot_id": standingLot, "kind": "stick", "moved_at": "2026-05-02T08:00:00Z", "plants": 300, "to_block_id": g.block})
	withdrawn, _ := expected("2026-09-20")
	c.put("/shipments/"+withdrawn, object{
		"site_id": g.site, "supplier_id": g.supplier, "expected_on": "2026-09-20", "withdrawn_because": "cancelled",
	}, "If-Match", "1")
	c.new("movements", object{"lot_id": latelyLot, "kind": "receive", "moved_at": "2026-07-16T08:00:00Z", "plants": 300})
	c.new("movements", object{"lot_id": latelyLot, "kind": "discard", "moved_at": "2026-07-17T08:00:00Z", "plants": 300, "reason": "rot"})
	inspection := c.new("inspections", g.inspection(57, 2))
	verdict := c.new("verdicts", object{"inspection_id": inspection, "decision": "accept"})
	elsewhere := c.new("sites", object{"name": "Elsewhere", "time_zone": "Europe/Madrid"})
	c.new("shipments", object{"site_id": elsewhere, "supplier_id": g.supplier, "expected_on": "2026-09-14"})

	book := c.get("/daybook?site_id=" + g.site)
	require.ElementsMatch(t, []string{g.shipment, soon, lately, oldStanding}, idsIn(t, book["shipments"]))
	for _, id := range []string{far, old, withdrawn} {
		require.NotContains(t, idsIn(t, book["shipments"]), id)
	}
	require.Subset(t, idsIn(t, book["lots"]), []string{g.lot, soonLot, latelyLot, standingLot})
	require.Zero(t, c.get("/lots/" + latelyLot)["plants_on_hand"], "also one of which nothing is left")
	require.Equal(t, []string{inspection}, idsIn(t, book["inspections"]))
	require.Equal(t, []string{verdict}, idsIn(t, book["verdicts"]))
	require.Equal(t, c.get("/second-looks?site_id=" + g.site)["items"], book["second_looks"])
	require.NotEmpty(t, book["second_looks"])
	require.Equal(t, []string{g.supplier}, idsIn(t, book["suppliers"]))
	require.Equal(t, []string{g.farm}, idsIn(t, book["farms"]))
	require.Equal(t, []string{g.season}, idsIn(t, book["seasons"]))
	for _, nouns := range []string{"shipments", "lots", "inspections", "verdicts", "suppliers", "farms", "seasons"} {
		for _, one := range objects(t, book[nouns]) {
			require.Equal(t, c.get("/"+nouns+"/"+one["id"].(string)), one, "%s are the same as by themselves", nouns)
		}
	}
}

func TestTheDaybooksVersionChangesWithWhatIsInItAndNotWithTheClock(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	version := func() string { return c.get("/daybook?site_id=" + g.site)["version"].(string) }
	first := version()
	require.NotEmpty(t, first)
	r.clock.Set(r.clock.Now().Add(time.Minute))
	require.Equal(t, first, version())
	look := c.new("looks", with(g.look(), object{"looked_at": r.clock.Now().Format(time.RFC3339)}))
	second := version()
	require.NotEqual(t, first, second)
	c.put("/looks/"+look, with(c.get("/revisions?record_id=" + look)["items"].([]any)[0].(object)["body"].(object), object{"note": "wet"}), "If-Match", "1")
	require.NotEqual(t, second, version())
}
