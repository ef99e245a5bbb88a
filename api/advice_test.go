package api

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

// crop is one house on a Monday in mid-September with three cultivars, each of 900
// plants in the same three blocks, looked at over four weeks: 60 plants a week.
type crop struct {
	grounds
	blocks             []string
	under, over, close string            // cultivars: clearly under their limit, clearly over it, too close to call
	lots               map[string]string // by cultivar
}

// The weeks of the looks, on Mondays, and what was found in each of the three blocks.
var (
	cropWeeks = []string{"2026-08-24", "2026-08-31", "2026-09-07", "2026-09-14"}
	foundIn   = map[string][][]int{
		"light": {{0, 1, 0}, {0, 0, 1}, {0, 0, 0}, {1, 0, 0}},
		"over":  {{5, 6, 5}, {8, 7, 9}, {10, 11, 12}, {13, 14, 15}},
		"close": {{2, 3, 2}, {3, 3, 3}, {3, 4, 3}, {4, 4, 4}},
	}
)

func newCrop(c *caller) crop {
	x := crop{grounds: newGrounds(c, "Fern"), lots: map[string]string{}}
	c.put("/seasons/"+x.season, object{
		"crop_id": x.crop, "year": 2026, "starts_on": "2026-06-15", "ends_on": "2026-12-18",
		"milestones": []object{{"kind": "first_colour", "on": "2026-10-12"}},
	}, "If-Match", "1")
	for _, limit := range []object{
		{"from_on": "2026-06-15", "to_on": "2026-08-31", "percent": 7},
		{"from_on": "2026-09-10", "to_on": "2026-09-25", "percent": 20},
		{"from_on": "2026-10-01", "to_on": "2026-10-10", "percent": 20, "smallest_plants": 100},
	} {
		c.new("thresholds", with(limit, object{"organism_id": x.organism, "crop_id": x.crop, "effect": "act", "source": "common practice"}))
	}
	for i := range 3 {
		x.blocks = append(x.blocks, c.new("blocks", object{"house_id": x.house, "name": fmt.Sprint("B", i), "position": i}))
	}
	x.under, x.over, x.close = x.stand(c, "Under", "light"), x.stand(c, "Over", "dark"), x.stand(c, "Close", "light")
	for week, on := range cropWeeks {
		for cultivar, found := range map[string][][]int{x.under: foundIn["light"], x.over: foundIn["over"], x.close: foundIn["close"]} {
			for i, block := range x.blocks {
				c.new("looks", x.tally(x.lots[cultivar], block, on, found[week][i], 20))
			}
		}
	}
	return x
}

// stand makes a cultivar with a lot of 900 plants in the three blocks.
func (x *crop) stand(c *caller, name, foliage string) string {
	cultivar := c.new("cultivars", object{"crop_id": x.crop, "name": name, "foliage": foliage})
	lot := c.new("lots", object{"shipment_id": x.shipment, "cultivar_id": cultivar, "plants": 900})
	x.lots[cultivar] = lot
	for _, block := range x.blocks {
		c.new("movements", object{"lot_id": lot, "kind": "stick", "moved_at": x.stuckAt, "plants": 300, "to_block_id": block})
	}
	return cultivar
}

func (x crop) tally(lot, block, on string, infested, plants int) object {
	return object{"block_id": block, "lot_id": lot, "looked_at": on + "T12:30:00Z", "targets": []object{{
		"organism_id": x.organism, "signs_looked_for": false, "tally": object{"plants_looked_at": plants, "infested_plants": infested},
	}}}
}

// adviceOn asks for one cultivar.
func adviceOn(c *caller, cultivar string) object {
	c.t.Helper()
	items := c.items("/advice?cultivar_id=" + cultivar)
	require.Len(c.t, items, 1)
	return items[0]
}

func lineOf(t *testing.T, item object, code string) object {
	t.Helper()
	for _, e := range objects(t, item["evidence"]) {
		if e["code"] == code {
			return e
		}
	}
	require.FailNow(t, "no line "+code)
	return nil
}

