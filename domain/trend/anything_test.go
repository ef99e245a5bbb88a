package trend_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// A grower's season can hold anything: none or all infested, one block, one week,
// weeks without a look, unequal effort, blocks whose plants are not known, more looked
// at than stood there.

func drawClusters(t *rapid.T) []trend.Cluster {
	found := rapid.IntRange(0, 2).Draw(t, "none, all or some infested")
	standing := rapid.IntRange(0, 2).Draw(t, "standing unknown, known or both")
	clusters := make([]trend.Cluster, rapid.OneOf(rapid.Just(1), rapid.IntRange(1, 6), rapid.IntRange(1, 40)).Draw(t, "clusters"))
	for i := range clusters {
		least := 1
		if i > 0 {
			least = 0 // a block entered and left again; never all of a week's
		}
		plants := rapid.OneOf(rapid.Just(20), rapid.Just(1), rapid.IntRange(least, 60), rapid.IntRange(1, 50_000)).Draw(t, "plants")
		c := trend.Cluster{
			LotID: domain.ID{1, byte(rapid.IntRange(0, 3).Draw(t, "lot"))}, BlockID: domain.ID{2, byte(i)},
			Looks: rapid.IntRange(1, 3).Draw(t, "looks"), Plants: plants, InDoubt: rapid.IntRange(0, 1).Draw(t, "in doubt"),
		}
		switch found {
		case 1:
			c.Infested = plants
		case 2:
			c.Infested = rapid.OneOf(rapid.Just(0), rapid.Just(plants), rapid.IntRange(0, plants)).Draw(t, "infested")
		}
		if standing == 1 || standing == 2 && rapid.Bool().Draw(t, "standing known") {
			c.Standing = rapid.OneOf(rapid.Just(plants), rapid.IntRange(1, 500), rapid.IntRange(1, 1_000_000)).Draw(t, "standing")
		}
		clusters[i] = c
	}
	return clusters
}

func drawSamples(t *rapid.T) []trend.Sample {
	var samples []trend.Sample
	for n := range rapid.OneOf(rapid.Just(1), rapid.IntRange(0, 4), rapid.IntRange(0, 30)).Draw(t, "weeks") {
		if rapid.IntRange(0, 3).Draw(t, "not looked at") == 0 {
			continue
		}
		clusters := drawClusters(t)
		plants, blocks := 0, 0
		switch rapid.IntRange(0, 2).Draw(t, "standing of the group") {
		case 1: // all blocks with the lots were looked at
			for _, c := range clusters {
				plants += c.Standing
			}
			blocks = len(clusters)
		case 2: // any number, also fewer than were looked at
			plants, blocks = rapid.IntRange(0, 1_000_000).Draw(t, "standing plants"), rapid.IntRange(0, 500).Draw(t, "standing blocks")
		}
		samples = append(samples, trend.SampleOf(weekOf(n), clusters, plants, blocks))
	}
	return samples
}

func checkPoint(t require.TestingT, p trend.Point) {
	within(t, 0, 100, p.Percent, p.LowerPercent, p.UpperPercent)
	within(t, p.LowerPercent-1e-9, p.UpperPercent+1e-9, p.Percent)
	require.True(t, p.Effective > 0 && !math.IsInf(p.Effective, 0), "effective %v", p.Effective)
	require.True(t, p.DesignEffect >= 0 && !math.IsInf(p.DesignEffect, 0), "design effect %v", p.DesignEffect)
}

func checkCourse(t require.TestingT, c trend.Course, last domain.Date) {
	g := c.Growth()
	require.True(t, g.OddsRatio > 0 && !math.IsInf(g.Upper, 0), "%+v", g)
	within(t, g.Lower, g.Upper, g.OddsRatio)
	if g.Known {
		require.GreaterOrEqual(t, g.Weeks, trend.LeastWeeks)
		require.GreaterOrEqual(t, g.Plants, trend.LeastPlants)
	}
	for _, days := range []int{-30, 0, 1, 7, 60, 365, 36_500} {
		on := last.AddDays(days)
		a := c.At(on)
		require.Equal(t, on, a.On)
		within(t, 0, 100, a.Percent, a.Lower50, a.Upper50, a.Lower90, a.Upper90)
		within(t, a.Lower50, a.Upper50, a.Percent)
		within(t, a.Lower90, a.Upper90, a.Lower50, a.Upper50)
		before := 1.0
		for _, percent := range []float64{-1, 0, 1e-9, 1, 20, 50, 99.999999, 100, 200} {
			chance := c.ChanceOver(percent, on)
			within(t, 0, before, chance)
			before = chance
		}
	}
}

