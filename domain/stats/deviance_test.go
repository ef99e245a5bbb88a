package stats_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

// admissions are the applicants of 1973 to six departments, men and women, and
// those admitted. Factor 0 is the sex, factor 1 the department.
// Bickel, Hammel and O'Connell (1975), Science 187:398-404; the counts as in
// Agresti (2002), Categorical Data Analysis, 2nd ed., table 2.10 (from memory).
func admissions() []stats.Cell {
	var cells []stats.Cell
	for department, counts := range [][4]int{
		{512, 313, 89, 19}, {353, 207, 17, 8}, {120, 205, 202, 391}, {138, 279, 131, 244}, {53, 138, 94, 299}, {22, 351, 24, 317},
	} {
		for sex := range 2 {
			admitted, rejected := counts[2*sex], counts[2*sex+1]
			cells = append(cells, stats.Cell{
				Levels:     []int{sex, department},
				Proportion: stats.Proportion{Examined: admitted + rejected, Infested: admitted},
			})
		}
	}
	return cells
}

// The deviances are those printed for these counts by glm of R and in Agresti
// (2002), section 6.3: 20.2 on 5 degrees of freedom with both factors, 21.7 on 6
// without the sex (from memory). They are confounded: the sex explains 93.4 by
// itself and 1.5 after the department.
func TestFactorsAgreeWithThePublishedDeviancesOfTheAdmissions(t *testing.T) {
	t.Parallel()
	var seen differences
	for _, c := range []struct {
		factors  []int
		deviance float64
		rank     int
	}{{nil, 877.056, 1}, {[]int{0}, 783.607, 2}, {[]int{1}, 21.736, 6}, {[]int{0, 1}, 20.204, 7}, {[]int{1, 0}, 20.204, 7}} {
		fit, err := stats.FitFactors(admissions(), c.factors...)
		require.NoError(t, err)
		require.Less(t, seen.add(fit.Deviance, c.deviance), 6e-4, "%v", c.factors)
		require.Equal(t, c.rank, fit.Rank, "%v", c.factors)
		require.Less(t, fit.Steps, 10)
	}
	seen.log(t, "deviances of the admissions")
}

// The null deviance of the budworms is printed in Venables and Ripley (2002), Modern
// Applied Statistics with S, section 7.2.
func TestWithoutFactorsAllCellsHaveOneShare(t *testing.T) {
	t.Parallel()
	var cells []stats.Cell
	for _, g := range logisticCases(t)["budworm_interaction"] {
		cells = append(cells, stats.Cell{Proportion: g.Proportion})
	}
	fit, err := stats.FitFactors(cells)
	require.NoError(t, err)
	require.InDelta(t, 124.8756, fit.Deviance, 5e-5)
	require.Equal(t, 1, fit.Rank)
}

func someCells(t *rapid.T, factors, levels int) []stats.Cell {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) stats.Cell {
		var c stats.Cell
		for range factors {
			c.Levels = append(c.Levels, rapid.IntRange(0, levels-1).Draw(t, "level"))
		}
		c.Examined = rapid.OneOf(rapid.IntRange(1, 6), rapid.IntRange(1, 100), rapid.IntRange(1, 100_000)).Draw(t, "examined")
		c.Infested = rapid.OneOf(rapid.IntRange(0, c.Examined), rapid.SampledFrom([]int{0, c.Examined})).Draw(t, "infested")
		return c
	}), 1, 40).Draw(t, "cells")
}

// termsOf turns levels into terms of 0 and 1, with the first level of each
// factor as the one the others are measured from.
func termsOf(cells []stats.Cell, levels int) []stats.Group {
	var groups []stats.Group
	for _, c := range cells {
		terms := []float64{1}
		for factor := range c.Levels {
			for level := 1; level < levels; level++ {
				term := 0.0
				if c.Levels[factor] == level {
					term = 1
				}
				terms = append(terms, term)
			}
		}
		groups = append(groups, stats.Group{Terms: terms, Proportion: c.Proportion})
	}
	return groups
}

func TestFactorsAgreeWithTheirTermsWhereThoseHaveAnEstimate(t *testing.T) {
	t.Parallel()
	agreed := 0
	rapid.Check(t, func(t *rapid.T) {
		cells := someCells(t, 2, 3)
		fit, err := stats.FitFactors(cells, 0, 1)
		require.NoError(t, err)
		require.False(t, math.IsNaN(fit.Deviance) || math.IsInf(fit.Deviance, 0) || fit.Deviance < 0)
		terms, err := stats.FitLogistic(termsOf(cells, 3))
		if err != nil {
			require.True(t, hasCode(err, stats.CodeSeparated) || hasCode(err, stats.CodeCollinear) || hasCode(err, stats.CodeNotConverged), "%v", err)
			return
		}
		agreed++
		require.Equal(t, 5, fit.Rank)
		require.InDelta(t, terms.Deviance, fit.Deviance, 1e-7*(1+terms.Deviance))
		spread := fit.Spread(0, 1)
		distinct := map[[2]int]bool{}
		for _, c := range cells {
			distinct[[2]int{c.Levels[0], c.Levels[1]}] = true
		}
		if len(distinct) < len(cells) { // such cells are summed
			return
		}
		require.Equal(t, terms.DF, spread.DF+spread.ExactDF)
		if spread.DF > 0 && spread.ExactDF == 0 {
			require.InEpsilon(t, 1+terms.Pearson/float64(spread.DF), 1+spread.Dispersion, 1e-5)
		}
	})
	require.Positive(t, agreed)
}

