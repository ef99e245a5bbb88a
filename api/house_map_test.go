package api

import (
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// mapped gives a block of a map by its name, with its weeks by their names.
func mapped(t *testing.T, found object, name string) (block object, weeks map[any]object) {
	t.Helper()
	for _, b := range objects(t, found["blocks"]) {
		if b["name"] == name {
			weeks = map[any]object{}
			for _, w := range objects(t, b["weeks"]) {
				weeks[w["week"]] = w
			}
			return b, weeks
		}
	}
	require.FailNow(t, "no block "+name)
	return nil, nil
}

// Of four blocks one is over its limit, one has none found, one stands full and nobody
// looked, one is empty.
func TestAHouseIsReadBlockByBlockAndWeekByWeek(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	at := map[string]string{}
	for i, name := range []string{"1", "2", "3", "4"} {
		at[name] = c.new("blocks", object{"house_id": g.house, "section_id": g.section, "name": name, "position": i + 1})
	}
	for _, name := range []string{"1", "2", "3"} {
		c.new("movements", object{"lot_id": g.lot, "kind": "stick", "moved_at": g.stuckAt, "plants": 300, "to_block_id": at[name]})
	}
	look := func(name string, day, infested, plants int, more object) string {
		return c.new("looks", with(object{
			"block_id": at[name], "lot_id": g.lot, "looked_at": time.Date(2026, time.August, day, 15, 0, 0, 0, time.UTC),
			"targets": []object{{"organism_id": g.organism, "tally": object{"plants_looked_at": plants, "infested_plants": infested}}},
		}, more))
	}
	look("1", 12, 2, 20, nil)
	look("1", 19, 15, 20, object{"hot_spot": "back"})
	look("2", 19, 0, 20, nil)
	purpose := look("2", 20, 4, 5, object{"purpose": "on_purpose"})
	look("2", 21, 0, 9, object{"purpose": "on_purpose"})
	look("1", 21, 20, 20, object{"withdrawn_because": "wrong house", "hot_spot": "front"})
	c.new("thresholds", object{
		"organism_id": g.organism, "crop_id": g.crop, "from_on": "2026-08-10", "to_on": "2026-09-10", "percent": 20, "effect": "act", "source": "the adviser",
	})

	found := c.get("/house-map?house_id=" + g.house)
	require.Equal(t, g.site, found["site_id"])
	names := []any{}
	for _, b := range objects(t, found["blocks"]) {
		names = append(names, b["name"])
	}
	require.Equal(t, []any{"1", "2", "3", "4", "Fernhollow 7"}, names, "in walking order")

	first, weeks := mapped(t, found, "1")
	require.Equal(t, []any{at["2"]}, first["beside"])
	require.Equal(t, "too_close", weeks["2026-W33"]["code"])
	over := weeks["2026-W34"]
	require.Equal(t, []any{"above", 20.0, 300.0}, []any{over["code"], over["limit_percent"], over["standing_plants"]})
	share := over["share"].(object)
	// Wilson's interval of 15 of 20 (method 3 of Newcombe 1998), worked by hand.
	require.InDelta(t, 53.1, share["lower_percent"], 0.05)
	require.InDelta(t, 88.8, share["upper_percent"], 0.05)
	spots := objects(t, first["hot_spots"])
	require.Len(t, spots, 1, "not that of the look that was withdrawn")
	require.Equal(t, []any{"2026-W34", "back", false, 20.0, 15.0},
		[]any{spots[0]["week"], spots[0]["where"], spots[0]["on_purpose"], spots[0]["plants_looked_at"], spots[0]["infested_plants"]})

	second, weeks := mapped(t, found, "2")
	require.ElementsMatch(t, []any{at["1"], at["3"]}, second["beside"])
	require.InDelta(t, 0, weeks["2026-W34"]["share"].(object)["infested_plants"], 0, "what was looked at on purpose is in no share")
	spots = objects(t, second["hot_spots"])
	require.Len(t, spots, 1, "what was looked at on purpose and found nothing is none")
	require.Equal(t, []any{purpose, true}, []any{spots[0]["look_id"], spots[0]["on_purpose"]})

	_, weeks = mapped(t, found, "3")
	require.Equal(t, object{"week": "2026-W34", "standing_plants": 300.0, "code": "no_looks"}, weeks["2026-W34"])
	_, weeks = mapped(t, found, "4")
	require.Empty(t, weeks, "nothing stood there")

	house := objects(t, c.get("/trends?by=house")["groups"])[0]
	require.Equal(t, house["points"], found["points"], "as the trends say it")
	require.Equal(t, object{"on_purpose": 2.0, "withdrawn": 1.0}, found["left_out"])
	for _, w := range objects(t, objects(t, c.get("/trends?by=block")["groups"])[0]["points"]) {
		require.Equal(t, weeksOf(t, found, "1")[w["week"]]["share"].(object)["lower_percent"], w["lower_percent"])
	}

	requireRefused(t, c.do(http.MethodGet, "/house-map?house_id="+nobody, nil), http.StatusUnprocessableEntity, "invalid", "#query/house_id")
	requireRefused(t, c.do(http.MethodGet, "/house-map", nil), http.StatusUnprocessableEntity, "invalid", "#query/house_id")
}

func weeksOf(t *testing.T, found object, name string) map[any]object {
	t.Helper()
	_, weeks := mapped(t, found, name)
	return weeks
}

func TestAHouseWithoutASeasonIsAMapOfItsBlocks(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	site := c.new("sites", object{"name": "Fernhollow", "time_zone": "UTC"})
	house := c.new("houses", object{"site_id": site, "name": "1"})
	c.new("blocks", object{"house_id": house, "name": "1-01", "position": 1})
	found := c.get("/house-map?house_id=" + house)
	require.Len(t, found["blocks"], 1)
	require.Empty(t, found["points"])
	require.Nil(t, found["season_id"])
}