func readAnything(t *rapid.T) {
	groups := make([][]trend.Sample, rapid.IntRange(0, 7).Draw(t, "groups"))
	for i := range groups {
		groups[i] = drawSamples(t)
	}
	r, err := trend.ReadAll(groups)
	require.NoError(t, err)
	require.Len(t, r.Groups, len(groups))
	within(t, 0, 1, r.Correlation.Correlation)
	require.True(t, r.Growth.GrowthSD > 0 && !math.IsInf(r.Growth.GrowthSD, 0) && !math.IsNaN(r.Growth.Growth) && !math.IsInf(r.Growth.Growth, 0), "%+v", r.Growth)
	contenders := make([]trend.Contender, len(groups))
	by := map[stock.Foliage][]trend.Point{}
	for i, g := range r.Groups {
		require.Len(t, g.Points, len(groups[i]))
		plain, err := trend.Plainly(groups[i])
		require.NoError(t, err)
		for _, p := range append(plain, g.Points...) {
			checkPoint(t, p)
		}
		checkCourse(t, g.Course, weekOf(30))
		contenders[i] = contender(strconv.Itoa(i), g.Points...)
		if i < 3 {
			by[[]stock.Foliage{stock.LightFoliage, stock.DarkFoliage, stock.MediumFoliage}[i]] = g.Points
		}
	}
	c, err := trend.Compare(contenders)
	require.NoError(t, err)
	for _, g := range c.Groups {
		within(t, 0, 100, g.Percent, g.LowerPercent, g.UpperPercent, g.ShrunkenPercent, g.FunnelLowerPercent, g.FunnelUpperPercent)
		within(t, g.LowerPercent-1e-9, g.UpperPercent+1e-9, g.Percent)
		within(t, 0, 1, g.AdjustedP)
	}
	f, err := trend.ContrastFoliage(by)
	require.NoError(t, err)
	within(t, -100, 100, f.LowerDifference, f.Difference, f.UpperDifference)
}

func TestAnythingIsReadWithoutNonsense(t *testing.T) {
	t.Parallel()
	rapid.Check(t, readAnything)
}

func FuzzAnythingIsReadWithoutNonsense(f *testing.F) { f.Fuzz(rapid.MakeFuzz(readAnything)) }

// A course is followed from any prior and any points, in order of time.
func TestAnyCourseIsFollowed(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var points []trend.Point
		for back := 12; back >= 0; back-- {
			if rapid.Bool().Draw(t, "looked at") {
				points = append(points, drawPoint(t, back))
			}
		}
		prior := trend.Prior{Growth: rapid.Float64Range(-2, 2).Draw(t, "growth"), GrowthSD: rapid.Float64Range(0.05, 2).Draw(t, "sd")}
		c, err := trend.Follow(points, prior)
		require.NoError(t, err)
		checkCourse(t, c, lastWeek)
	})
}

// An orderly season, in which growth is read from the groups together.
func TestTheGrowthOfAnySeasonIsPooled(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		growth := rapid.Float64Range(-1, 1).Draw(t, "growth")
		groups := make([][]trend.Sample, rapid.IntRange(5, 9).Draw(t, "groups"))
		for i := range groups {
			odds := math.Exp(rapid.Float64Range(-5, 1).Draw(t, "start"))
			for n := range rapid.IntRange(3, 9).Draw(t, "weeks") {
				plants := rapid.IntRange(10, 400).Draw(t, "plants")
				infested := int(math.Round(float64(plants) * odds / (1 + odds)))
				clusters := []trend.Cluster{{BlockID: blockID(i), Looks: 1, Plants: plants, Infested: infested}}
				groups[i] = append(groups[i], trend.SampleOf(weekOf(n), clusters, 0, 0))
				odds *= math.Exp(growth)
			}
		}
		r, err := trend.ReadAll(groups)
		require.NoError(t, err)
		within(t, -10, 10, r.Growth.Growth)
		within(t, 0.01, 10, r.Growth.GrowthSD)
		for _, g := range r.Groups {
			checkCourse(t, g.Course, weekOf(8))
		}
	})
}

func TestAWeekOfAnyKindIsEstimated(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := trend.SampleOf(weekOf(0), drawClusters(t), rapid.IntRange(0, 100_000).Draw(t, "standing plants"), rapid.IntRange(0, 50).Draw(t, "standing blocks"))
		correlation := rapid.OneOf(rapid.Just(0.0), rapid.Just(1.0), rapid.Float64Range(0, 1)).Draw(t, "correlation")
		p, err := trend.Estimate(s, trend.BlockCorrelation{Correlation: correlation})
		require.NoError(t, err)
		checkPoint(t, p)
		if !p.Weighted {
			require.InDelta(t, 100*float64(p.Infested)/float64(p.Plants), p.Percent, 1e-9)
		}
	})
}