// With one factor the fitted share of a level is its ratio, and a level without a
// find or full of them leaves nothing over: the formula is that of the deviance.
func TestALevelWithNoneOrAllInfestedLeavesNothingOver(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		cells := someCells(t, 1, 6)
		sums := map[int]*stats.Proportion{}
		for _, c := range cells {
			if sums[c.Levels[0]] == nil {
				sums[c.Levels[0]] = &stats.Proportion{}
			}
			sums[c.Levels[0]].Examined += c.Examined
			sums[c.Levels[0]].Infested += c.Infested
		}
		want := 0.0
		part := func(count, expected float64) float64 {
			if count == 0 {
				return 0
			}
			return 2 * count * math.Log(count/expected)
		}
		for _, c := range cells {
			of := sums[c.Levels[0]]
			share := float64(of.Infested) / float64(of.Examined)
			want += part(float64(c.Infested), float64(c.Examined)*share)
			want += part(float64(c.Examined-c.Infested), float64(c.Examined)*(1-share))
		}
		fit, err := stats.FitFactors(cells, 0)
		require.NoError(t, err)
		require.Equal(t, len(sums), fit.Rank)
		require.InDelta(t, want, fit.Deviance, 1e-7*(1+want))
	})
}

// What one factor adds is what merging its levels loses: a factor that follows
// from another adds nothing, and more factors never fit worse.
func TestTheRankIsWhatFactorsReallyAdd(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		cells := someCells(t, 3, 5)
		for i := range cells {
			cells[i].Levels = append(cells[i].Levels, cells[i].Levels[0]/2) // follows from factor 0
		}
		one, err := stats.FitFactors(cells, 0)
		require.NoError(t, err)
		follows, err := stats.FitFactors(cells, 0, 3)
		require.NoError(t, err)
		require.Equal(t, one.Rank, follows.Rank)
		require.InDelta(t, one.Deviance, follows.Deviance, 1e-6*(1+one.Deviance))
		all, err := stats.FitFactors(cells, 0, 1, 2)
		require.NoError(t, err)
		require.LessOrEqual(t, all.Rank, 13)
		require.LessOrEqual(t, all.Deviance, one.Deviance+1e-6)
		for _, spread := range []stats.Spread{all.Spread(0, 1, 2), all.Spread(0, 1), all.Spread(2), all.Spread()} {
			d := spread.Dispersion
			require.False(t, math.IsNaN(d) || math.IsInf(d, 0) || d < 0 || spread.DF < 0 || spread.ExactDF < 0, "%v", spread)
			require.True(t, d == 0 || spread.DF > 0)
		}
	})
}

func TestCellsThatArePureLeaveNothingToEstimateTheDispersionFrom(t *testing.T) {
	t.Parallel()
	cells := []stats.Cell{
		{Levels: []int{1, 1}, Proportion: stats.Proportion{Examined: 20}},
		{Levels: []int{1, 2}, Proportion: stats.Proportion{Examined: 30}},
		{Levels: []int{2, 1}, Proportion: stats.Proportion{Examined: 20, Infested: 20}},
		{Levels: []int{2, 2}, Proportion: stats.Proportion{Examined: 10, Infested: 10}},
	}
	fit, err := stats.FitFactors(cells, 0)
	require.NoError(t, err)
	require.InDelta(t, 0, fit.Deviance, 1e-6)
	require.Equal(t, stats.Spread{}, fit.Spread(0), "one sum for each level")
	require.Equal(t, stats.Spread{ExactDF: 1}, fit.Spread(0, 1), "four sums, but rows and columns take three")
}

// The 5 % points of F with 2 and 10, and 5 and 20 degrees of freedom are 4.103
// and 2.711 in every table.
func TestTheTailOfTheRatioOfVariancesAgreesWithTheTables(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 0.05, stats.RatioTail(4.1028, 2, 10), 1e-5)
	require.InDelta(t, 0.05, stats.RatioTail(2.7109, 5, 20), 1e-5)
	require.Equal(t, 1.0, stats.RatioTail(0, 2, 10))
	require.Equal(t, 1.0, stats.RatioTail(math.NaN(), 2, 10))
}

func TestCellsThatMakeNoSenseAreRefused(t *testing.T) {
	t.Parallel()
	one := stats.Cell{Levels: []int{1}, Proportion: stats.Proportion{Examined: 5, Infested: 2}}
	for name, c := range map[string]struct {
		cells   []stats.Cell
		factors []int
		want    string
	}{
		"no cells":         {nil, nil, "/cells " + stats.CodeOutOfRange},
		"nothing examined": {[]stats.Cell{{Levels: []int{1}}}, nil, "/cells/0/examined " + stats.CodeNothingExamined},
		"unequal levels":   {[]stats.Cell{one, {Proportion: one.Proportion}}, nil, "/cells/1/levels " + stats.CodeUnequalTerms},
		"no such factor":   {[]stats.Cell{one}, []int{1}, "/terms/0 " + stats.CodeNoSuchTerm},
	} {
		_, err := stats.FitFactors(c.cells, c.factors...)
		require.Equal(t, []string{c.want}, pathsAndCodes(t, err), name)
	}
}
