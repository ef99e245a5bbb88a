package api

import (
	"fmt"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// weekly looks at 20 plants of the lot in each of two blocks that hold 400 each, on
// Wednesdays from 19 August on, with so many infested.
func (g grounds) weekly(c *caller, blocks []string, infested ...[2]int) {
	for _, block := range blocks {
		c.new("movements", object{"lot_id": g.lot, "kind": "stick", "moved_at": g.stuckAt, "plants": 400, "to_block_id": block})
	}
	for week, pair := range infested {
		for i, block := range blocks {
			c.new("looks", object{
				"block_id": block, "lot_id": g.lot, "looked_at": time.Date(2026, time.August, 19+7*week, 15, 0, 0, 0, time.UTC),
				"targets": []object{{"organism_id": g.organism, "tally": object{"plants_looked_at": 20, "infested_plants": pair[i]}}},
			})
		}
	}
}

func trendsOf(t *testing.T, infested ...[2]int) (*caller, grounds) {
	t.Helper()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	second := c.new("blocks", object{"house_id": g.house, "section_id": g.section, "name": "8", "position": 8})
	third := c.new("blocks", object{"house_id": g.house, "section_id": g.section, "name": "9", "position": 9})
	c.new("movements", object{"lot_id": g.lot, "kind": "stick", "moved_at": g.stuckAt, "plants": 200, "to_block_id": third})
	g.weekly(c, []string{g.block, second}, infested...)
	return c, g
}

// 5 of 40 in the last week. Wilson's interval of it (method 3 of Newcombe 1998) is
// 5.5 to 26.1 %, worked by hand. 800 of the 1,000 plants stand in the two blocks looked at,
// so that 1/n' = r * 0.2 / 2 + (1 - r) (1/40 - 1/800), r being the correlation.
func TestATrendTakesTheIntervalAskedFor(t *testing.T) {
	t.Parallel()
	c, _ := trendsOf(t, [2]int{0, 1}, [2]int{1, 2}, [2]int{2, 3})
	var correlation float64
	last := func(query string) object {
		trends := c.get("/trends?by=lot" + query)
		correlation = trends["block_correlation"].(object)["correlation"].(float64)
		points := objects(t, objects(t, trends["groups"])[0]["points"])
		require.Len(t, points, 3)
		return points[2]
	}
	plain := last("&interval=wilson")
	require.Equal(t, "12.5 (5.5 to 26.1)", fmt.Sprintf("%.1f (%.1f to %.1f)", plain["infested_percent"], plain["lower_percent"], plain["upper_percent"]))
	require.Equal(t, "wilson", plain["interval"])
	for _, query := range []string{"", "&interval=design"} {
		p := last(query)
		require.Equal(t, "design", p["interval"])
		require.InDelta(t, 12.5, p["infested_percent"], 1e-9)
		require.InDelta(t, 1000, p["standing_plants"], 0)
		require.InDelta(t, 3, p["standing_blocks"], 0)
		require.InDelta(t, 0.1, correlation, 0.02, "it leans on 0.10 while so little is known")
		require.InDelta(t, 40*(correlation*0.2/2+(1-correlation)*(1.0/40-1.0/800)), p["design_effect"], 1e-9)
	}
	requireRefused(t, c.do(http.MethodGet, "/trends?by=lot&interval=guess", nil), http.StatusUnprocessableEntity, "invalid", "#query/interval")
	requireRefused(t, c.do(http.MethodGet, "/trends?by=lot&forecast_on=2026-02-31", nil), http.StatusUnprocessableEntity, "invalid", "#query/forecast_on")
}

func TestATrendGrowsAndLooksAhead(t *testing.T) {
	t.Parallel()
	c, g := trendsOf(t, [2]int{1, 1}, [2]int{2, 2}, [2]int{3, 4})
	limit := c.new("thresholds", object{
		"organism_id": g.organism, "crop_id": g.crop, "from_on": "2026-10-01", "to_on": "2026-10-10", "percent": 20, "effect": "act", "source": "the adviser",
	})
	group := objects(t, c.get("/trends?by=lot")["groups"])[0]
	growth := group["growth"].(object)
	require.Equal(t, "known", growth["code"])
	require.InDelta(t, 3, growth["weeks"], 0)
	require.InDelta(t, 120, growth["plants_looked_at"], 0)
	require.Greater(t, growth["odds_ratio"], 1.0)
	require.Less(t, growth["lower"], growth["odds_ratio"])
	require.Greater(t, growth["upper"], growth["odds_ratio"])
	ahead := group["forecast"].(object)
	require.Equal(t, "known", ahead["code"])
	require.Equal(t, limit, ahead["limit"].(object)["threshold_id"])
	points := objects(t, ahead["points"])
	require.Equal(t, "2026-09-02", points[0]["on"], "from the Wednesday of the latest week")
	require.Equal(t, "2026-10-01", points[len(points)-1]["on"], "to the first day of the next limit")
	require.Len(t, points, 6)
	chance := ahead["over_limit_percent"].(float64)
	require.Greater(t, chance, 30.0)
	require.Less(t, chance, 100.0)

	ahead = objects(t, c.get("/trends?by=lot&forecast_on=2026-09-20")["groups"])[0]["forecast"].(object)
	points = objects(t, ahead["points"])
	require.Equal(t, "2026-09-20", points[len(points)-1]["on"])
	require.Less(t, ahead["over_limit_percent"], chance)
}

func TestATrendSaysWhenItCannotSayYet(t *testing.T) {
	t.Parallel()
	c, _ := trendsOf(t, [2]int{4, 4}, [2]int{5, 5})
	group := objects(t, c.get("/trends?by=lot")["groups"])[0]
	require.Equal(t, object{"code": "cannot_say", "weeks": 2.0, "plants_looked_at": 80.0}, group["growth"])
	require.Equal(t, object{"code": "cannot_say", "weeks": 2.0, "plants_looked_at": 80.0}, group["forecast"])
}

// None found, all infested, and questions about days far away.
func TestATrendAnswersWhateverWasFound(t *testing.T) {
	t.Parallel()
	for name, weeks := range map[string][][2]int{
		"none": {{0, 0}, {0, 0}, {0, 0}}, "all": {{20, 20}, {20, 20}, {20, 20}}, "one block all, one none": {{0, 20}, {0, 20}, {0, 20}}, "one week": {{0, 0}},
	} {
		c, _ := trendsOf(t, weeks...)
		for by := range map[string]bool{"lot": true, "house": true, "block": true, "foliage": true} {
			for _, query := range []string{"", "&interval=wilson", "&forecast_on=2099-12-31", "&forecast_on=2001-01-01"} {
				answer := c.do(http.MethodGet, "/trends?by="+by+query, nil)
				require.Equal(t, http.StatusOK, answer.status, "%s %s %s", name, by, query)
			}
		}
	}
}