func TestThreeReadingsGetThreeSuggestions(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	x := newCrop(c)
	all := c.get("/advice?site_id=" + x.site)
	require.Equal(t, []any{"2026-09-14", x.season, x.organism}, []any{all["as_of"], all["season_id"], all["organism_id"]})
	require.Len(t, all["items"], 3)
	for cultivar, want := range map[string]struct {
		standing, suggestion, limit string
		infested                    int
	}{
		x.under: {"below", "stay_biological", "for_biological", 1},
		x.over:  {"above", "consider_selective", "against_biological", 42},
		x.close: {"too_close", "look_at_more", "open", 12},
	} {
		item := adviceOn(c, cultivar)
		require.Contains(t, objects(t, all["items"]), item, "the same alone and among the others")
		suggestion := item["suggestion"].(object)
		require.Equal(t, want.suggestion, suggestion["code"], item["cultivar"])
		answer := item["answer"].(object)
		require.Equal(t, want.standing, answer["code"])
		require.InDelta(t, 20, answer["limit"].(object)["percent"], 0)
		require.InDelta(t, want.infested, answer["point"].(object)["infested_plants"], 0)
		require.Equal(t, "design", answer["point"].(object)["interval"])
		weeks := objects(t, objects(t, c.get("/trends?by=cultivar&house_id=" + x.house + "&cultivar_id=" + cultivar)["groups"])[0]["points"])
		require.Equal(t, ofLine(weeks[3], "week", "plants_looked_at", "infested_plants", "standing_plants", "standing_blocks"),
			ofLine(answer["point"].(object), "week", "plants_looked_at", "infested_plants", "standing_plants", "standing_blocks"), "as the trends have it")
		limit := lineOf(t, item, "limit")
		require.Equal(t, []any{want.limit, want.standing, 60.0}, []any{limit["direction"], limit["finding"], limit["plants_looked_at"]})
		require.Equal(t, answer["point"].(object)["lower_percent"], limit["lower_percent"])
		require.Equal(t, []any{900.0, "Fern house", x.site, []any{x.lots[cultivar]}},
			[]any{item["standing_plants"], item["house"], item["site_id"], item["lots"]})
		forecast := item["forecast"].(object)
		require.Equal(t, []any{"known", 4.0, 240.0}, []any{forecast["code"], forecast["weeks"], forecast["plants_looked_at"]})
		require.Equal(t, "2026-10-01", lineOf(t, item, "forecast")["on"], "the next limit to come")
		require.Equal(t, cultivar == x.close, suggestion["fewest_plants"] != nil)
		require.Contains(t, suggestion["cautions"], "rule_of_thumb")
		require.NotEmpty(t, suggestion["reasons"])
		require.Equal(t, []any{"met", 60.0, 3.0, 3.0, 0.0}, ofLine(lineOf(t, item, "sampling"), "finding", "plants_looked_at", "blocks", "of_blocks", "days"))
		require.Equal(t, []any{"time", 28.0, "2026-10-12"}, ofLine(lineOf(t, item, "time_left"), "finding", "days", "on"))
		require.InDelta(t, 100.0/3, lineOf(t, item, "main_cultivar")["percent"], 0.01)
		require.Equal(t, []any{"dark_more", 120.0, 75.0}, ofLine(lineOf(t, item, "foliage"), "finding", "plants_looked_at", "infested_plants"), "of two weeks")
		require.Equal(t, "not_looked_for", lineOf(t, item, "adults")["finding"])
	}
	require.Equal(t, []any{"widespread", 3.0, 3.0}, ofLine(lineOf(t, adviceOn(c, x.over), "spread"), "finding", "blocks", "of_blocks"))
	require.Equal(t, []any{"single_block", 1.0, 3.0}, ofLine(lineOf(t, adviceOn(c, x.under), "spread"), "finding", "blocks", "of_blocks"))
	require.Equal(t, "rising", lineOf(t, adviceOn(c, x.over), "growth")["finding"])
}

func ofLine(line object, members ...string) []any {
	var values []any
	for _, m := range members {
		values = append(values, line[m])
	}
	return values
}

func TestSignsComeFromPlannedLooksOfThreeWeeksThatLookedForThem(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	x := newCrop(c)
	sign := func(stage, place, state string) object { return object{"stage": stage, "place": place, "state": state} }
	look := func(on string, lookedFor bool) object {
		plants := []object{
			{"seen": true, "dense_leaf": true, "signs": []object{
				sign("small_nymph", "new_growth", "alive"), sign("adult", "new_growth", "alive"), sign("large_nymph", "old_growth", "alive"),
			}},
			{"seen": true, "signs": []object{
				sign("pupa", "old_growth", "parasitised"), sign("large_nymph", "old_growth", "host_fed"), sign("empty_case", "new_growth", "alive"),
			}},
			{"seen": true, "signs": []object{sign("large_nymph", "old_growth", "dried")}},
			{"seen": false},
		}
		return with(x.tally(x.lots[x.over], x.blocks[0], on, 0, 1), object{"targets": []object{{
			"organism_id": x.organism, "signs_looked_for": lookedFor, "plants": plants, "signs": []object{sign("pupa", "old_growth", "dried")},
		}}})
	}
	c.new("looks", look("2026-09-14", true))
	c.new("looks", look("2026-08-25", true))  // 21 days back, counting today
	c.new("looks", look("2026-08-24", true))  // too long ago
	c.new("looks", look("2026-09-14", false)) // nobody looked for them
	c.new("looks", with(look("2026-09-14", true), object{"purpose": "on_purpose"}))
	c.new("looks", with(look("2026-09-14", true), object{"withdrawn_because": "the wrong lot"}))
	item := adviceOn(c, x.over)
	for code, want := range map[string][]any{
		"new_growth": {"found", 2.0, 8.0, 3.0}, "adults": {"found", 2.0, 8.0, 3.0}, "dense_leaves": {"found", 2.0, 8.0, 3.0},
		"late_nymphs": {"cannot_say", 8.0, 10.0, 3.0}, // notes: each look has one alive, one parasitised, one host-fed, two dried
	} {
		require.Equal(t, want, ofLine(lineOf(t, item, code), "finding", "infested_plants", "plants_looked_at", "weeks"), code)
	}
	require.Equal(t, "not_looked_for", lineOf(t, adviceOn(c, x.close), "new_growth")["finding"])
}

