package api

import (
	"net/http"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
)

// decision is to go on with biological control for the cultivar in the house.
func (g grounds) decision(because string) object {
	return object{
		"house_id": g.house, "cultivar_id": g.cultivar, "organism_id": g.organism, "season_id": g.season,
		"choice": "stay_biological", "because": because, "decided_at": "2026-08-13T09:00:00-05:00",
		"figures": object{
			"week": "2026-W33", "infested_plants": 4, "plants_looked_at": 18, "percent": 22.2, "lower_percent": 9.0, "upper_percent": 45.2,
			"limit_percent": 20.0, "limit_on": "2026-09-10", "over_limit_percent": 0.0, "suggested": "look_at_more",
		},
	}
}

func TestADecisionKeepsTheFiguresItWasMadeOn(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fern")
	c.new("movements", g.stick())
	look := c.new("looks", g.look())
	id := c.new("decisions", g.decision("the wasps are at work"))
	stored := c.get("/decisions/" + id)
	require.Equal(t, g.site, stored["site_id"])
	require.Equal(t, "2026-08-13T14:00:00Z", stored["decided_at"])
	require.Equal(t, "Owner of Fernhollow", stored["recorded_by"].(object)["name"])
	figures := stored["figures"]
	require.Equal(t, object{
		"week": "2026-W33", "infested_plants": 4.0, "plants_looked_at": 18.0, "percent": 22.2, "lower_percent": 9.0, "upper_percent": 45.2,
		"limit_percent": 20.0, "limit_on": "2026-09-10", "over_limit_percent": 0.0, "suggested": "look_at_more",
	}, figures, "a chance of 0 is a chance, not an unknown one")

	// What the figures came from changes; they do not.
	c.put("/looks/"+look, with(g.look(), object{"withdrawn_because": "the wrong block"}), "If-Match", "1")
	c.new("looks", with(g.look(), object{"targets": []object{{
		"organism_id": g.organism, "signs_looked_for": false, "tally": object{"plants_looked_at": 40, "infested_plants": 39},
	}}}))
	require.Equal(t, figures, c.get("/decisions/" + id)["figures"])

	done := with(g.decision("the wasps are at work"), object{"done_on": "2026-08-15", "done_note": "three per plant"})
	corrected := c.put("/decisions/"+id, done, "If-Match", "1")
	require.InDelta(t, 2, corrected["version"], 0)
	require.Equal(t, "2026-08-15", corrected["done_on"])
	require.Equal(t, figures, corrected["figures"])
	require.Len(t, c.items("/revisions?record_id="+id), 2)
	require.Equal(t, c.get("/decisions/"+id), c.put("/decisions/"+id, done, "If-Match", "1"), "a repeat is quiet")
	stale := c.do(http.MethodPut, "/decisions/"+id, g.decision("on second thoughts"), "If-Match", "1")
	requireRefused(t, stale, http.StatusPreconditionFailed, "stale")
	requireRefused(t, c.do(http.MethodPut, "/decisions/"+id, g.decision("anew")), http.StatusConflict, "conflict")
}

func TestADecisionMayBeMadeWithoutFigures(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fern")
	id := c.new("decisions", with(g.decision("a hunch"), object{"figures": nil}))
	require.NotContains(t, c.get("/decisions/"+id), "figures")
}

