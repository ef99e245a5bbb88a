package api

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// bench is a cultivar of its own on blocks of its own: so many plants stand in each.
func (x *crop) bench(c *caller, house, name, foliage string, standing int, blocks ...string) string {
	cultivar := c.new("cultivars", object{"crop_id": x.crop, "name": name, "foliage": foliage})
	lot := c.new("lots", object{"shipment_id": x.shipment, "cultivar_id": cultivar, "plants": standing * max(len(blocks), 1)})
	x.lots[cultivar] = lot
	for _, block := range blocks {
		c.new("movements", object{"lot_id": lot, "kind": "stick", "moved_at": x.stuckAt, "plants": standing, "to_block_id": block})
	}
	return cultivar
}

// emptyHouse makes a second house of the site with a block.
func (x *crop) emptyHouse(c *caller) (house, block string) {
	house = c.new("houses", object{"site_id": x.site, "name": "A second house"})
	return house, c.new("blocks", object{"house_id": house, "name": "1", "position": 1})
}

// withSigns is a tally of 20 plants without a find, at which signs were looked for.
func (x crop) withSigns(lot, block, on string) object {
	return with(x.tally(lot, block, on, 0, 20), object{"targets": []object{{
		"organism_id": x.organism, "signs_looked_for": true, "tally": object{"plants_looked_at": 20, "infested_plants": 0},
	}}})
}

func TestFoliageSaysTheSameInAdviceAndInTrends(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	x := newCrop(c)
	house, block := x.emptyHouse(c)
	light, dark := x.bench(c, house, "Pale", "light", 400, block), x.bench(c, house, "Deep", "dark", 400, block)
	c.new("looks", x.tally(x.lots[light], block, "2026-09-14", 9, 60))
	c.new("looks", x.tally(x.lots[dark], block, "2026-09-14", 0, 20))
	for _, at := range []string{house, x.house} {
		contrast := c.get("/trends?by=cultivar&house_id=" + at)["comparison"].(object)["foliage"].(object)
		for _, item := range c.items("/advice?house_id=" + at) {
			require.Equal(t, contrast["code"], lineOf(t, item, "foliage")["finding"])
		}
	}
	require.Equal(t, []any{"cannot_say", "open", 20.0}, ofLine(lineOf(t, adviceOn(c, dark), "foliage"), "finding", "direction", "plants_looked_at"),
		"none of 20 does not say that it is on light leaves only")
}

func TestASmallCropNeedsNoMorePlantsThanThereAre(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	x := newCrop(c)
	house, block := x.emptyHouse(c)
	lost := x.bench(c, house, "Twelve", "medium", 12, block)
	c.new("looks", x.tally(x.lots[lost], block, "2026-09-14", 11, 12))
	item := adviceOn(c, lost)
	require.Equal(t, "above", item["answer"].(object)["code"])
	require.Equal(t, "consider_selective", item["suggestion"].(object)["code"], "all of it was looked at")
	require.Equal(t, []any{"met", 12.0}, ofLine(lineOf(t, item, "sampling"), "finding", "plants_looked_at"), "a block of twelve has no fifteen")

	second := c.new("blocks", object{"house_id": house, "name": "2", "position": 2})
	open := x.bench(c, house, "Twenty", "medium", 20, second)
	c.new("looks", x.tally(x.lots[open], second, "2026-09-14", 3, 20))
	answer := adviceOn(c, open)["answer"].(object)
	require.Equal(t, []any{"too_close", nil}, ofLine(answer, "code", "more_plants"), "none is left to look at")

	// October's limit asks for 100 plants or 5 % of the crop: 45 of 900, 1 of 12.
	r.clock.Set(time.Date(2026, time.October, 5, 13, 0, 0, 0, time.UTC))
	c.new("looks", x.tally(x.lots[lost], block, "2026-10-05", 11, 12))
	require.Equal(t, "above", adviceOn(c, lost)["answer"].(object)["code"])
	c.new("looks", x.tally(x.lots[x.over], x.blocks[0], "2026-10-05", 30, 40))
	require.Equal(t, []any{"too_few", 5.0}, ofLine(adviceOn(c, x.over)["answer"].(object), "code", "more_plants"))
	c.new("looks", x.tally(x.lots[x.over], x.blocks[1], "2026-10-05", 4, 5))
	require.Equal(t, "above", adviceOn(c, x.over)["answer"].(object)["code"])
}

func TestARoundIsHeldAgainstTheRulesOfItsSite(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	x := newCrop(c)
	sampling := func() any { return lineOf(t, adviceOn(c, x.close), "sampling")["finding"] } // 60 of 900 plants, in all three blocks
	require.Equal(t, "met", sampling())
	site := object{"name": "Fern site", "time_zone": "America/Chicago"}
	c.put("/sites/"+x.site, with(site, object{"round_rules": object{"crop_percent": 7}}), "If-Match", "1")
	require.Equal(t, "not_met", sampling())
	c.put("/sites/"+x.site, with(site, object{"round_rules": object{"plants_per_block_least": 61, "plants_per_block_most": 80}}), "If-Match", "2")
	require.Equal(t, "not_met", sampling(), "60 plants a block, of all cultivars")
	c.put("/sites/"+x.site, with(site, object{"round_rules": object{"crop_percent": 6.6, "plants_per_block_least": 60, "plants_per_block_most": 80}}), "If-Match", "3")
	require.Equal(t, "met", sampling())
}

