package api

import (
	"fmt"
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
)

// A receiver logs an arrival and its inspection, a grower looks at plants, and
// all read the trend: through the API alone, everybody signed in by password.
func TestFromTheDockToTheTrendLine(t *testing.T) {
	t.Parallel()
	r := run(t)
	r.organisation(t, "Fernhollow")
	owner := r.signIn(t, "owner@fernhollow.test", anyPassword)
	g := newGrounds(owner, "Fernhollow")
	for _, role := range []string{"receiver", "grower"} {
		owner.new("accounts", object{
			"email": role + "@fernhollow.test", "name": "The " + role, "password": anyPassword, "roles": []object{{"role": role, "site_id": g.site}},
		})
	}
	receiver := r.signIn(t, "receiver@fernhollow.test", anyPassword)
	grower := r.signIn(t, "grower@fernhollow.test", anyPassword)

	// ISPM 31 (adopted 2008), table 1: 57 units of a lot of 1,000 show 5 % at 95 %.
	advice := receiver.get("/lots/" + g.lot + "/sample?detection_percent=5&confidence_percent=95")
	require.InDelta(t, 57, advice["plants"], 0)
	require.InDelta(t, 1000, advice["lot_size"], 0)
	require.NotEmpty(t, advice["reasons"])
	require.Equal(t, advice["plants"], receiver.get("/lots/" + g.lot + "/sample")["plants"], "the usual question")
	sum := r.stranger(t).get("/sums/sample-size?lot_size=1000&detection_percent=5&confidence_percent=95")
	require.InDelta(t, 57, sum["plants"], 0)
	require.InDelta(t, 50, sum["infested_units"], 0)

	plan := receiver.get("/dock-plan?minutes=60&site_id=" + g.site)
	require.Equal(t, g.lot, objects(t, plan["steps"])[0]["lot_id"], "the lot waits to be inspected")
	inspection := receiver.new("inspections", g.inspection(57, 2))
	stored := receiver.get("/inspections/" + inspection)
	reading := stored["reading"].(object)
	found := objects(t, reading["findings"])[0]
	// 2 of 57 by Wilson's formula (as method 3 of Newcombe 1998), worked by hand.
	require.InDelta(t, 3.5, found["infested_percent"], 0.05)
	require.InDelta(t, 1.0, found["lower_percent"], 0.05)
	require.InDelta(t, 11.9, found["upper_percent"], 0.05)
	require.Nil(t, found["rules_out_percent"], "what was found is not ruled out")
	require.Equal(t, "accept_and_watch", reading["suggestion"])
	require.NotEmpty(t, reading["reasons"])
	require.Empty(t, receiver.get("/dock-plan?minutes=60&site_id=" + g.site)["steps"])

	verdict := receiver.new("verdicts", object{"inspection_id": inspection, "decision": "accept_and_watch", "because": "few, and time to act"})
	signed := receiver.get("/verdicts/" + verdict)
	require.Equal(t, "The receiver", signed["recorded_by"].(object)["name"])
	require.Equal(t, "accept_and_watch", signed["suggested"])
	require.Equal(t, "accept_and_watch", receiver.get("/lots/" + g.lot)["verdict"])

	grower.new("movements", g.stick())
	stood := grower.items("/placements?block_id=" + g.block)
	require.Len(t, stood, 1)
	require.InDelta(t, 1000, stood[0]["plants"], 0)
	second := receiver.items("/second-looks?site_id=" + g.site)
	require.Equal(t, []object{{
		"lot_id": g.lot, "lot_code": g.code, "cultivar_id": g.cultivar, "counted_from": "sticking", "state": "late",
		"due_from": "2026-08-19", "due_to": "2026-08-23", // 14 to 18 days after 5 August
	}}, second)

	look := grower.new("looks", g.look())
	require.Empty(t, grower.get("/looks/" + look)["doubts"])
	require.Equal(t, g.week, grower.get("/looks/" + look)["week"])
	for _, who := range []*caller{owner, receiver, grower} {
		group := requireTrendPoint(t, who, g, "lot", g.lot)
		require.Equal(t, g.code, group["label"])
	}
	keys := map[string]string{
		"lot": g.lot, "cultivar": g.cultivar, "arrival": g.arrivedOn, "arrival_week": "2026-W32", "shipped": g.shippedOn, "supplier": g.supplier, "farm": g.farm,
		"form": "unrooted", "foliage": g.foliage, "bract": g.bract, "block": g.block, "section": g.section, "house": g.house, "site": g.site,
	}
	for by, key := range keys {
		requireTrendPoint(t, grower, g, by, key)
		behind := grower.items("/looks?" + url.Values{"by": {by}, "key": {key}, "week": {g.week}, "organism_id": {g.organism}}.Encode())
		require.Len(t, behind, 1, by)
		require.Equal(t, look, behind[0]["id"], by)
		require.Empty(t, grower.items("/looks?"+url.Values{"by": {by}, "key": {key}, "week": {"2026-W34"}}.Encode()), by)
		require.Empty(t, grower.items("/looks?"+url.Values{"by": {by}, "key": {"another"}, "week": {g.week}}.Encode()), by)
	}
	require.Len(t, keys, len(schemaEnum(t, "TrendBy")), "every grouping there is")
}