func TestADecisionIsRefusedForWhatIsWrongWithIt(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fern")
	otherCrop := c.new("crops", object{"name": "Geranium", "main_organism_id": g.organism})
	otherCultivar := c.new("cultivars", object{"crop_id": otherCrop, "name": "Pale", "foliage": "light"})
	missing := storetest.NewID(t).String()
	for pointer, change := range map[string]object{
		"/choice":                   {"choice": "spray_everything"},
		"/because":                  {"because": ""},
		"/decided_at":               {"decided_at": storetest.Now().Add(25 * time.Hour).Format(time.RFC3339)},
		"/house_id":                 {"house_id": missing},
		"/season_id":                {"season_id": missing},
		"/organism_id":              {"organism_id": missing},
		"/cultivar_id":              {"cultivar_id": otherCultivar},
		"/done_on":                  {"done_note": "done"},
		"/figures/infested_plants":  {"figures": object{"infested_plants": 2, "plants_looked_at": 1}},
		"/figures/upper_percent":    {"figures": object{"lower_percent": 20.0, "upper_percent": 10.0}},
		"/figures/limit_percent":    {"figures": object{"limit_percent": 101}},
		"/figures/plants_looked_at": {"figures": object{"plants_looked_at": -1}},
	} {
		refused := c.do(http.MethodPut, "/decisions/"+storetest.NewID(t).String(), with(g.decision("why"), change))
		requireRefused(t, refused, http.StatusUnprocessableEntity, "invalid", pointer)
	}
	require.Empty(t, c.items("/decisions"))
	require.NotEmpty(t, c.new("decisions", with(g.decision("why"), object{"decided_at": storetest.Now().Add(23 * time.Hour).Format(time.RFC3339)})))
}

func TestGrowersAndOwnersOfTheHouseDecide(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fern")
	other := c.new("sites", object{"name": "Elsewhere", "time_zone": "Europe/Madrid"})
	here, there := idOf(t, g.site), idOf(t, other)
	put := func(roles ...store.SiteRole) outcome {
		person := r.signedIn(t, r.person(t, owner, "Pat", roles...))
		return person.do(http.MethodPut, "/decisions/"+storetest.NewID(t).String(), g.decision("why"))
	}
	for _, role := range []store.Role{store.Grower, store.Owner} {
		require.Equal(t, http.StatusCreated, put(store.SiteRole{Role: role, SiteID: here}).status, role)
		require.Equal(t, http.StatusCreated, put(store.SiteRole{Role: role}).status, role)
	}
	requireRefused(t, put(store.SiteRole{Role: store.Receiver, SiteID: here}), http.StatusForbidden, "forbidden")
	// A grower elsewhere who may only receive here sees the house but does not decide about it.
	both := put(store.SiteRole{Role: store.Receiver, SiteID: here}, store.SiteRole{Role: store.Grower, SiteID: there})
	requireRefused(t, both, http.StatusForbidden, "forbidden")
	elsewhere := put(store.SiteRole{Role: store.Grower, SiteID: there})
	requireRefused(t, elsewhere, http.StatusUnprocessableEntity, "invalid", "/house_id")
	require.Len(t, c.items("/decisions"), 4)
}

func TestADecisionStaysWithItsSiteHouseAndCrop(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fern")
	there := c.new("sites", object{"name": "Elsewhere", "time_zone": "Europe/Madrid"})
	farHouse := c.new("houses", object{"site_id": there, "name": "Far house"})
	house := c.new("houses", object{"site_id": g.site, "name": "Second house"})
	cultivar := c.new("cultivars", object{"crop_id": g.crop, "name": "Second", "foliage": "dark"})
	season := c.new("seasons", object{"crop_id": g.crop, "year": 2027, "starts_on": "2027-06-01", "ends_on": "2027-12-31"})
	path := "/decisions/" + c.new("decisions", g.decision("the wasps are at work"))
	stored, before := c.get(path), r.revisions(t)
	correct := func(c *caller, change object) outcome {
		return c.do(http.MethodPut, path, with(g.decision("the wasps are at work"), change), "If-Match", "1")
	}

	// Who receives here and decides there takes nothing from here, and ends nothing here.
	both := r.signedIn(t, r.person(t, owner, "Pat",
		store.SiteRole{Role: store.Receiver, SiteID: idOf(t, g.site)}, store.SiteRole{Role: store.Grower, SiteID: idOf(t, there)}))
	before++ // the account
	for _, change := range []object{{"house_id": farHouse}, {"because": "mine"}, {"withdrawn_because": "mine"}, {"done_on": "2026-08-15"}} {
		requireRefused(t, correct(both, change), http.StatusForbidden, "forbidden")
	}
	// Nor does who may decide at both.
	for pointer, change := range map[string]object{
		"/house_id": {"house_id": farHouse}, "/cultivar_id": {"cultivar_id": cultivar}, "/season_id": {"season_id": season},
		"/organism_id": {"organism_id": organismByEPPO(c, "BEMITA")},
	} {
		refused := correct(c, change)
		requireRefused(t, refused, http.StatusUnprocessableEntity, "invalid", pointer)
		require.Contains(t, refused.text, "not_changeable")
	}
	requireRefused(t, correct(c, object{"house_id": house}), http.StatusUnprocessableEntity, "invalid", "/house_id")
	require.Equal(t, stored, c.get(path))
	require.Equal(t, before, r.revisions(t))
}

