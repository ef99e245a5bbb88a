package trend_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/trend"
)

var lastWeek = domain.NewDate(2026, time.September, 14)

// week is a week of so many plants drawn one by one; weeks are counted back from
// lastWeek.
func week(t require.TestingT, back, infested, plants int) trend.Point {
	p, err := trend.PointOf(trend.Counts{WeekStart: lastWeek.AddDays(-7 * back), Looks: 1, Blocks: 1, Plants: plants, Infested: infested})
	require.NoError(t, err)
	return p
}

// clustered is the same with a design effect.
func clustered(t require.TestingT, back, infested, plants int, effect float64) trend.Point {
	p := week(t, back, infested, plants)
	p.Design, p.DesignEffect, p.Effective = true, effect, float64(plants)/effect
	return p
}

func contender(key string, points ...trend.Point) trend.Contender {
	return trend.Contender{Key: key, Points: points}
}

func compare(t require.TestingT, groups ...trend.Contender) (trend.Comparison, map[string]trend.Compared) {
	c, err := trend.Compare(groups)
	require.NoError(t, err)
	by := map[string]trend.Compared{}
	for _, g := range c.Groups {
		by[g.Key] = g
	}
	return c, by
}

func keys(c trend.Comparison) []string {
	var all []string
	for _, g := range c.Groups {
		all = append(all, g.Key)
	}
	return all
}

// Three groups of 120 plants in two weeks, 24, 6 and 12 infested, 42 of 360 in all.
// All alike: 1.4 / (42/360 318/360) = 13.5849, 2 degrees of freedom, e^-6.7925 =
// 0.001122. Against the others together, by Pearson's statistic with one:
//
//	24 of 120 : 18 of 240   12.1294   0.000496   times 3/1   0.001489
//	 6 of 120 : 36 of 240    7.7628   0.005333   times 3/2   0.008000
//	12 of 120 : 30 of 240    0.4852   0.486087   times 3/3   0.486087
//
// Wilson's interval of 24 of 120 is 13.82 to 28.04.
func TestGroupsAreHeldAgainstEachOther(t *testing.T) {
	t.Parallel()
	c, by := compare(t,
		contender("low", week(t, 1, 1, 50), week(t, 0, 5, 70)),
		contender("high", week(t, 2, 0, 400), week(t, 1, 14, 60), week(t, 0, 10, 60)),
		contender("middle", week(t, 1, 12, 120)),
		contender("long ago", week(t, 2, 30, 60)),
	)
	require.True(t, c.Known)
	require.Equal(t, lastWeek, c.To)
	require.Equal(t, lastWeek.AddDays(-7), c.From)
	require.Equal(t, []string{"high", "middle", "low"}, keys(c), "a group not looked at in those weeks is left out")
	require.InDelta(t, 100*42.0/360, c.OverallPercent, 1e-9)
	require.InDelta(t, 0.001122, c.HomogeneityP, 0.5e-6)

	high := by["high"]
	require.Equal(t, 1, high.Rank)
	require.Equal(t, 24, high.Infested)
	require.Equal(t, 120, high.Plants)
	require.InDelta(t, 20, high.Percent, 1e-9)
	require.InDelta(t, 13.82, high.LowerPercent, 0.005)
	require.InDelta(t, 28.04, high.UpperPercent, 0.005)
	for key, want := range map[string]struct {
		differs  trend.Differs
		adjusted float64
	}{
		"high": {trend.DiffersHigher, 0.001489}, "low": {trend.DiffersLower, 0.008000}, "middle": {trend.Alike, 0.486087},
	} {
		require.Equal(t, want.differs, by[key].Differs, key)
		require.InDelta(t, want.adjusted, by[key].AdjustedP, 0.6e-6, key)
	}
}

