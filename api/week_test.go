package api

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/domain"
)

// walk makes the looks of a week of the three blocks; only as many blocks as there are
// counts.
func (x crop) walk(c *caller, lot, on string, infested ...int) {
	for i, n := range infested {
		c.new("looks", x.tally(lot, x.blocks[i], on, n, 20))
	}
}

// inSections puts the first two blocks into a section of the site.
func (x crop) inSections(c *caller) {
	for i, block := range x.blocks[:2] {
		c.put("/blocks/"+block, object{"house_id": x.house, "section_id": x.section, "name": []string{"B0", "B1"}[i], "position": i}, "If-Match", "1")
	}
}

func sectionOf(t *testing.T, week object, id any) object {
	t.Helper()
	for _, s := range objects(t, week["sections"]) {
		if s["section_id"] == id {
			return s
		}
	}
	require.FailNow(t, "no such section")
	return nil
}

func TestAMondayShowsTheLastRoundUntilHalfOfTheNewOneIsWalked(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	x := newCrop(c)
	shown := func(query string) []any {
		return ofLine(c.get("/week?site_id="+x.site+query), "week", "present_week", "because", "advice_holds")
	}
	require.Equal(t, []any{"2026-W38", "2026-W38", "present", true}, shown(""), "the looks of this Monday are in")
	r.clock.Set(r.clock.Now().AddDate(0, 0, 7))
	require.Equal(t, []any{"2026-W38", "2026-W39", "last_round", true}, shown(""))
	require.Equal(t, []any{"2026-W39", "2026-W39", "asked", true}, shown("&week=2026-W39"))
	require.Equal(t, []any{"2026-W36", "2026-W39", "asked", false}, shown("&week=2026-W36"))

	round := objects(t, c.get("/week?site_id=" + x.site)["sections"])
	planned := 0.0
	for _, s := range round {
		planned += s["plan"].(object)["blocks"].(float64)
	}
	require.InDelta(t, 3, planned, 0)
	x.walk(c, x.lots[x.over], "2026-09-21", 4)
	require.Equal(t, []any{"2026-W38", "2026-W39", "last_round", true}, shown(""), "one of three blocks")
	x.walk(c, x.lots[x.close], "2026-09-21", 0, 1)
	require.Equal(t, []any{"2026-W39", "2026-W39", "present", true}, shown(""), "two of three")
	require.Equal(t, http.StatusUnprocessableEntity, c.do(http.MethodGet, "/week?site_id="+x.site+"&week=2026-W60", nil).status)
}

func TestASectionNamesItsLotsWorstFirstWithTheirAdvice(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	x := newCrop(c)
	x.inSections(c)
	week := c.get("/week?site_id=" + x.site)
	section := sectionOf(t, week, x.section)
	require.Equal(t, []any{3.0, "Fern section", 120.0, 36.0, 2.0, 0.0}, ofLine(section, "lots", "name", "plants_looked_at", "infested_plants", "blocks_looked_at", "more_listed"))
	require.Equal(t, object{"over": 1.0, "heading_over": 1.0, "near": 0.0, "unsettled": 0.0, "below": 1.0, "no_limit": 0.0, "not_looked_at": 0.0}, section["counts"])
	listed := objects(t, section["listed"])
	require.Len(t, listed, 2, "the one below its limit needs nobody")
	require.Equal(t, []any{x.lots[x.over], "over", 600.0, []any{x.house}}, ofLine(listed[0], "lot_id", "concern", "standing_plants", "houses"))
	require.Equal(t, []any{x.lots[x.close], "heading_over"}, ofLine(listed[1], "lot_id", "concern"))
	require.Equal(t, []object{
		{"house_id": x.house, "house": "Fern house", "block_id": x.blocks[0], "block": "B0"}, {"house_id": x.house, "house": "Fern house", "block_id": x.blocks[1], "block": "B1"},
	}, objects(t, listed[0]["places"]))

	change := listed[0]["change"].(object)
	require.Equal(t, "2026-W37", change["since_week"])
	require.InDelta(t, 15, change["points"], 1e-9, "42 of 60 after 33 of 60")
	require.Less(t, change["lower_points"], 0.0)
	require.Greater(t, change["upper_points"], 15.0)

	require.ElementsMatch(t, []object{adviceOn(c, x.over), adviceOn(c, x.close)}, objects(t, week["advice"]), "as it is given alone")

	// A lot is read over all of its blocks, as the trends have it.
	byLot := map[any]object{}
	for _, g := range objects(t, c.get("/trends?by=lot&site_id=" + x.site)["groups"]) {
		byLot[g["key"]] = g
	}
	for _, lot := range listed {
		group := byLot[lot["lot_id"]]
		require.Equal(t, group["points"], lot["points"])
		require.Equal(t, group["answer"], lot["answer"])
		require.Equal(t, group["limits"], lot["limits"])
		require.InDelta(t, group["forecast"].(object)["over_limit_percent"], lot["over_limit_percent"], 1e-9)
	}

	rest := sectionOf(t, week, nil)
	require.Equal(t, []any{3.0, 60.0, 19.0}, ofLine(rest, "lots", "plants_looked_at", "infested_plants"))
	narrow := c.get("/week?site_id=" + x.site + "&section_id=" + x.section)
	require.Empty(t, sectionOf(t, narrow, nil)["listed"])
	require.InDelta(t, 2, sectionOf(t, narrow, nil)["more_listed"], 0)
	require.Equal(t, section, sectionOf(t, narrow, x.section))

	before := sectionOf(t, c.get("/week?site_id="+x.site+"&week=2026-W35"), x.section)
	require.Equal(t, []any{120.0, 17.0}, ofLine(before, "plants_looked_at", "infested_plants"))
	require.Empty(t, objects(t, before["listed"])[0]["houses"], "today's advice does not speak of three weeks ago")
	require.Len(t, objects(t, before["listed"])[0]["points"], 1)
}

