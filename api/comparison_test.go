package api

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

func asJSON(t *testing.T, c trend.Comparison) map[string]any {
	t.Helper()
	text, err := json.Marshal(comparisonToWire(c))
	require.NoError(t, err)
	var out map[string]any
	require.NoError(t, json.Unmarshal(text, &out))
	return out
}

func TestAComparisonOfNothingSaysSo(t *testing.T) {
	t.Parallel()
	c, err := trend.Compare(nil)
	require.NoError(t, err)
	out := asJSON(t, c)
	require.Equal(t, map[string]any{
		"code": "cannot_say", "from_week": "", "to_week": "", "groups": []any{}, "false_discovery_percent": 5.0, "overall_percent": 0.0,
	}, out)
}

func TestAComparisonIsPassedOnWhole(t *testing.T) {
	t.Parallel()
	out := asJSON(t, trend.Comparison{
		Known: true, From: domain.NewDate(2026, time.September, 7), To: domain.NewDate(2026, time.September, 14),
		OverallPercent: 10, HomogeneityP: 0,
		Groups: []trend.Compared{{
			Key: "a", Rank: 1, Plants: 60, Infested: 12, Percent: 20, LowerPercent: 12, UpperPercent: 32, ShrunkenPercent: 19,
			FunnelLowerPercent: 3, FunnelUpperPercent: 18, Differs: trend.DiffersHigher,
		}},
		Foliage: trend.FoliageContrast{
			Code: trend.DarkToo, DarkPlants: 60, DarkInfested: 6, LightPlants: 50, LightInfested: 5, DifferenceKnown: true, LowerDifference: -11, UpperDifference: 12,
		},
	})
	require.Equal(t, []any{"2026-W37", "2026-W38", "known", 0.0, 10.0}, []any{out["from_week"], out["to_week"], out["code"], out["homogeneity_p"], out["overall_percent"]})
	group := out["groups"].([]any)[0].(map[string]any)
	require.Positive(t, group["adjusted_p"], "too small for a float is not absent")
	delete(group, "adjusted_p")
	require.Equal(t, map[string]any{
		"key": "a", "rank": 1.0, "plants_looked_at": 60.0, "infested_plants": 12.0, "infested_percent": 20.0,
		"lower_percent": 12.0, "upper_percent": 32.0, "shrunken_percent": 19.0,
		"funnel_lower_percent": 3.0, "funnel_upper_percent": 18.0, "differs": "higher",
	}, group)
	require.Equal(t, map[string]any{
		"code": "dark_too", "dark_plants_looked_at": 60.0, "dark_infested_plants": 6.0, "light_plants_looked_at": 50.0, "light_infested_plants": 5.0,
		"difference_percent": 0.0, "lower_percent": -11.0, "upper_percent": 12.0,
	}, out["foliage"])
}

func TestFoliageIsContrastedWhereEveryGroupHasOne(t *testing.T) {
	t.Parallel()
	group := func(foliage stock.Foliage, key string, plants, infested int) store.TrendGroup {
		cluster := trend.Cluster{BlockID: domain.ID{1}, Looks: 1, Plants: plants, Infested: infested}
		week := trend.SampleOf(domain.NewDate(2026, time.September, 14), []trend.Cluster{cluster}, 0, 0)
		return store.TrendGroup{Key: key, Foliage: string(foliage), Weeks: []trend.Sample{week}}
	}
	groups := []store.TrendGroup{group("light", "a", 60, 12), group("dark", "b", 60, 0), group("light", "c", 40, 3), group("", "", 100, 50)}
	f, err := foliageContrast(groups, trend.BlockCorrelation{})
	require.NoError(t, err)
	require.Equal(t, trend.LightOnly, f.Code)
	require.Equal(t, []int{100, 15, 60, 0}, []int{f.LightPlants, f.LightInfested, f.DarkPlants, f.DarkInfested})

	f, err = foliageContrast(append(groups, group("", "a house with both", 20, 2)), trend.BlockCorrelation{})
	require.NoError(t, err)
	require.Zero(t, f)
}