// 1 of 5, none of 8 and 6 of 10, where so few are expected that Fisher's exact test
// stands in: 6 of 10 against 1 of 13 is 4566/245157 = 0.018625, none of 8 against 7 of
// 15 is 0.051979, 1 of 5 against 6 of 18 is 1. Adjusted: 0.055874, 0.077968, 1. The
// smallest is also the chance of all alike (Simes 1986).
func TestFewPlantsAreTestedExactly(t *testing.T) {
	t.Parallel()
	c, by := compare(t, contender("a", week(t, 0, 1, 5)), contender("b", week(t, 0, 0, 8)), contender("c", week(t, 0, 6, 10)))
	require.InDelta(t, 0.055874, by["c"].AdjustedP, 0.5e-6)
	require.InDelta(t, 0.077968, by["b"].AdjustedP, 0.5e-6)
	require.InDelta(t, 1, by["a"].AdjustedP, 1e-9)
	require.InDelta(t, 0.055874, c.HomogeneityP, 0.5e-6)
	for _, g := range c.Groups {
		require.Equal(t, trend.Alike, g.Differs, "nothing passes once the number of comparisons counts")
	}
}

// Wilson's lower limits, worked out apart from this program: 15 of 80 is 11.7 %, 1 of
// 5 is 3.6 %.
func TestOneOfFiveRanksBelowFifteenOfEighty(t *testing.T) {
	t.Parallel()
	_, by := compare(t,
		contender("few", week(t, 0, 1, 5)), contender("many", week(t, 0, 15, 80)),
		contender("third", week(t, 0, 30, 80)), contender("fourth", week(t, 0, 45, 80)), contender("fifth", week(t, 0, 2, 80)),
		contender("sixth", week(t, 0, 28, 80)),
	)
	require.Greater(t, by["few"].Percent, by["many"].Percent, "its share is higher")
	require.Greater(t, by["few"].ShrunkenPercent, by["many"].ShrunkenPercent, "and so is its shrunken share")
	require.InDelta(t, 3.6, by["few"].LowerPercent, 0.05)
	require.InDelta(t, 11.7, by["many"].LowerPercent, 0.05)
	require.Less(t, by["many"].Rank, by["few"].Rank)
}

// 120 plants with a design effect of 2 tell as much as 60: Wilson's interval of 12 of
// 60 is 11.83 to 31.78. The statistics of the example above are halved: 12.1294 / 2 =
// 6.0647 has the chance 0.013791, times 3 0.041373.
func TestAlikePlantsOfABlockTellLess(t *testing.T) {
	t.Parallel()
	c, by := compare(t,
		contender("high", clustered(t, 1, 14, 60, 2), clustered(t, 0, 10, 60, 2)),
		contender("middle", clustered(t, 0, 12, 120, 2)), contender("low", clustered(t, 0, 6, 120, 2)),
	)
	require.InDelta(t, 11.83, by["high"].LowerPercent, 0.005)
	require.InDelta(t, 31.78, by["high"].UpperPercent, 0.005)
	require.InDelta(t, 0.03350, c.HomogeneityP, 0.5e-5)
	require.InDelta(t, 0.041373, by["high"].AdjustedP, 0.5e-5)
	require.Equal(t, trend.DiffersHigher, by["high"].Differs)
	require.Equal(t, trend.Alike, by["low"].Differs)
}

// Weighted shares of 10 % telling as much as 30 plants and 40 % telling as much as 60
// make (3 + 24) / 90 = 30 %, not the 25 % of their mean nor the 20 % of the counts.
func TestWeightedWeeksCountByWhatTheyTell(t *testing.T) {
	t.Parallel()
	first, second := clustered(t, 1, 20, 100, 1), clustered(t, 0, 20, 100, 1)
	first.Weighted, first.Percent, first.Effective = true, 10, 30
	second.Weighted, second.Percent, second.Effective = true, 40, 60
	_, by := compare(t, contender("weighted", first, second), contender("plain", week(t, 0, 3, 30)))
	require.InDelta(t, 30, by["weighted"].Percent, 1e-9)
	require.Equal(t, 200, by["weighted"].Plants)
	require.Equal(t, 40, by["weighted"].Infested)
}