// At half past seven in the evening in Chicago it is tomorrow already in UTC.
func TestEveryItemIsJudgedOnTheDayOfItsSite(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	x := newCrop(c)
	c.new("looks", x.withSigns(x.lots[x.close], x.blocks[0], "2026-08-26"))
	r.clock.Set(time.Date(2026, time.September, 16, 0, 30, 0, 0, time.UTC))
	left := func(item object) any { return lineOf(t, item, "time_left")["days"] }
	all := c.get("/advice")
	require.Equal(t, "2026-09-15", all["as_of"])
	for _, item := range objects(t, all["items"]) {
		require.InDelta(t, 27, left(item), 0, "to 12 October")
		require.Contains(t, objects(t, c.get("/advice?site_id=" + x.site)["items"]), item, "the same alone")
	}
	require.Equal(t, "not_found", lineOf(t, adviceOn(c, x.close), "adults")["finding"], "20 days before")

	far := c.new("sites", object{"name": "Far site", "time_zone": "Asia/Tokyo"})
	shipment := c.new("shipments", object{"site_id": far, "supplier_id": x.supplier, "expected_on": x.arrivedOn, "docked_at": x.dockedAt})
	house := c.new("houses", object{"site_id": far, "name": "Far house"})
	block := c.new("blocks", object{"house_id": house, "name": "1", "position": 1})
	lot := c.new("lots", object{"shipment_id": shipment, "cultivar_id": x.cultivar, "plants": 300})
	c.new("movements", object{"lot_id": lot, "kind": "stick", "moved_at": x.stuckAt, "plants": 300, "to_block_id": block})
	there := func() object { return c.items("/advice?house_id=" + house)[0] }
	require.InDelta(t, 26, left(there()), 0)
	c.new("looks", x.withSigns(lot, block, "2026-08-26"))
	require.Equal(t, "not_looked_for", lineOf(t, there(), "adults")["finding"], "21 days before")
	c.new("looks", x.withSigns(lot, block, "2026-08-27"))
	require.Equal(t, "not_found", lineOf(t, there(), "adults")["finding"])
	require.InDelta(t, 27, left(adviceOn(c, x.close)), 0)
	require.Equal(t, "2026-09-16", c.get("/advice")["as_of"], "in UTC, where the sites differ")
}

func TestALotOfLastYearIsReadInItsOwnSeason(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	x := newCrop(c)
	shipment := c.new("shipments", object{
		"site_id": x.site, "supplier_id": x.supplier, "expected_on": "2025-08-04", "docked_at": "2025-08-04T15:00:00Z",
	})
	lot := c.new("lots", object{"shipment_id": shipment, "cultivar_id": x.cultivar, "plants": 300})
	c.new("looks", x.tally(lot, x.blocks[0], "2025-09-15", 4, 20))
	season := c.get("/lots/" + lot)["season_id"]
	require.NotEqual(t, x.season, season)
	found := c.get("/advice?lot_id=" + lot)
	require.Equal(t, season, found["season_id"])
	items := objects(t, found["items"])
	require.Len(t, items, 1)
	require.Equal(t, []any{lot}, items[0]["lots"])
	require.Empty(t, c.items("/advice?lot_id="+lot+"&season_id="+x.season), "unless another is asked for")
}

func TestWithdrawnLotsAreInNoAdvice(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	x := newCrop(c)
	c.new("looks", x.withSigns(x.lots[x.over], x.blocks[0], "2026-09-14"))
	again := c.new("lots", object{"shipment_id": x.shipment, "cultivar_id": x.over, "plants": 100}) // so that something of it is left
	c.new("looks", x.tally(again, x.blocks[0], "2026-09-14", 0, 20))
	require.InDelta(t, 100.0/3, lineOf(t, adviceOn(c, x.close), "main_cultivar")["percent"], 0.01)
	exec(t, r, `update lot set withdrawn_because = 'entered twice' where id = $1`, x.lots[x.over])
	item := adviceOn(c, x.over)
	require.Equal(t, []any{[]any{again}, 0.0}, ofLine(item, "lots", "standing_plants"))
	require.InDelta(t, 20, item["answer"].(object)["point"].(object)["plants_looked_at"], 0)
	require.Equal(t, "not_looked_for", lineOf(t, item, "adults")["finding"])
	require.InDelta(t, 50, lineOf(t, adviceOn(c, x.close), "main_cultivar")["percent"], 0.01)
	require.Empty(t, c.items("/advice?lot_id="+x.lots[x.over]))

	exec(t, r, `update shipment set withdrawn_because = 'entered twice' where id = $1`, x.shipment)
	require.Empty(t, c.items("/advice"))
}

// A tally has no place for a densely covered leaf: that none was noted says nothing.
func TestATallySaysNothingOfDenseLeaves(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	x := newCrop(c)
	lookedFor := func(target object) {
		c.new("looks", with(x.tally(x.lots[x.close], x.blocks[0], "2026-09-14", 0, 1), object{"targets": []object{
			with(object{"organism_id": x.organism, "signs_looked_for": true}, target),
		}}))
	}
	lookedFor(object{"tally": object{"plants_looked_at": 144, "infested_plants": 0}})
	dense := lineOf(t, adviceOn(c, x.close), "dense_leaves")
	require.Equal(t, []any{"not_looked_for", "open", nil}, ofLine(dense, "finding", "direction", "plants_looked_at"))
	lookedFor(object{"plants": []object{{"seen": false}, {"seen": false}, {"seen": false}}})
	item := adviceOn(c, x.close)
	require.Equal(t, []any{"not_found", 3.0}, ofLine(lineOf(t, item, "dense_leaves"), "finding", "plants_looked_at"))
	require.Equal(t, []any{"not_found", 147.0}, ofLine(lineOf(t, item, "adults"), "finding", "plants_looked_at"))
}
