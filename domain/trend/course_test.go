package trend_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"benchtrail/domain/stats"
	"benchtrail/domain/trend"
)

// pointsOf are weekly points of so many infested of so many plants, as if each
// plant had been drawn by itself; a week without plants is left out.
func pointsOf(t require.TestingT, counts ...[2]int) []trend.Point {
	var points []trend.Point
	for week, c := range counts {
		if c[1] == 0 {
			continue
		}
		p, err := trend.PointOf(trend.Counts{WeekStart: weekOf(week), Looks: 1, Blocks: 1, Plants: c[1], Infested: c[0]})
		require.NoError(t, err)
		points = append(points, p)
	}
	return points
}

// Where the log odds lie on a straight line and there is little room for chance,
// the growth is the slope of a logistic regression, itself held against published
// fits in domain/stats.
func TestGrowthAgreesWithLogisticRegressionOnAStraightLine(t *testing.T) {
	t.Parallel()
	var counts [][2]int
	var groups []stats.Group
	for week := range 8 {
		p := 1 / (1 + math.Exp(-(-3 + 0.4*float64(week))))
		const plants = 40_000
		x := int(math.Round(plants * p))
		counts = append(counts, [2]int{x, plants})
		groups = append(groups, stats.Group{Terms: []float64{1, float64(week)}, Proportion: stats.Proportion{Examined: plants, Infested: x}})
	}
	fit, err := stats.FitLogistic(groups)
	require.NoError(t, err)
	course, err := trend.Follow(pointsOf(t, counts...), trend.Prior{Growth: 0, GrowthSD: 5})
	require.NoError(t, err)
	growth := course.Growth()
	require.True(t, growth.Known)
	require.InDelta(t, math.Exp(fit.Coefficients[1]), growth.OddsRatio, 0.005)
	require.Greater(t, growth.Upper, growth.OddsRatio)
	require.Less(t, growth.Lower, growth.OddsRatio)
	ahead := course.At(weekOf(10).AddDays(2))
	require.InDelta(t, 100/(1+math.Exp(-(-3+0.4*10))), ahead.Percent, 1)
}

// With one week and next to nothing expected, what is known of the share is the
// posterior of a logistic-normal model, worked out here on a fine grid.
func TestOneWeekAgreesWithTheSumOverAGrid(t *testing.T) {
	t.Parallel()
	for _, c := range [][2]int{{5, 60}, {30, 60}, {12, 200}} {
		course, err := trend.Follow(pointsOf(t, c), trend.UsualPrior())
		require.NoError(t, err)
		var total, first, second float64
		prior := distuv.Normal{Mu: math.Log(0.05 / 0.95), Sigma: 2.5}
		for l := -12.0; l < 8; l += 0.001 {
			p := 1 / (1 + math.Exp(-l))
			weight := math.Exp(prior.LogProb(l) + float64(c[0])*math.Log(p) + float64(c[1]-c[0])*math.Log1p(-p) + 60)
			total, first, second = total+weight, first+weight*l, second+weight*l*l
		}
		mean := first / total
		sd := math.Sqrt(second/total - mean*mean)
		at := course.At(weekOf(0).AddDays(2))
		require.InDelta(t, 100/(1+math.Exp(-mean)), at.Percent, 1, "%v: Laplace's mode for the mean", c)
		require.InDelta(t, 100/(1+math.Exp(-(mean+1.645*sd))), at.Upper90, 1.5, "%v", c)
		require.InDelta(t, 100/(1+math.Exp(-(mean-1.645*sd))), at.Lower90, 1.5, "%v", c)
	}
}

// Courses are drawn from the very model; its bands must then hold what comes as
// often as they say.
func TestBandsHoldWhatTheModelBringsForth(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(3, 1)) //nolint:gosec // a seeded test
	prior := trend.UsualPrior()
	const times = 2000
	in50, in90, chance, over := 0, 0, 0.0, 0
	for range times {
		level, growth := -2.5+rng.NormFloat64(), prior.Growth+prior.GrowthSD*rng.NormFloat64()
		var counts [][2]int
		for week := range 9 {
			if week > 0 {
				level += growth + trend.Drift*rng.NormFloat64()
			}
			if week < 6 {
				x := distuv.Binomial{N: 80, P: 1 / (1 + math.Exp(-level)), Src: rng}.Rand()
				counts = append(counts, [2]int{int(x), 80})
			}
		}
		course, err := trend.Follow(pointsOf(t, counts...), prior)
		require.NoError(t, err)
		on := weekOf(8).AddDays(2)
		ahead, share := course.At(on), 100/(1+math.Exp(-level))
		if ahead.Lower50 <= share && share <= ahead.Upper50 {
			in50++
		}
		if ahead.Lower90 <= share && share <= ahead.Upper90 {
			in90++
		}
		chance += course.ChanceOver(20, on)
		if share > 20 {
			over++
		}
	}
	require.InDelta(t, 0.5, float64(in50)/times, 0.05)
	require.InDelta(t, 0.9, float64(in90)/times, 0.03)
	require.InDelta(t, chance/times, float64(over)/times, 0.03)
}