// requireTrendPoint checks that the trends hold one group with one week: 4
// infested of 18.
func requireTrendPoint(t *testing.T, c *caller, g grounds, by, key string) object {
	t.Helper()
	trends := c.get("/trends?by=" + by)
	require.Equal(t, g.organism, trends["organism_id"], "the crop's main pest")
	require.Equal(t, g.season, trends["season_id"])
	groups := objects(t, trends["groups"])
	require.Len(t, groups, 1, by)
	require.Equal(t, key, groups[0]["key"], by)
	points := objects(t, groups[0]["points"])
	require.Len(t, points, 1, by)
	p := points[0]
	require.Equal(t, g.week, p["week"])
	require.Equal(t, "2026-08-10", p["starts_on"])
	require.InDelta(t, 18, p["plants_looked_at"], 0)
	require.InDelta(t, 4, p["infested_plants"], 0)
	require.InDelta(t, 1, p["looks"], 0)
	require.Equal(t, "wilson", p["interval"], "of a single look")
	// Wilson's interval of 4 of 18 (method 3 of Newcombe 1998), worked by hand.
	require.Equal(t, "22.2 (9.0 to 45.2)", fmt.Sprintf("%.1f (%.1f to %.1f)", p["infested_percent"], p["lower_percent"], p["upper_percent"]))
	return groups[0]
}

func schemaEnum(t *testing.T, name string) []any {
	t.Helper()
	doc, err := contractDocument()
	require.NoError(t, err)
	enum, ok := member(member(member(doc, "components"), "schemas"), name)["enum"].([]any)
	require.True(t, ok)
	return enum
}

func TestALookWhereTheLotNeverStoodIsKeptAndMarked(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	look := c.new("looks", g.look())
	require.Equal(t, []any{object{"code": "lot_not_in_block", "settled": false}}, c.get("/looks/" + look)["doubts"])
	requireTrendPoint(t, c, g, "lot", g.lot)
	require.InDelta(t, 1, onlyPoint(t, c, "lot")["looks_in_doubt"], 0)
	require.Len(t, c.items("/looks?in_doubt=true"), 1)

	c.new("movements", g.stick())
	require.Empty(t, c.get("/looks/" + look)["doubts"], "the sticking was only recorded late")
	require.InDelta(t, 0, onlyPoint(t, c, "lot")["looks_in_doubt"], 0)
	require.Empty(t, c.items("/looks?in_doubt=true"))
}

func TestAPersonSettlesADoubt(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	look := c.new("looks", g.look())
	c.put("/looks/"+look, with(g.look(), object{"settled_because": "the trays stood there for a day"}), "If-Match", `"1"`)
	require.Equal(t, []any{object{"code": "lot_not_in_block", "settled": true}}, c.get("/looks/" + look)["doubts"])
	require.InDelta(t, 0, onlyPoint(t, c, "lot")["looks_in_doubt"], 0)
	require.Empty(t, c.items("/looks?in_doubt=true"))
}

func TestALookOfAnUnknownLotCountsForItsBlockAndForTheUnknown(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	look := c.new("looks", with(g.look(), object{"lot_id": nil}))
	require.Equal(t, []any{object{"code": "lot_not_known", "settled": false}}, c.get("/looks/" + look)["doubts"])
	requireTrendPoint(t, c, g, "house", g.house)
	requireTrendPoint(t, c, g, "lot", "")
	require.Len(t, c.items("/looks?by=lot&key=&week="+g.week), 1)
}

func TestLooksOnPurposeAndWithdrawnStayOutOfTheEstimates(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	c.new("movements", g.stick())
	c.new("looks", g.look())
	c.new("looks", with(g.look(), object{"purpose": "on_purpose"}))
	wrong := c.new("looks", g.look())
	c.put("/looks/"+wrong, with(g.look(), object{"withdrawn_because": "the wrong block"}), "If-Match", "1")
	requireTrendPoint(t, c, g, "lot", g.lot)
	require.Equal(t, object{"on_purpose": 1.0, "withdrawn": 1.0}, c.get("/trends?by=lot")["left_out"])
	require.Equal(t, http.StatusOK, c.do(http.MethodGet, "/looks/"+wrong, nil).status, "kept all the same")
}