func TestWhoDecidedIsKeptWhenOthersCorrectIt(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fern")
	grower := r.signedIn(t, r.person(t, owner, "Gwen", store.SiteRole{Role: store.Grower, SiteID: idOf(t, g.site)}))
	id := grower.new("decisions", g.decision("the wasps are at work"))
	first := c.get("/decisions/" + id)
	require.Equal(t, "Gwen", first["decided_by"].(object)["name"])
	require.Equal(t, first["recorded_by"], first["decided_by"])
	body := with(g.decision("the wasps are at work"), object{"done_on": "2026-08-15"})
	for version, by := range []*caller{c, grower, c} {
		done := by.put("/decisions/"+id, with(body, object{"done_note": "round " + strconv.Itoa(version)}), "If-Match", strconv.Itoa(version+1))
		require.Equal(t, first["decided_by"], done["decided_by"])
	}
	last := c.get("/decisions/" + id)
	require.Equal(t, "Owner of Fernhollow", last["recorded_by"].(object)["name"])
	require.Equal(t, first["decided_by"], last["decided_by"])
	require.Equal(t, []object{last}, c.items("/decisions"))
}

func TestADecisionIsCarriedOutByTomorrowAtTheSiteAtTheLatest(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fern")
	r.clock.Set(time.Date(2026, time.September, 14, 3, 0, 0, 0, time.UTC)) // still the 13th in Chicago
	path := "/decisions/" + storetest.NewID(t).String()
	done := func(on string) object { return with(g.decision("why"), object{"done_on": on}) }
	for _, late := range []string{"2026-09-15", "2027-09-13"} {
		requireRefused(t, c.do(http.MethodPut, path, done(late)), http.StatusUnprocessableEntity, "invalid", "/done_on")
	}
	c.put(path, done("2026-09-14"))
	requireRefused(t, c.do(http.MethodPut, path, done("2026-09-15"), "If-Match", "1"), http.StatusUnprocessableEntity, "invalid", "/done_on")
	c.put(path, done("2026-08-01"), "If-Match", "1") // done before it was written down
}

func TestDecisionsAreNarrowed(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fern")
	house := c.new("houses", object{"site_id": g.site, "name": "Second house"})
	cultivar := c.new("cultivars", object{"crop_id": g.crop, "name": "Second", "foliage": "dark"})
	first := c.new("decisions", g.decision("one"))
	second := c.new("decisions", with(g.decision("two"), object{"house_id": house, "cultivar_id": cultivar}))
	for filter, want := range map[string][]string{
		"site_id=" + g.site: {first, second}, "season_id=" + g.season: {first, second},
		"house_id=" + house: {second}, "cultivar_id=" + g.cultivar: {first}, "house_id=" + house + "&cultivar_id=" + g.cultivar: {},
	} {
		ids := []string{}
		for _, d := range c.items("/decisions?" + filter) {
			ids = append(ids, d["id"].(string))
		}
		require.Equal(t, want, ids, filter)
	}
}
