package advice_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// drawReading draws any reading at all: weeks without a find, all infested, one block,
// one week, weeks left out, no signs, nothing known of what stands there.
func drawReading(t *rapid.T) advice.Reading {
	count := func(most int, name string) int { return rapid.IntRange(0, most).Draw(t, name) }
	part := func(of int, name string) int {
		return rapid.OneOf(rapid.Just(0), rapid.Just(of), rapid.IntRange(0, of)).Draw(t, name)
	}
	monday := september(14).AddDays(7 * rapid.IntRange(-16, 14).Draw(t, "week of today"))
	x := advice.Reading{
		Today:          monday.AddDays(count(6, "weekday")),
		StandingPlants: rapid.OneOf(rapid.IntRange(0, 80), rapid.IntRange(0, 20_000)).Draw(t, "standing"), StandingBlocks: count(40, "blocks"), HousePlants: count(40_000, "house"),
		LargestPlants: count(40_000, "largest"), Regulated: rapid.Bool().Draw(t, "regulated"), Held: rapid.Bool().Draw(t, "held"),
	}
	if rapid.Bool().Draw(t, "limits") {
		x.Limits = advice.StarterThresholds(season(september(-90), september(95)), organism)
		x.Limits = x.Limits[:rapid.IntRange(0, len(x.Limits)).Draw(t, "number of limits")]
		for i := range x.Limits {
			x.Limits[i].Percent = rapid.OneOf(rapid.Just(x.Limits[i].Percent), rapid.Float64Range(0, 100)).Draw(t, "percent")
		}
	}
	if rapid.Bool().Draw(t, "first colour") {
		x.ActBy = september(rapid.IntRange(-30, 60).Draw(t, "act by"))
	}
	correlation := trend.BlockCorrelation{Correlation: rapid.Float64Range(0, 1).Draw(t, "correlation")}
	for _, ago := range rapid.SliceOfNDistinct(rapid.IntRange(0, 14), 0, 12, rapid.ID).Draw(t, "weeks ago") {
		var clusters []trend.Cluster
		for i := range rapid.IntRange(1, 6).Draw(t, "clusters") {
			plants := rapid.IntRange(1, 60).Draw(t, "plants")
			clusters = append(clusters, trend.Cluster{
				BlockID: domain.ID{15: byte(1 + i)}, Looks: 1, Plants: plants, Infested: part(plants, "infested"), Standing: count(500, "stood"),
			})
			if len(x.Blocks) < 6 {
				x.Blocks = append(x.Blocks, advice.BlockLook{BlockID: clusters[i].BlockID, Plants: plants, Infested: clusters[i].Infested})
			}
		}
		p, err := trend.Estimate(trend.SampleOf(monday.AddDays(-7*ago), clusters, x.StandingPlants, x.StandingBlocks), correlation)
		require.NoError(t, err)
		x.Points = append(x.Points, p)
	}
	slices.SortFunc(x.Points, func(a, b trend.Point) int { return a.WeekStart.Compare(b.WeekStart) })
	var err error
	x.Course, err = trend.Follow(x.Points, trend.UsualPrior())
	require.NoError(t, err)
	by := map[stock.Foliage][]trend.Point{}
	for _, foliage := range []stock.Foliage{stock.LightFoliage, stock.DarkFoliage} {
		if plants := count(200, string(foliage)); plants > 0 {
			by[foliage] = []trend.Point{point(t, part(plants, "infested"), plants)}
		}
	}
	x.Contrast, err = trend.ContrastFoliage(by)
	require.NoError(t, err)
	if x.Signs.Looks = count(5, "looks for signs"); x.Signs.Looks > 0 {
		x.Signs.Plants = count(200, "plants")
		x.Signs.NewGrowth, x.Signs.Adults, x.Signs.DenseLeaves = part(x.Signs.Plants, "new"), part(x.Signs.Plants, "adults"), 0
		x.Signs.PlantByPlant = part(x.Signs.Plants, "plant by plant")
		x.Signs.DenseLeaves = part(x.Signs.PlantByPlant, "dense")
		x.Signs.LateAlive, x.Signs.LateHostFed, x.Signs.LateParasitised = count(90, "alive"), count(90, "host-fed"), count(90, "parasitised")
	}
	return x
}

