package trend_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/trend"
)

// drawPoint is a week of any kind: none or all infested, one plant, clustered,
// weighted, or looked at whole.
func drawPoint(t *rapid.T, back int) trend.Point {
	plants := rapid.OneOf(rapid.Just(1), rapid.IntRange(1, 30), rapid.IntRange(1, 20_000)).Draw(t, "plants")
	infested := rapid.OneOf(rapid.Just(0), rapid.Just(plants), rapid.IntRange(0, plants)).Draw(t, "infested")
	p := week(t, back, infested, plants)
	switch rapid.IntRange(0, 3).Draw(t, "design") {
	case 1:
		return clustered(t, back, infested, plants, rapid.Float64Range(1, float64(plants)).Draw(t, "effect"))
	case 2:
		p = clustered(t, back, infested, plants, rapid.Float64Range(1, float64(plants)).Draw(t, "effect"))
		p.Weighted = true
		if infested > 0 && infested < plants {
			p.Percent = rapid.Float64Range(0, 100).Draw(t, "percent")
		}
	case 3:
		p.Design, p.Effective = true, 1e9
	}
	return p
}

func drawPoints(t *rapid.T) []trend.Point {
	var points []trend.Point
	for back := 3; back >= 0; back-- {
		if rapid.Bool().Draw(t, "looked at") {
			points = append(points, drawPoint(t, back))
		}
	}
	return points
}

func within(t require.TestingT, low, high float64, values ...float64) {
	for _, v := range values {
		require.True(t, v >= low && v <= high, "%v is not from %v to %v", v, low, high)
	}
}

func TestGroupsOfAnyKindAreCompared(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		groups := make([]trend.Contender, rapid.IntRange(0, 12).Draw(t, "groups"))
		for i := range groups {
			groups[i] = contender(strconv.Itoa(i), drawPoints(t)...)
		}
		c, err := trend.Compare(groups)
		require.NoError(t, err)
		require.Equal(t, len(c.Groups) > 1, c.Known)
		within(t, 0, 1, c.HomogeneityP)
		within(t, 0, 100, c.OverallPercent)
		for i, g := range c.Groups {
			within(t, 0, 100, g.Percent, g.LowerPercent, g.UpperPercent, g.ShrunkenPercent, g.FunnelLowerPercent, g.FunnelUpperPercent)
			within(t, g.LowerPercent-1e-9, g.UpperPercent+1e-9, g.Percent)
			within(t, g.FunnelLowerPercent, 100, g.FunnelUpperPercent)
			within(t, 0, 1, g.AdjustedP)
			require.Equal(t, g.AdjustedP <= trend.FalseDiscovery, g.Differs != trend.Alike)
			if i > 0 {
				before := c.Groups[i-1]
				require.LessOrEqual(t, g.LowerPercent, before.LowerPercent)
				require.Equal(t, g.LowerPercent == before.LowerPercent, g.Rank == before.Rank)
			}
		}
		turned := make([]trend.Contender, len(groups))
		for i, g := range groups {
			turned[len(groups)-1-i] = g
		}
		again, err := trend.Compare(turned)
		require.NoError(t, err)
		require.Equal(t, keys(c), keys(again), "the order of the groups does not matter")
	})
}

func TestFoliageOfAnyKindIsCompared(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := foliage(t, drawPoints(t), drawPoints(t))
		within(t, -100, 100, c.LowerDifference, c.Difference, c.UpperDifference)
		within(t, c.LowerDifference-1e-9, c.UpperDifference+1e-9, c.Difference)
		switch c.Code {
		case trend.LightOnly:
			require.Zero(t, c.DarkInfested)
			require.Positive(t, c.LightInfested)
			require.GreaterOrEqual(t, c.DarkPlants, 59)
		case trend.NoneFound:
			require.Zero(t, c.DarkInfested+c.LightInfested)
		case trend.DarkToo, trend.DarkMore:
			require.Positive(t, c.DarkInfested)
		default:
			require.Equal(t, trend.FoliageCannotSay, c.Code)
			require.Zero(t, c.DarkInfested*c.LightPlants)
		}
	})
}

// Benjamini and Hochberg (1995): where no group differs, one or more are called so in
// at most 5 % of seasons; exact tests keep below it. 400 seasons leave that share
// uncertain by 1.1 % (one standard error), so that 8 % would be far too many. A group
// with three times the share of the others is found in most.
func TestSeldomIsAGroupCalledDifferentByChance(t *testing.T) {
	t.Parallel()
	const seasons = 400
	source := rand.New(rand.NewPCG(7, 7))
	called, found := 0, 0
	for range seasons {
		groups := make([]trend.Contender, 20)
		for i := range groups {
			groups[i] = contender(strconv.Itoa(i), sixtyPlants(t, source, 1, 0.1), sixtyPlants(t, source, 0, 0.1))
		}
		if c, _ := compare(t, groups...); anyDiffers(c) {
			called++
		}
		groups[0] = contender("0", sixtyPlants(t, source, 1, 0.3), sixtyPlants(t, source, 0, 0.3))
		if _, by := compare(t, groups...); by["0"].Differs == trend.DiffersHigher {
			found++
		}
	}
	require.Less(t, float64(called)/seasons, 0.08)
	require.Positive(t, called, "a test that never errs finds nothing")
	require.Greater(t, float64(found)/seasons, 0.8)
}

// sixtyPlants is a week of 60 plants drawn one by one.
func sixtyPlants(t require.TestingT, source *rand.Rand, back int, share float64) trend.Point {
	infested := 0
	for range 60 {
		if source.Float64() < share {
			infested++
		}
	}
	return week(t, back, infested, 60)
}

func anyDiffers(c trend.Comparison) bool {
	for _, g := range c.Groups {
		if g.Differs != trend.Alike {
			return true
		}
	}
	return false
}

// manyGroups are lots of 20 to 200 plants in two weeks, a few per cent infested.
func manyGroups(t require.TestingT, n int) []trend.Contender {
	source := rand.New(rand.NewPCG(1, 2))
	groups := make([]trend.Contender, n)
	for i := range groups {
		groups[i].Key = fmt.Sprintf("lot %d", i)
		for back := 1; back >= 0; back-- {
			plants := 10 + source.IntN(90)
			infested := min(plants, int(source.ExpFloat64()*0.08*float64(plants)))
			groups[i].Points = append(groups[i].Points, clustered(t, back, infested, plants, 1+source.Float64()))
		}
	}
	return groups
}

func TestFiveThousandGroupsAreCompared(t *testing.T) {
	t.Parallel()
	c, err := trend.Compare(manyGroups(t, 5000))
	require.NoError(t, err)
	require.Len(t, c.Groups, 5000)
	apart, pulled := 0, 0
	for _, g := range c.Groups {
		require.False(t, math.IsNaN(g.ShrunkenPercent+g.FunnelLowerPercent+g.FunnelUpperPercent+g.AdjustedP))
		if g.Differs != trend.Alike {
			apart++
		}
		if g.ShrunkenPercent != g.Percent {
			pulled++
		}
	}
	require.Positive(t, apart)
	require.Positive(t, pulled, "how they differ is read from as many as a fit takes")
	require.Less(t, c.HomogeneityP, 1e-6)
}

func BenchmarkCompareFiveThousandGroups(b *testing.B) {
	groups := manyGroups(b, 5000)
	for b.Loop() {
		if _, err := trend.Compare(groups); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCompareLots(b *testing.B) {
	groups := manyGroups(b, 160)
	for b.Loop() {
		if _, err := trend.Compare(groups); err != nil {
			b.Fatal(err)
		}
	}
}