func onlyPoint(t *testing.T, c *caller, by string) object {
	t.Helper()
	groups := objects(t, c.get("/trends?by=" + by)["groups"])
	require.Len(t, groups, 1)
	points := objects(t, groups[0]["points"])
	require.Len(t, points, 1)
	return points[0]
}

func TestLotsOfSeveralFarmsAreOneGroup(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	farms := []string{g.farm}
	for _, name := range []string{"Alder", "Birch"} {
		farms = append(farms, c.new("farms", object{"supplier_id": g.supplier, "name": name}))
	}
	for _, pair := range [][]string{{farms[0], farms[1]}, {farms[0], farms[2]}} {
		mixed := g
		mixed.lot = c.new("lots", object{"shipment_id": g.shipment, "cultivar_id": g.cultivar, "plants": 1000, "farm_ids": pair})
		c.new("looks", mixed.look())
	}
	c.new("looks", g.look())
	groups := objects(t, c.get("/trends?by=farm")["groups"])
	require.Len(t, groups, 2, "one farm, and several")
	for _, group := range groups {
		points := objects(t, group["points"])
		require.Len(t, points, 1)
		want := map[string]float64{g.farm: 18, "several": 36}[group["key"].(string)]
		require.InDelta(t, want, points[0]["plants_looked_at"], 0, group["key"])
	}
	require.Len(t, c.items("/looks?by=farm&key=several&week="+g.week), 2)
}

func TestWhatHangsOnAShipmentFollowsItsCorrection(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fernhollow")
	inspection := c.new("inspections", g.inspection(57, 2))
	verdict := c.new("verdicts", object{"inspection_id": inspection, "decision": "accept"})
	movement := c.new("movements", object{"lot_id": g.lot, "kind": "discard", "moved_at": g.stuckAt, "plants": 5, "reason": "dry"})
	site := c.new("sites", object{"name": "South", "time_zone": "Europe/Madrid"})
	there := r.signedIn(t, r.person(t, owner, "Rae", store.SiteRole{Role: store.Receiver, SiteID: idOf(t, site)}))
	paths := []string{"/lots/" + g.lot, "/inspections/" + inspection, "/verdicts/" + verdict, "/movements/" + movement}
	for _, path := range paths {
		requireRefused(t, there.do(http.MethodGet, path, nil), http.StatusNotFound, "not_found")
	}
	// It went to the other site, and the papers were dated a year off.
	c.put("/shipments/"+g.shipment, object{
		"site_id": site, "supplier_id": g.supplier, "expected_on": "2027-08-03", "left_at": "2027-07-31T16:00:00Z", "docked_at": "2027-08-03T15:00:00Z",
	}, "If-Match", "1")
	for _, path := range paths {
		require.Equal(t, site, there.get(path)["site_id"], path)
	}
	lot := there.get("/lots/" + g.lot)
	require.Equal(t, []any{g.farm}, lot["farm_ids"])
	require.Equal(t, true, lot["inspected"])
	require.Len(t, objects(t, there.get("/inspections/" + inspection)["findings"]), 1)
	require.NotEqual(t, g.season, lot["season_id"])
	require.InDelta(t, 2027, c.get("/seasons/" + lot["season_id"].(string))["year"], 0)
}

func TestAPlaceInUseStaysAtItsSite(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	site := c.new("sites", object{"name": "South", "time_zone": "Europe/Madrid"})
	house := c.new("houses", object{"site_id": site, "name": "1"})
	spare := c.new("houses", object{"site_id": g.site, "name": "Spare"})
	c.new("looks", g.look())
	for path, x := range map[string]struct {
		body    object
		pointer string
	}{
		"/houses/" + g.house:     {object{"site_id": site, "name": "Moved"}, "/site_id"},
		"/sections/" + g.section: {object{"site_id": site, "name": "Moved"}, "/site_id"},
		"/blocks/" + g.block:     {object{"house_id": house, "name": "Moved", "position": 1}, "/house_id"},
	} {
		requireRefused(t, c.do(http.MethodPut, path, x.body, "If-Match", "1"), http.StatusUnprocessableEntity, "invalid", x.pointer)
	}
	c.put("/blocks/"+g.block, object{"house_id": spare, "name": "Moved", "position": 1}, "If-Match", "1")
	unused := c.new("houses", object{"site_id": g.site, "name": "By mistake"})
	c.put("/houses/"+unused, object{"site_id": site, "name": "By mistake"}, "If-Match", "1")
}