func TestAnyReadingGivesOneSuggestionAndPlainNumbers(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x, r := drawReading(t), advice.UsualRules()
		lines := r.Evidence(x)
		require.Len(t, lines, 12)
		for _, e := range lines {
			require.NotEmpty(t, e.Finding, e.Code)
			require.GreaterOrEqual(t, e.Plants, e.Infested, e.Code)
			require.LessOrEqual(t, e.Blocks, max(e.OfBlocks, len(x.Blocks)), e.Code)
			for _, p := range []*float64{e.Percent, e.LowerPercent, e.UpperPercent, e.LimitPercent} {
				if p != nil {
					require.False(t, math.IsNaN(*p), e.Code)
					require.True(t, *p >= 0 && *p <= 100, "%s: %g", e.Code, *p)
				}
			}
			if e.LowerPercent != nil && e.Percent != nil {
				require.LessOrEqual(t, *e.LowerPercent, *e.Percent+1e-9, e.Code)
				require.GreaterOrEqual(t, *e.UpperPercent, *e.Percent-1e-9, e.Code)
			}
		}
		s := r.Suggest(x, lines)
		require.Contains(t, []advice.SuggestionCode{
			advice.LookAtMore, advice.StayBiological, advice.DealWithHotSpots, advice.ConsiderSelective, advice.NothingToSay,
		}, s.Code)
		require.NotEmpty(t, s.Reasons)
		require.Contains(t, s.Cautions, advice.RuleOfThumb)
		require.Len(t, slices.Compact(slices.Sorted(slices.Values(s.Reasons))), len(s.Reasons), "no reason twice")
		require.Equal(t, s.Code == advice.LookAtMore, s.Fewest > 0)
		require.True(t, s.Likely == 0 || s.Likely >= s.Fewest, "%d and %d", s.Fewest, s.Likely)
		require.LessOrEqual(t, s.Fewest, stats.MostToSettle)
		if n := len(x.Points); n > 0 && x.Points[n-1].StandingPlants > 0 {
			a := advice.Judge(x.Points, x.Limits, x.Today)
			require.LessOrEqual(t, a.MorePlants, max(a.Point.StandingPlants-a.Point.Plants, 0), "no more than are left")
			require.False(t, a.Standing == advice.TooFew && a.MorePlants == 0)
		}
		if x.StandingPlants > 0 {
			require.LessOrEqual(t, max(s.Fewest, s.Likely), x.StandingPlants, "no more than stand")
		}
		if len(x.Points) == 0 || len(x.Limits) == 0 {
			require.Equal(t, advice.NothingToSay, s.Code)
		}
		require.Equal(t, s.Code == advice.ConsiderSelective, r.Call(x))
	})
}

// The fewest are found one by one with Wilson's interval itself.
func TestTheFewestPlantsAreThoseOfTheBestCase(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		plants := rapid.IntRange(5, 120).Draw(t, "plants")
		infested := rapid.IntRange(0, plants).Draw(t, "infested")
		limit := rapid.SampledFrom([]float64{5, 7, 15, 20, 50}).Draw(t, "limit")
		x := reading(t, september(16), found{infested, plants})
		for i := range x.Limits {
			x.Limits[i].Percent = limit
		}
		x.StandingPlants = 0
		s := suggest(x)
		if s.Code != advice.LookAtMore || s.Reasons[0] != advice.LimitLine {
			return
		}
		settles := func(infested, plants int) bool {
			w, err := stats.Wilson(stats.Proportion{Examined: plants, Infested: infested}, trend.Confidence)
			require.NoError(t, err)
			return 100*w.Upper < limit || 100*w.Lower > limit
		}
		more := 1
		for !settles(infested, plants+more) && !settles(infested+more, plants+more) {
			more++
		}
		require.Equal(t, more, s.Fewest)
		switch s.Settles {
		case advice.NoneInfested:
			require.True(t, settles(infested, plants+more))
		case advice.AllInfested:
			require.True(t, settles(infested+more, plants+more))
		default:
			require.Equal(t, s.Likely, s.Fewest, "then it is the likely number and waits for no outcome")
		}
	})
}