// A lot of five plants, all looked at, is known for sure, but as one of many it is
// still five plants: 3.6 to 62.4.
func TestALotLookedAtWholeIsComparedAsItsPlants(t *testing.T) {
	t.Parallel()
	whole := week(t, 0, 1, 5)
	whole.Design, whole.Effective, whole.LowerPercent, whole.UpperPercent = true, 1e9, 20, 20
	c, by := compare(t, contender("whole", whole), contender("many", week(t, 0, 15, 80)))
	require.Equal(t, []string{"many", "whole"}, keys(c))
	require.InDelta(t, 3.6, by["whole"].LowerPercent, 0.05)
	require.InDelta(t, 100*16.0/85, c.OverallPercent, 1e-9)
}

func TestGroupsThatDoNotDifferAllGetTheOverallShare(t *testing.T) {
	t.Parallel()
	c, _ := compare(t, contender("a", week(t, 0, 10, 100)), contender("b", week(t, 0, 11, 100)), contender("c", week(t, 0, 2, 20)))
	for _, g := range c.Groups {
		require.InDelta(t, c.OverallPercent, g.ShrunkenPercent, 1e-9)
	}
}

// Griffiths' likelihood is tested against published fits in the package stats; here,
// that a share is pulled towards the mean, the more the fewer plants it rests on.
func TestFewPlantsArePulledFurther(t *testing.T) {
	t.Parallel()
	_, by := compare(t,
		contender("few", week(t, 0, 3, 5)), contender("many", week(t, 0, 60, 100)),
		contender("low", week(t, 0, 2, 100)), contender("middle", week(t, 0, 20, 100)),
	)
	require.Less(t, by["few"].ShrunkenPercent, by["many"].ShrunkenPercent)
	require.Less(t, by["many"].ShrunkenPercent, 60.0)
	require.Greater(t, by["low"].ShrunkenPercent, 2.0)
}

func TestNoneAndAllInfestedAreCompared(t *testing.T) {
	t.Parallel()
	for share, infested := range map[float64][2]int{0: {0, 0}, 100: {60, 1}} {
		c, by := compare(t, contender("a", week(t, 0, infested[0], 60)), contender("b", week(t, 0, infested[1], 1)))
		require.True(t, c.Known)
		require.Equal(t, 1.0, c.HomogeneityP)
		for _, g := range by {
			require.Equal(t, []float64{share, share, share, share}, []float64{g.Percent, g.ShrunkenPercent, g.FunnelLowerPercent, g.FunnelUpperPercent})
			require.Equal(t, trend.Alike, g.Differs)
		}
	}
	c, _ := compare(t, contender("b", week(t, 0, 0, 60)), contender("a", week(t, 0, 0, 30)), contender("c", week(t, 0, 1, 30)))
	require.Equal(t, []int{1, 2, 2}, []int{c.Groups[0].Rank, c.Groups[1].Rank, c.Groups[2].Rank}, "equal limits have equal ranks")
}

func TestFewerThanTwoGroupsCannotBeCompared(t *testing.T) {
	t.Parallel()
	c, _ := compare(t)
	require.Equal(t, trend.Comparison{HomogeneityP: 1}, c)
	c, _ = compare(t, contender("never looked at"))
	require.Equal(t, trend.Comparison{HomogeneityP: 1}, c)
	c, by := compare(t, contender("alone", week(t, 0, 12, 60)), contender("long ago", week(t, 5, 12, 60)))
	require.False(t, c.Known)
	require.Equal(t, []string{"alone"}, keys(c))
	require.InDelta(t, 20, by["alone"].ShrunkenPercent, 1e-9)
}

func TestContradictingCountsAreAnError(t *testing.T) {
	t.Parallel()
	bad := week(t, 0, 1, 5)
	bad.Infested = 6
	_, err := trend.Compare([]trend.Contender{contender("bad", bad), contender("good", week(t, 0, 1, 5))})
	require.ErrorContains(t, err, "group bad")
}