// 15 plants of a block may be of several cultivars.
func TestARoundCountsThePlantsOfABlockWhateverTheyAre(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	x := newCrop(c)
	sparse := x.stand(c, "Sparse", "medium")
	c.new("movements", object{
		"lot_id": x.lots[sparse], "kind": "discard", "moved_at": "2026-09-01T15:00:00Z", "plants": 60, "from_block_id": x.blocks[0], "reason": "broken",
	})
	for _, block := range x.blocks {
		c.new("looks", x.tally(x.lots[sparse], block, "2026-09-14", 0, 14)) // 42 of 840 plants
	}
	require.Equal(t, []any{"met", 42.0, 5.0}, ofLine(lineOf(t, adviceOn(c, sparse), "sampling"), "finding", "plants_looked_at", "percent"))
}

func TestAdviceIsNarrowed(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	x := newCrop(c)
	second := c.new("houses", object{"site_id": x.site, "name": "A second house"})
	block := c.new("blocks", object{"house_id": second, "name": "1", "position": 1})
	lot := x.lots[x.under]
	c.new("movements", object{
		"lot_id": lot, "kind": "move", "moved_at": "2026-09-13T15:00:00Z", "plants": 300, "from_block_id": x.blocks[0], "to_block_id": block,
	})
	of := func(query string) []string {
		found := []string{}
		for _, item := range c.items("/advice?" + query) {
			found = append(found, fmt.Sprint(item["house"], ": ", item["cultivar"], " ", item["standing_plants"]))
		}
		return found
	}
	house := []string{"Fern house: Close 900", "Fern house: Over 900", "Fern house: Under 600"}
	require.Equal(t, append([]string{"A second house: Under 300"}, house...), of(""))
	require.Equal(t, house, of("house_id="+x.house))
	require.Equal(t, []string{"A second house: Under 300", house[2]}, of("lot_id="+lot))
	require.Equal(t, []string{house[2]}, of("house_id="+x.house+"&cultivar_id="+x.under))
	new := c.items("/advice?house_id=" + second)[0]
	require.Equal(t, "no_looks", new["answer"].(object)["code"])
	require.Equal(t, "cannot_say", new["forecast"].(object)["code"])
	require.Equal(t, "nothing_to_say", new["suggestion"].(object)["code"])
	require.Len(t, new["evidence"], 12)

	// What is gone keeps its looks, and there is nothing to do about it.
	c.new("movements", object{
		"lot_id": x.lots[x.over], "kind": "discard", "moved_at": "2026-09-14T12:45:00Z", "plants": 300, "from_block_id": x.blocks[0], "reason": "infested",
	})
	require.Equal(t, "consider_selective", adviceOn(c, x.over)["suggestion"].(object)["code"])
	for _, b := range x.blocks[1:] {
		c.new("movements", object{
			"lot_id": x.lots[x.over], "kind": "discard", "moved_at": "2026-09-14T12:50:00Z", "plants": 300, "from_block_id": b, "reason": "infested",
		})
	}
	gone := adviceOn(c, x.over)
	require.Equal(t, []any{"nothing_to_say", 0.0}, []any{gone["suggestion"].(object)["code"], gone["standing_plants"]})
	require.Equal(t, "above", gone["answer"].(object)["code"])
	require.Len(t, c.items("/advice?lot_id="+x.lots[x.over]), 1, "it stands nowhere any more: where it was looked at")

	require.Empty(t, r.newOwner(t, "Second").items("/advice"), "no season, no advice")
}

func TestAHeldLotAndDecisionsAreToldOf(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	x := newCrop(c)
	require.NotContains(t, adviceOn(c, x.close)["suggestion"].(object)["cautions"], "held")
	inspection := c.new("inspections", with(x.inspection(57, 2), object{"lot_id": x.lots[x.close]}))
	c.new("verdicts", object{"inspection_id": inspection, "decision": "hold", "because": "waiting for the laboratory"})
	require.Contains(t, adviceOn(c, x.close)["suggestion"].(object)["cautions"], "held")

	decide := func(at, because string) string {
		return c.new("decisions", with(x.decision(because), object{"cultivar_id": x.close, "decided_at": at}))
	}
	first, later := decide("2026-09-07T10:00:00Z", "first"), decide("2026-09-14T10:00:00Z", "later")
	withdrawn := decide("2026-09-14T11:00:00Z", "wrong")
	c.put("/decisions/"+withdrawn, with(x.decision("wrong"), object{
		"cultivar_id": x.close, "decided_at": "2026-09-14T11:00:00Z", "withdrawn_because": "for another house",
	}), "If-Match", "1")
	told := objects(t, adviceOn(c, x.close)["decisions"])
	require.Equal(t, []object{c.get("/decisions/" + later), c.get("/decisions/" + first)}, told)
	require.Empty(t, adviceOn(c, x.over)["decisions"])
}
