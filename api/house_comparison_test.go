package api

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
)

// estate is two sites of one owner: a house each with a cultivar of the same foliage,
// and at the first a second house nobody looked at.
type estate struct {
	crop
	beyond, farHouse, bareHouse string
}

func newEstate(c *caller) estate {
	e := estate{crop: newCrop(c)}
	e.bareHouse = c.new("houses", object{"site_id": e.site, "name": "Bare house"})
	e.beyond = c.new("sites", object{"name": "Beyond", "time_zone": "America/Chicago"})
	e.farHouse = c.new("houses", object{"site_id": e.beyond, "name": "Far house"})
	shipment := c.new("shipments", object{
		"site_id": e.beyond, "supplier_id": e.supplier, "expected_on": e.arrivedOn, "left_at": e.leftAt, "docked_at": e.dockedAt,
	})
	cultivar := c.new("cultivars", object{"crop_id": e.grounds.crop, "name": "Faraway", "foliage": "light"})
	lot := c.new("lots", object{"shipment_id": shipment, "cultivar_id": cultivar, "plants": 1600})
	for _, name := range []string{"F1", "F2", "F3", "F4"} {
		block := c.new("blocks", object{"house_id": e.farHouse, "name": name, "position": 1})
		c.new("movements", object{"lot_id": lot, "kind": "stick", "moved_at": e.stuckAt, "plants": 400, "to_block_id": block})
		c.new("looks", with(e.tally(lot, block, "2026-09-14", 19, 20), object{"seconds": 240}))
		if name == "F1" {
			c.new("movements", object{"lot_id": lot, "kind": "discard", "moved_at": "2026-09-14T12:40:00Z", "plants": 80, "from_block_id": block, "reason": "rot"})
		}
	}
	return e
}

func housesOf(c *caller, address string) map[string]object {
	c.t.Helper()
	by := map[string]object{}
	for _, h := range objects(c.t, c.get(address)["houses"]) {
		by[h["house_id"].(string)] = h
	}
	return by
}

func TestHousesOfSeveralSitesStandSideBySide(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	e := newEstate(c)
	all := c.get("/house-comparison?week=2026-W38")
	require.Equal(t, []any{"2026-W38", "2026-W38"}, []any{all["from_week"], all["to_week"]})
	by := housesOf(c, "/house-comparison?week=2026-W38")
	require.Len(t, by, 3)
	far := by[e.farHouse]
	require.Equal(t, []any{"Far house", "Beyond", 1.0, "higher"}, ofLine(far, "name", "site", "rank", "verdict"))
	require.Equal(t, []any{"not_looked", 0.0, nil}, ofLine(by[e.bareHouse], "verdict", "rank", "share"))
	require.Equal(t, far["house_id"], objects(t, all["houses"])[0]["house_id"], "the surely most infested stands first")
	require.Positive(t, far["like"].(object)["lower_percent"])
	walked := far["walked"].(object)
	require.Equal(t, []any{4.0, 80.0, 4.0, 960.0, 1.0, 1.0, 2.0, 4.0},
		ofLine(walked, "looks", "plants_looked_at", "timed_looks", "seconds", "weeks", "weeks_met", "blocks_asked", "blocks_walked"))
	require.Equal(t, []any{80.0, 1600.0, 5.0}, ofLine(far["discarded"].(object), "count", "of", "percent"))
	require.Equal(t, "Owner of Fernhollow", objects(t, far["observers"])[0]["name"])
	lots := far["lots"].(object)
	require.Equal(t, []any{1.0, 0.0}, ofLine(lots, "over", "cannot_say"))
	require.Equal(t, []any{0.0, 1.0}, ofLine(lots["under"].(object), "count", "of"))

	weekly := c.get("/trends?by=house")
	for _, group := range objects(t, weekly["groups"]) {
		points := objects(t, group["points"])
		for name, value := range by[group["key"].(string)]["share"].(object) {
			if name != "weighted" || value == true {
				require.Equal(t, points[len(points)-1][name], value, "trends says the same of the week: %s", name)
			}
		}
	}
}

func TestASeasonOfHousesGoesAsFarAsToday(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	e := newEstate(c)
	season := c.get("/house-comparison?season_id=" + e.season)
	require.Equal(t, []any{"2026-W35", "2026-W36", "2026-W37", "2026-W38"}, season["weeks"])
	require.Equal(t, []any{"2026-W37", "2026-W37"}, ofLine(c.get("/house-comparison?week=latest"), "from_week", "to_week"), "of today's week the round is not over")
	far := housesOf(c, "/house-comparison")[e.farHouse]
	require.Equal(t, []any{"higher", 1.0}, ofLine(far, "verdict", "rank"))
	require.Equal(t, 76.0, far["share"].(object)["infested_plants"])
}

func TestHousesCanBeThoseOfOneSite(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	e := newEstate(c)
	by := housesOf(c, "/house-comparison?site_id="+e.beyond)
	require.Len(t, by, 1)
	require.Equal(t, "unlike", by[e.farHouse]["verdict"], "there is no other house to hold it against")
}

func TestAnOrganisationWithoutASeasonHasNoHousesToCompare(t *testing.T) {
	t.Parallel()
	out := run(t).newOwner(t, "Fernhollow").get("/house-comparison")
	require.Equal(t, []any{nil, "", []any{}}, ofLine(out, "season_id", "from_week", "houses"))
}

func TestWhoSeesWhichHouses(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	e := newEstate(c)
	const address = "/house-comparison?week=2026-W38"
	second := r.signedIn(t, r.person(t, owner, "Second", store.SiteRole{Role: store.Owner}))
	require.Equal(t, c.get(address), second.get(address), "another owner sees the same")
	ofOneSite := r.signedIn(t, r.person(t, owner, "Ona", store.SiteRole{Role: store.Owner, SiteID: idOf(t, e.beyond)}))
	only := housesOf(ofOneSite, address)
	require.Len(t, only, 1)
	require.Contains(t, only, e.farHouse)
	requireRefused(t, r.stranger(t).do(http.MethodGet, address, nil), http.StatusUnauthorized, "sign_in")
	require.Empty(t, r.newOwner(t, "Elsewhere").get(address)["houses"])
	requireRefused(t, c.do(http.MethodGet, "/house-comparison?week=2026-W60", nil), http.StatusUnprocessableEntity, "invalid", "#query/week")
}
