package trend_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/stats"
	"benchtrail/domain/trend"
)

func pointOf(t require.TestingT, infested, plants int) trend.Point {
	p, err := trend.PointOf(trend.Counts{WeekStart: domain.NewDate(2026, 9, 7), Plants: plants, Infested: infested})
	require.NoError(t, err)
	return p
}

// 56 of 70 less 48 of 80 is 20 percentage points, 5.24 to 33.39 (Newcombe 1998, Stat. Med.
// 17:873-890, table II, case a, method 10).
func TestAChangeIsThePublishedDifferenceOfTwoShares(t *testing.T) {
	t.Parallel()
	c := trend.ChangeBetween(pointOf(t, 48, 80), pointOf(t, 56, 70))
	require.InDelta(t, 20, c.Points, 0.005)
	require.InDelta(t, 5.24, c.Lower, 0.005)
	require.InDelta(t, 33.39, c.Upper, 0.005)
	require.True(t, c.Said())
	require.False(t, trend.ChangeBetween(pointOf(t, 1, 20), pointOf(t, 3, 20)).Said())
}

func TestAChangeIsNewcombesWhereverPlantsWereDrawnOneByOne(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) (int, int) {
			plants := rapid.IntRange(1, 500).Draw(t, name)
			return rapid.IntRange(0, plants).Draw(t, name+" infested"), plants
		}
		x, n := draw("earlier")
		y, m := draw("later")
		c := trend.ChangeBetween(pointOf(t, x, n), pointOf(t, y, m))
		want, err := stats.NewcombeDifference(stats.Proportion{Examined: m, Infested: y}, stats.Proportion{Examined: n, Infested: x}, trend.Confidence)
		require.NoError(t, err)
		require.InDelta(t, 100*want.Observed, c.Points, 1e-9)
		require.InDelta(t, 100*want.Lower, c.Lower, 1e-9)
		require.InDelta(t, 100*want.Upper, c.Upper, 1e-9)
		require.True(t, c.Lower <= c.Points && c.Points <= c.Upper)
	})
}
