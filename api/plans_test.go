package api

import (
	"fmt"
	"net/http"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// walkedHouse is a house of eight blocks with 125 plants each of one lot, light of
// foliage, and a limit of 20 %.
type walkedHouse struct {
	grounds
	blocks []string
}

func newWalkedHouse(c *caller, mark string) walkedHouse {
	h := walkedHouse{grounds: newGrounds(c, mark)}
	h.blocks = []string{h.block}
	for i := 1; i < 8; i++ {
		h.blocks = append(h.blocks, c.new("blocks", object{"house_id": h.house, "name": fmt.Sprintf("%s row %d", mark, i), "position": 7 + i}))
	}
	for _, block := range h.blocks {
		c.new("movements", with(h.stick(), object{"plants": 125, "to_block_id": block}))
	}
	c.new("thresholds", object{
		"organism_id": h.organism, "crop_id": h.crop, "from_on": "2026-08-01", "to_on": "2026-12-01", "percent": 20, "effect": "act", "source": mark,
	})
	return h
}

func (h walkedHouse) lookAt(block, at string, plants, infested int) object {
	return object{"block_id": block, "lot_id": h.lot, "looked_at": at, "targets": []object{
		{"organism_id": h.organism, "tally": object{"plants_looked_at": plants, "infested_plants": infested}},
	}}
}

// planOf gives the plan of the only house of the site.
func (h walkedHouse) planOf(c *caller, query string) object {
	c.t.Helper()
	plans := objects(c.t, c.get("/plans?site_id=" + h.site + query)["plans"])
	require.Len(c.t, plans, 1)
	return plans[0]
}

func planRule(t *testing.T, plan object, name string) object {
	t.Helper()
	for _, r := range objects(t, plan["rules"]) {
		if r["rule"] == name {
			return r
		}
	}
	require.Fail(t, "no such rule", name)
	return nil
}

func plannedBlocks(t *testing.T, plan object, panel bool) []string {
	t.Helper()
	var ids []string
	for _, b := range objects(t, plan["blocks"]) {
		if b["panel"] == panel {
			ids = append(ids, b["block_id"].(string))
		}
	}
	return ids
}

func TestARoundIsPlannedWalkedAndSaidToBeEnough(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	h := newWalkedHouse(c, "Fernhollow")
	r.clock.Set(time.Date(2026, time.August, 12, 12, 0, 0, 0, time.UTC))

	all := c.get("/plans?site_id=" + h.site)
	require.Equal(t, h.week, all["week"])
	require.Equal(t, h.organism, all["organism_id"], "the main pest of what stands there")
	plan := h.planOf(c, "")
	require.InDelta(t, 1000, plan["standing"], 0)
	require.InDelta(t, 8, plan["blocks_with_plants"], 0)
	require.InDelta(t, 80, plan["plants"], 0, "20 in each of half of the blocks, for the foliage is light")
	require.InDelta(t, 4*(1.5+20*12.0/60), plan["minutes"], 1e-9)
	require.Len(t, plannedBlocks(t, plan, true), 2)
	for i, block := range objects(t, plan["blocks"]) {
		look := objects(t, block["looks"])[0]
		require.Equal(t, h.lot, look["lot_id"])
		require.Len(t, look["positions"], 20)
		require.Contains(t, look["reasons"], "light_foliage")
		require.InDelta(t, 0, look["done_plants"], 0)
		stop := objects(t, plan["stops"])[0]
		require.Equal(t, "more", stop["code"])
		require.InDelta(t, 60-15*i, objects(t, h.planOf(c, "")["stops"])[0]["more_plants"], 0, "15 in each of four blocks are the least")
		c.new("looks", h.lookAt(block["block_id"].(string), h.lookedAt, 15, 0))
	}

	walked := h.planOf(c, "")
	require.Equal(t, plan["seed"], walked["seed"])
	stop := objects(t, walked["stops"])[0]
	require.Equal(t, "below", stop["code"], "none of 60")
	require.InDelta(t, 60, stop["done_plants"], 0)
	require.InDelta(t, 20, stop["limit"].(object)["percent"], 0)
	require.InDelta(t, 60, objects(t, stop["lines"])[0]["plants"], 0)
	for _, rule := range objects(t, walked["rules"]) {
		require.Equal(t, true, rule["kept"], rule)
		require.Equal(t, true, rule["met"], rule)
		require.NotContains(t, rule, "minutes_more")
	}
	require.InDelta(t, 50, planRule(t, walked, "crop_share")["asked"], 0, "5 % of 1000")
	for i, block := range objects(t, walked["blocks"]) {
		planned := objects(t, plan["blocks"])[i]
		require.Equal(t, planned["block_id"], block["block_id"], "looks do not change the plan they fulfil")
		look := objects(t, block["looks"])[0]
		require.Equal(t, objects(t, planned["looks"])[0]["positions"], look["positions"])
		require.InDelta(t, 15, look["done_plants"], 0)
	}
}

func TestTheNextWeekHasTheSamePanelAndOthersInTurn(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	h := newWalkedHouse(c, "Fernhollow")
	r.clock.Set(time.Date(2026, time.August, 12, 12, 0, 0, 0, time.UTC))
	first := h.planOf(c, "")
	turn := plannedBlocks(t, first, false)
	for _, block := range append(plannedBlocks(t, first, true), turn...) {
		c.new("looks", h.lookAt(block, h.lookedAt, 20, 4))
	}
	withdrawn := with(h.lookAt(h.blocks[0], h.lookedAt, 20, 20), object{"withdrawn_because": "wrong house"})
	c.new("looks", withdrawn)

	r.clock.Set(time.Date(2026, time.August, 19, 12, 0, 0, 0, time.UTC))
	next := h.planOf(c, "")
	require.Equal(t, "2026-W34", next["week"])
	require.Equal(t, plannedBlocks(t, first, true), plannedBlocks(t, next, true))
	for _, block := range plannedBlocks(t, next, false) {
		require.NotContains(t, turn, block, "it was looked at last week")
	}
	require.NotEqual(t, first["seed"], next["seed"])
	require.InDelta(t, 0, objects(t, next["stops"])[0]["done_plants"], 0)
	near := 0
	for _, block := range objects(t, next["blocks"]) {
		for _, reason := range objects(t, block["looks"])[0]["reasons"].([]any) {
			if reason == "near_limit" {
				near++
			}
		}
	}
	require.Equal(t, 4, near, "16 of 80 lie on the limit")
	require.Equal(t, first, withoutDone(t, h.planOf(c, "&week="+h.week)), "the week that is over is planned as it was")
}

// withoutDone takes from a plan what was done in the meantime.
func withoutDone(t *testing.T, plan object) object {
	t.Helper()
	for _, rule := range objects(t, plan["rules"]) {
		rule["done"], rule["met"] = 0.0, false
	}
	for _, block := range objects(t, plan["blocks"]) {
		for _, look := range objects(t, block["looks"]) {
			look["done_plants"] = 0.0
		}
	}
	for _, stop := range objects(t, plan["stops"]) {
		stop["done_plants"], stop["done_infested"], stop["code"], stop["more_plants"] = 0.0, 0.0, "more", stop["plants_least"]
	}
	return plan
}

func TestAPlanSeesWhatStoodInItsWeekAndWhatWasFoundWhenItArrived(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	h := newWalkedHouse(c, "Fernhollow")
	finding := c.new("inspections", h.inspection(57, 2))
	c.new("movements", object{
		"lot_id": h.lot, "kind": "move", "moved_at": "2026-08-20T12:00:00Z", "plants": 125, "from_block_id": h.blocks[0], "to_block_id": h.blocks[1],
	})
	require.InDelta(t, 7, h.planOf(c, "")["blocks_with_plants"], 0)
	require.InDelta(t, 8, h.planOf(c, "&week=2026-W33")["blocks_with_plants"], 0)
	require.InDelta(t, 0, h.planOf(c, "&week=2026-W30")["standing"], 0)
	require.InDelta(t, 7, h.planOf(c, "&week=2027-W02")["blocks_with_plants"], 0, "what is to come stands as today")

	reasons := func() any { return objects(t, objects(t, h.planOf(c, "")["blocks"])[0]["looks"])[0]["reasons"] }
	require.Contains(t, reasons(), "arrival_finding")
	c.put("/inspections/"+finding, with(h.inspection(57, 2), object{"withdrawn_because": "another lot"}), "If-Match", `"1"`)
	require.NotContains(t, reasons(), "arrival_finding")
}

func TestTooFewMinutesSayWhichRulesGiveWay(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	h := newWalkedHouse(c, "Fernhollow")
	plan := h.planOf(c, "&minutes=10")
	require.InDelta(t, 10, plan["minutes_given"], 0)
	require.InDelta(t, 10, plan["minutes"], 0.2, "two blocks at 4.5 minutes and five plants more")
	require.Len(t, plan["blocks"], 2)
	require.Equal(t, true, planRule(t, plan, "cultivars")["kept"])
	share := planRule(t, plan, "block_share")
	require.Equal(t, false, share["kept"])
	require.InDelta(t, 9, share["minutes_more"], 1e-9, "two blocks more")
	require.Empty(t, h.planOf(c, "&minutes=1")["blocks"])
}

func TestASiteSetsTheRulesOfItsRounds(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	h := newWalkedHouse(c, "Fernhollow")
	usual := c.get("/plans?site_id=" + h.site)["rules"]
	require.Equal(t, object{
		"crop_percent": 5.0, "blocks_percent": 50.0, "plants_per_block_least": 15.0, "plants_per_block_most": 20.0,
		"seconds_per_plant": 12.0, "minutes_per_block": 1.5,
	}, usual)

	site := object{"name": "Fernhollow site", "time_zone": "America/Chicago"}
	own := object{"blocks_percent": 100.0, "plants_per_block_least": 25.0, "minutes_per_block": 0.0}
	stored := c.put("/sites/"+h.site, with(site, object{"round_rules": own}), "If-Match", `"1"`)
	require.Equal(t, own, stored["round_rules"])
	require.Equal(t, own, c.get("/sites/" + h.site)["round_rules"])
	plans := c.get("/plans?site_id=" + h.site)
	require.Equal(t, with(usual.(object), with(own, object{"plants_per_block_most": 25.0})), plans["rules"], "the most moves along")
	plan := objects(t, plans["plans"])[0]
	require.Len(t, plan["blocks"], 8)
	require.InDelta(t, 200, plan["plants"], 0)
	require.InDelta(t, 40, plan["minutes"], 1e-9, "no time is lost on the way")

	requireRefused(t, c.do(http.MethodPut, "/sites/"+h.site, with(site, object{"round_rules": object{
		"plants_per_block_least": 20, "plants_per_block_most": 10,
	}}), "If-Match", `"2"`), http.StatusUnprocessableEntity, "invalid", "/round_rules/plants_per_block_most")
	requireRefused(t, c.do(http.MethodPut, "/sites/"+h.site, with(site, object{"round_rules": object{"crop_percent": 101, "blocks": 5}}), "If-Match", `"2"`),
		http.StatusUnprocessableEntity, "invalid", "/round_rules/crop_percent", "/round_rules/blocks")
	c.put("/sites/"+h.site, with(site, object{"round_rules": object{"plants_per_block_most": 10}}), "If-Match", `"2"`)
	require.Equal(t, with(usual.(object), object{"plants_per_block_least": 10.0, "plants_per_block_most": 10.0}),
		c.get("/plans?site_id=" + h.site)["rules"], "the least moves along")
	back := c.put("/sites/"+h.site, site, "If-Match", `"3"`)
	require.NotContains(t, back, "round_rules")
	require.Equal(t, usual, c.get("/plans?site_id=" + h.site)["rules"])
}

func TestPlansOfLittleAreSensible(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	site := c.new("sites", object{"name": "North", "time_zone": "Europe/Madrid"})
	plans := c.get("/plans?site_id=" + site)
	require.Empty(t, plans["plans"], "no house")
	require.Nil(t, plans["organism_id"])
	house := c.new("houses", object{"site_id": site, "name": "Glass 1"})
	c.new("blocks", object{"house_id": house, "name": "1", "position": 0})
	c.new("houses", object{"site_id": site, "name": "Glass 2"})
	plans = c.get("/plans?site_id=" + site)
	require.Len(t, plans["plans"], 2)
	for _, plan := range objects(t, plans["plans"]) {
		require.Empty(t, plan["blocks"])
		require.Empty(t, plan["stops"])
		for _, rule := range objects(t, plan["rules"]) {
			require.Equal(t, true, rule["kept"], rule)
		}
	}
	require.Len(t, c.get("/plans?site_id=" + site + "&house_id=" + house)["plans"], 1)

	g := newGrounds(c, "Fernhollow") // plants, no limit, and looks of a lot nobody knows
	c.new("movements", g.stick())
	c.new("looks", with(g.look(), object{"lot_id": nil, "looked_at": "2026-09-14T12:00:00Z"}))
	otherCrop := c.new("crops", object{"name": "Another crop", "main_organism_id": g.organism})
	c.new("thresholds", object{
		"organism_id": g.organism, "crop_id": otherCrop, "from_on": "2026-08-01", "to_on": "2026-12-01", "percent": 5, "effect": "act", "source": "us",
	})
	plan := objects(t, c.get("/plans?site_id=" + g.site)["plans"])[0]
	stop := objects(t, plan["stops"])[0]
	require.Equal(t, "no_limit", stop["code"])
	require.Empty(t, stop["lines"])
	require.NotContains(t, stop, "limit")
	require.InDelta(t, 18, planRule(t, plan, "plants_per_block")["done"], 0, "looked at, whoever it was")
	require.Equal(t, false, planRule(t, plan, "cultivars")["met"])

	other := organismByEPPO(c, "BEMITA")
	require.Equal(t, other, c.get("/plans?site_id=" + g.site + "&organism_id=" + other)["organism_id"])
	for query, pointer := range map[string]string{
		"site_id=" + nobody:                               "#query/site_id",
		"site_id=" + g.site + "&house_id=" + nobody:       "#query/house_id",
		"site_id=" + g.site + "&house_id=" + house:        "#query/house_id",
		"site_id=" + g.site + "&organism_id=" + nobody:    "#query/organism_id",
		"site_id=" + g.site + "&week=2026-W54":            "#query/week",
		"site_id=" + g.site + "&minutes=0":                "#query/minutes",
		"site_id=" + g.site + "&minutes=-1&week=whenever": "#query/minutes",
	} {
		refused := c.do(http.MethodGet, "/plans?"+query, nil)
		require.Equal(t, http.StatusUnprocessableEntity, refused.status, "%s: %s", query, refused.text)
		var pointers []string
		for _, fault := range objects(t, refused.object(t)["errors"]) {
			pointers = append(pointers, fault["pointer"].(string))
		}
		require.True(t, slices.Contains(pointers, pointer), "%s: %s", query, refused.text)
	}
}