func TestThinDataSayNothingYet(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		counts         [][2]int
		known, growing bool
	}{
		"nothing":                {nil, false, false},
		"two weeks":              {[][2]int{{4, 40}, {6, 40}}, false, false},
		"three weeks, 45 plants": {[][2]int{{2, 15}, {2, 15}, {3, 15}}, false, false},
		"three weeks, 60 plants": {[][2]int{{2, 20}, {2, 20}, {3, 20}}, true, true},
		"none found":             {[][2]int{{0, 40}, {0, 40}, {0, 40}}, true, false},
		"all infested":           {[][2]int{{40, 40}, {40, 40}, {40, 40}}, true, true},
		"a gap":                  {[][2]int{{2, 40}, {}, {}, {4, 40}, {6, 40}}, true, true},
	} {
		course, err := trend.Follow(pointsOf(t, c.counts...), trend.UsualPrior())
		require.NoError(t, err, name)
		require.Equal(t, c.known, course.Known(), name)
		require.Equal(t, c.growing, course.Growth().Known, name)
		ahead := course.At(weekOf(6))
		if c.known && !c.growing {
			require.Zero(t, ahead.Lower50, "where none was found there may be none")
			continue
		}
		require.LessOrEqual(t, ahead.Lower90, ahead.Lower50, name)
		require.Less(t, ahead.Lower50, ahead.Percent, name)
		require.Less(t, ahead.Percent, ahead.Upper50, name)
		require.LessOrEqual(t, ahead.Upper50, ahead.Upper90, name)
	}
}

func TestWhatIsFurtherOffIsLessSure(t *testing.T) {
	t.Parallel()
	course, err := trend.Follow(pointsOf(t, [2]int{3, 60}, [2]int{5, 60}, [2]int{8, 60}, [2]int{11, 60}), trend.UsualPrior())
	require.NoError(t, err)
	last := 0.0
	for week := 4; week < 10; week++ {
		ahead := course.At(weekOf(week))
		width := math.Log(ahead.Upper90/(100-ahead.Upper90)) - math.Log(ahead.Lower90/(100-ahead.Lower90))
		require.Greater(t, width, last)
		last = width
	}
	require.Equal(t, course.At(weekOf(0)).Percent, course.At(course.LatestOn()).Percent, "no looking back")
	require.InDelta(t, 1, course.ChanceOver(0, weekOf(5)), 0)
	require.InDelta(t, 0, course.ChanceOver(100, weekOf(5)), 0)
	require.Greater(t, course.ChanceOver(10, weekOf(5)), course.ChanceOver(20, weekOf(5)))
}

// Groups whose growth is drawn around 0.4 with a spread of 0.15 give about that back.
func TestThePriorIsWhatASeasonsGroupsHaveInCommon(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(5, 1)) //nolint:gosec // a seeded test
	var courses []trend.Course
	for range 60 {
		growth := 0.4 + 0.15*rng.NormFloat64()
		level := -2.5
		var counts [][2]int
		for range 7 {
			x := distuv.Binomial{N: 400, P: 1 / (1 + math.Exp(-level)), Src: rng}.Rand()
			counts = append(counts, [2]int{int(x), 400})
			level += growth + trend.Drift*rng.NormFloat64()
		}
		course, err := trend.Follow(pointsOf(t, counts...), trend.UsualPrior())
		require.NoError(t, err)
		courses = append(courses, course)
	}
	prior := trend.PriorOf(courses)
	require.InDelta(t, 0.4, prior.Growth, 0.06)
	require.InDelta(t, 0.15, prior.GrowthSD, 0.06)
	require.Equal(t, trend.UsualPrior(), trend.PriorOf(courses[:4]), "too few to say")
}