func TestAWeekTellsOfMissedBlocksAdultsDecisionsAndWhatIsDue(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	x := newCrop(c)
	x.inSections(c)
	decide := func(at string, done object) string {
		return c.new("decisions", with(with(x.decision("spots"), object{"cultivar_id": x.close, "decided_at": at}), done))
	}
	open, done := decide("2026-09-07T10:00:00Z", object{}), decide("2026-09-14T10:00:00Z", object{"done_on": "2026-09-14"})
	decide("2026-09-07T11:00:00Z", object{"done_on": "2026-09-08"})
	c.new("holds", object{"scope": "lot", "scope_id": x.lots[x.over], "kind": "internal", "from_at": "2026-09-10T08:00:00Z", "reason": "wait"})
	look := x.tally(x.lots[x.under], x.blocks[0], "2026-09-14", 0, 0)
	look["targets"] = []object{{"organism_id": x.organism, "signs_looked_for": true, "plants": []object{
		{"seen": true, "signs": []object{{"stage": "adult", "place": "new_growth", "state": "alive"}}},
		{"seen": true, "signs": []object{{"stage": "adult", "place": "old_growth", "state": "alive"}}},
		{"seen": false},
	}}}
	c.new("looks", look)

	week := c.get("/week?site_id=" + x.site)
	section := sectionOf(t, week, x.section)
	require.Equal(t, []object{{"house_id": x.house, "house": "Fern house", "plants": 1.0, "plants_looked_at": 3.0}}, objects(t, section["adults"]))
	require.InDelta(t, 3, section["signs_plants_looked_at"], 0)
	var told []any
	for _, d := range objects(t, section["decisions"]) {
		require.Equal(t, []any{"Close", "Fern house"}, ofLine(d, "cultivar", "house"))
		told = append(told, d["decision"].(object)["id"])
	}
	require.Equal(t, []any{done, open}, told)
	held := objects(t, week["holds"])
	require.Len(t, held, 1)
	require.Equal(t, []any{x.lots[x.over], "internal", "wait", []any{x.section}}, ofLine(held[0], "lot_id", "kind", "reason", "section_ids"))
	require.NotEmpty(t, week["second_looks"])

	r.clock.Set(r.clock.Now().AddDate(0, 0, 7))
	missed := sectionOf(t, c.get("/week?site_id="+x.site+"&week=2026-W39"), x.section)["round"].(object)
	require.Len(t, missed["missed"], 2)
	require.InDelta(t, 0, missed["blocks_done"], 0)
}

func TestTheSameWeekShowsTheSameToAnotherOfTheSiteAndNothingToAStranger(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	x := newCrop(c)
	x.inSections(c)
	site, err := domain.ParseID(x.site)
	require.NoError(t, err)
	elsewhere, err := domain.ParseID(c.new("sites", object{"name": "Elsewhere", "time_zone": "UTC"}))
	require.NoError(t, err)
	address := "/week?site_id=" + x.site + "&section_id=" + x.section + "&week=2026-W38"
	want := c.get(address)
	grower := r.signedIn(t, r.person(t, owner, "Grower", store.SiteRole{Role: store.Grower, SiteID: site}))
	require.Equal(t, want, grower.get(address))
	receiver := r.signedIn(t, r.person(t, owner, "Receiver", store.SiteRole{Role: store.Receiver, SiteID: site}))
	require.Equal(t, want, receiver.get(address))

	other := r.signedIn(t, r.person(t, owner, "Other", store.SiteRole{Role: store.Grower, SiteID: elsewhere}))
	requireRefused(t, other.do(http.MethodGet, address, nil), http.StatusUnprocessableEntity, "invalid", "#query/site_id")
	requireRefused(t, r.newOwner(t, "Second").do(http.MethodGet, address, nil), http.StatusUnprocessableEntity, "invalid", "#query/site_id")
	require.Equal(t, http.StatusUnauthorized, (&caller{t: t, url: c.url}).do(http.MethodGet, address, nil).status)
}

func TestAWeekOfASiteWithNothingInItIsEmpty(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	site := c.new("sites", object{"name": "Bare", "time_zone": "UTC"})
	week := c.get("/week?site_id=" + site)
	require.Equal(t, []any{nil, nil, "last_round"}, ofLine(week, "organism_id", "season_id", "because"))
	section := sectionOf(t, week, nil)
	require.Equal(t, []any{"", 0.0, 0.0}, ofLine(section, "name", "lots", "plants_looked_at"))
}
