package api

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"
)

// ages gives what arrived in each week: by age, the infested and the plants looked at.
func ages(t *testing.T, arrivals object) map[any]map[any][2]any {
	t.Helper()
	seen := map[any]map[any][2]any{}
	for _, w := range objects(t, arrivals["weeks"]) {
		seen[w["key"]] = map[any][2]any{}
		for _, cell := range objects(t, w["cells"]) {
			p := cell["point"].(object)
			seen[w["key"]][cell["age_weeks"]] = [2]any{p["infested_plants"], p["plants_looked_at"]}
		}
	}
	return seen
}

// Lots came in weeks 32 and 34; both are looked at two weeks later, and so is a lot
// mixed of them. Every cell opens to the looks it is made of.
func TestArrivalsAreReadAtTheSameAge(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	y := newYard(c)
	_, later := y.arrived(c, "2026-08-17", 500)
	c.new("movements", object{"lot_id": later, "kind": "stick", "moved_at": "2026-08-18T10:00:00Z", "plants": 500, "to_block_id": y.block2})
	tally := func(lot any, block, at string, infested, plants int) {
		c.new("looks", object{
			"block_id": block, "lot_id": lot, "looked_at": at,
			"targets": []object{{"organism_id": y.organism, "tally": object{"plants_looked_at": plants, "infested_plants": infested}}},
		})
	}
	tally(y.lot, y.block, "2026-08-19T15:00:00Z", 24, 60)
	tally(later, y.block2, "2026-09-01T15:00:00Z", 1, 60)
	tally(nil, y.block2, "2026-09-01T16:00:00Z", 3, 9) // of a lot that is not known yet
	mixed := newID(t)
	c.new("movements", object{
		"lot_id": mixed, "kind": "merge", "moved_at": "2026-08-25T10:00:00Z", "plants": 107,
		"parts": []object{{"lot_id": y.lot, "plants": 100, "from_block_id": y.block}, {"lot_id": later, "plants": 7, "from_block_id": y.block2}},
	})
	tally(mixed, y.block, "2026-08-26T15:00:00Z", 5, 20)

	found := c.get("/arrivals")
	require.Equal(t, map[any]map[any][2]any{
		"2026-W32":       {2.0: {24.0, 60.0}},
		"2026-W34":       {2.0: {1.0, 60.0}},
		"mixed 2026-W32": {3.0: {5.0, 20.0}},
	}, ages(t, found))
	weeks := objects(t, found["weeks"])
	require.Equal(t, []any{"2026-W32", "2026-W34", "2026-W32"}, []any{weeks[0]["week"], weeks[1]["week"], weeks[2]["week"]}, "mixed lots last")
	require.InDelta(t, 9, found["unknown_plants"], 0)
	byAge := objects(t, found["ages"])
	require.Len(t, byAge, 1, "mixed lots are not compared")
	require.Equal(t, "known", byAge[0]["code"])
	require.Less(t, byAge[0]["homogeneity_p"], 0.05)
	groups := objects(t, byAge[0]["groups"])
	require.Equal(t, "2026-W32", groups[0]["key"])
	require.Equal(t, "higher", groups[0]["differs"])
	require.Equal(t, "lower", groups[1]["differs"])

	for key, cells := range ages(t, found) {
		for _, counts := range cells {
			lots := objects(t, c.get("/trends?by=lot&" + url.Values{"arrival_week": {key.(string)}}.Encode())["groups"])
			require.Len(t, lots, 1, key)
			point := objects(t, lots[0]["points"])[0]
			require.Equal(t, [2]any{point["infested_plants"], point["plants_looked_at"]}, counts)
			behind := c.items("/looks?" + url.Values{"by": {"arrival_week"}, "key": {key.(string)}, "week": {point["week"].(string)}}.Encode())
			require.Len(t, behind, 1, key)
			require.Equal(t, lots[0]["key"], behind[0]["lot_id"])
			require.Equal(t, behind, c.items("/looks?"+url.Values{"arrival_week": {key.(string)}, "week": {point["week"].(string)}}.Encode()))
		}
	}

	// What they hold is narrowed; what they have in common is not.
	require.Empty(t, c.get("/arrivals?foliage=dark")["weeks"])
	require.Empty(t, c.items("/looks?foliage=dark"))
	require.Len(t, c.items("/looks?foliage=light"), 3)
	light := c.get("/arrivals?foliage=light&cultivar_id=" + y.cultivar)
	require.Equal(t, found["block_correlation"], light["block_correlation"])
	require.Equal(t, found["weeks"], light["weeks"])
	here := c.get("/arrivals?house_id=" + y.house2)
	require.Equal(t, map[any]map[any][2]any{"2026-W34": {2.0: {1.0, 60.0}}}, ages(t, here))
	require.Equal(t, "cannot_say", objects(t, here["ages"])[0]["code"])
	require.Empty(t, c.get("/trends?by=lot&foliage=medium")["groups"])

	for _, query := range []string{"foliage=green", "arrival_week=32", "site_id=x"} {
		path := map[bool]string{true: "/trends?by=lot&", false: "/arrivals?"}[query == "arrival_week=32"]
		require.Equal(t, http.StatusUnprocessableEntity, c.do(http.MethodGet, path+query, nil).status, query)
	}
}

func TestArrivalsOfASeasonThatIsNotThereAreNone(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	found := c.get("/arrivals")
	require.Empty(t, found["weeks"])
	require.Empty(t, found["ages"])
	require.Nil(t, found["season_id"])
}
