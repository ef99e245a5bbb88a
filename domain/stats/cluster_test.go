package stats_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

type clusterCase struct {
	ID                   string
	X, Y, N              any
	PopulationClusters   *int `json:"population_clusters"`
	P, Var, SE           float64
	Deff                 float64
	EffectiveN           float64 `json:"effective_n"`
	N0, MSB, MSW         float64
	ICC                  float64 `json:"icc_anova"`
	Kish                 float64 `json:"kish_deff_weighted"`
	TDF                  int     `json:"t_df"`
	XTotal               float64 `json:"X_total"`
	EstimatedTotal       float64 `json:"estimated_total"`
	SETotal              float64 `json:"se_total"`
	SumX                 int     `json:"sum_x"`
	SumY                 int     `json:"sum_y"`
	PublishedTotalHolder struct {
		EstimatedTotal float64 `json:"estimated_total"`
	} `json:"published"`
}

func whole(t *testing.T, list any) []int {
	t.Helper()
	numbers, ok := list.([]any)
	require.True(t, ok)
	all := make([]int, len(numbers))
	for i, number := range numbers {
		value, ok := number.(float64)
		require.True(t, ok)
		all[i] = int(value)
	}
	return all
}

// Orobanche seeds on plates: Crowder (1978), Appl. Stat. 27:34-37, table 3.
func TestClustersAgreeWithCrowder1978(t *testing.T) {
	t.Parallel()
	var all differences
	cases := 0
	for _, c := range published[clusterCase](t, "cluster_ratio") {
		if c.ICC == 0 {
			continue
		}
		cases++
		y, n := whole(t, c.Y), whole(t, c.N)
		blocks := make([]stats.Proportion, len(y))
		for i := range y {
			blocks[i] = stats.Proportion{Examined: n[i], Infested: y[i]}
		}
		population := 0
		if c.PopulationClusters != nil {
			population = *c.PopulationClusters
		}
		sums, err := stats.ClustersOf(blocks)
		require.NoError(t, err)
		ratio, err := sums.Ratio(population)
		require.NoError(t, err)
		alike, err := stats.IntraClusterCorrelation([][]stats.Proportion{blocks})
		require.NoError(t, err)
		kish, err := sums.KishDesignEffect(c.ICC)
		require.NoError(t, err)
		require.True(t, ratio.VarianceKnown && ratio.DesignEffectKnown && alike.Known)
		require.Equal(t, c.TDF, ratio.DegreesOfFreedom)
		for _, pair := range [][2]float64{
			{ratio.Share, c.P},
			{ratio.Variance, c.Var},
			{ratio.StandardError(), c.SE},
			{ratio.DesignEffect, c.Deff},
			{float64(sums.Examined) / ratio.DesignEffect, c.EffectiveN},
			{alike.TypicalSize, c.N0},
			{alike.MeanSquareBetween, c.MSB},
			{alike.MeanSquareWithin, c.MSW},
			{alike.Correlation, c.ICC},
			{kish, c.Kish},
		} {
			require.Less(t, all.add(pair[0]/pair[1], 1), 1e-11, "%s: %v", c.ID, pair)
		}
	}
	require.Equal(t, 3, cases)
	all.log(t, "relative")
}

// 49 cities in two years: Cochran (1977), Sampling Techniques, chapter 6. The
// ratio is above 1, so the variance is checked without the share around it.
func TestTheVarianceAgreesWithTheCitiesOfCochran1977(t *testing.T) {
	t.Parallel()
	seen := false
	for _, c := range published[clusterCase](t, "cluster_ratio") {
		if c.ID != "cochran_cities" {
			continue
		}
		seen = true
		var sums stats.Clusters
		x, y := whole(t, c.X), whole(t, c.Y)
		for i := range x {
			sums.Count++
			sums.Examined += x[i]
			sums.Infested += y[i]
			sums.ExaminedSquared += x[i] * x[i]
			sums.Cross += x[i] * y[i]
			sums.InfestedSquared += y[i] * y[i]
		}
		require.Equal(t, c.SumX, sums.Examined)
		require.Equal(t, c.SumY, sums.Infested)
		population, ok := c.N.(float64)
		require.True(t, ok)
		total := c.XTotal * float64(sums.Infested) / float64(sums.Examined)
		require.InEpsilon(t, c.EstimatedTotal, total, 1e-12)
		require.InDelta(t, c.PublishedTotalHolder.EstimatedTotal, total, 0.5)
		// Cochran's error of the total (form from memory) keeps the units estimated from the
		// sample, 196/49 of those seen, and not the known total, before the ratio.
		estimated := population / float64(sums.Count) * float64(sums.Examined)
		require.InEpsilon(t, c.SETotal, estimated*math.Sqrt(sums.LinearisedVariance(int(population))), 1e-11)
	}
	require.True(t, seen)
}

func someBlocks(t *rapid.T) []stats.Proportion {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) stats.Proportion {
		n := rapid.OneOf(rapid.Just(1), rapid.IntRange(1, 60), rapid.IntRange(1, 20_000_000)).Draw(t, "examined")
		x := rapid.OneOf(rapid.Just(0), rapid.Just(n), rapid.IntRange(0, n)).Draw(t, "infested")
		return stats.Proportion{Examined: n, Infested: x}
	}), 1, 30).Draw(t, "blocks")
}

func TestTheRatioIsTheDefiningSum(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		blocks := someBlocks(t)
		sums, err := stats.ClustersOf(blocks)
		require.NoError(t, err)
		got, err := sums.Ratio(0)
		require.NoError(t, err)
		require.Equal(t, len(blocks) > 1, got.VarianceKnown)
		require.GreaterOrEqual(t, got.Variance, 0.0)
		if !got.VarianceKnown {
			require.Zero(t, got.Variance)
			return
		}
		residual, m := 0.0, float64(len(blocks))
		for _, p := range blocks {
			gap := float64(p.Infested) - got.Share*float64(p.Examined)
			residual += gap * gap
		}
		mean := float64(sums.Examined) / m
		require.InDelta(t, residual/((m-1)*m*mean*mean), got.Variance, 1e-12)
		census, err := sums.Ratio(len(blocks))
		require.NoError(t, err)
		require.Zero(t, census.Variance, "all clusters examined whole")
		mirrored := make([]stats.Proportion, len(blocks))
		for i, p := range blocks {
			mirrored[len(blocks)-1-i] = stats.Proportion{Examined: p.Examined, Infested: p.Examined - p.Infested}
		}
		free, err := stats.ClustersOf(mirrored)
		require.NoError(t, err)
		other, err := free.Ratio(0)
		require.NoError(t, err)
		require.InEpsilon(t, 1+got.Variance, 1+other.Variance, 1e-13)
		require.Equal(t, got.DesignEffectKnown, sums.Infested > 0 && sums.Infested < sums.Examined)
	})
}

func TestTheCorrelationIsBoundedAndOneWhereBlocksAreAllOrNone(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		groups := rapid.SliceOfN(rapid.Custom(someBlocks), 0, 2).Draw(t, "groups")
		got, err := stats.IntraClusterCorrelation(groups)
		require.NoError(t, err)
		require.False(t, math.IsNaN(got.Correlation))
		require.LessOrEqual(t, got.Correlation, 1.0)
		if got.Known {
			require.GreaterOrEqual(t, got.Correlation, -1/(got.TypicalSize-1)-1e-9)
		} else {
			require.Zero(t, got.Correlation)
		}
	})
	block := func(x, n int) stats.Proportion { return stats.Proportion{Examined: n, Infested: x} }
	same, err := stats.IntraClusterCorrelation([][]stats.Proportion{{block(20, 20), block(0, 15)}})
	require.NoError(t, err)
	require.True(t, same.Known)
	require.Equal(t, 1.0, same.Correlation)
	for name, groups := range map[string][][]stats.Proportion{
		"nothing":        {},
		"zero finds":     {{block(0, 20), block(0, 20)}},
		"all infested":   {{block(20, 20), block(7, 7)}},
		"one cluster":    {{block(3, 20)}, {block(4, 20)}},
		"one plant each": {{block(0, 1), block(1, 1), block(1, 1)}},
	} {
		got, err := stats.IntraClusterCorrelation(groups)
		require.NoError(t, err, name)
		require.False(t, got.Known, name)
		require.Zero(t, got.Correlation, name)
	}
}

func TestSumsThatNoClustersHaveAreRefused(t *testing.T) {
	t.Parallel()
	good := stats.Clusters{Count: 2, Examined: 5, Infested: 2, ExaminedSquared: 13, Cross: 5, InfestedSquared: 2}
	_, err := good.Ratio(0)
	require.NoError(t, err)
	for name, c := range map[string]struct {
		change func(*stats.Clusters)
		fault  string
	}{
		"squares too small":  {func(c *stats.Clusters) { c.ExaminedSquared = 12 }, "/clusters contradiction"},
		"squares too large":  {func(c *stats.Clusters) { c.ExaminedSquared = 26 }, "/clusters contradiction"},
		"finds not squared":  {func(c *stats.Clusters) { c.InfestedSquared = 0 }, "/clusters contradiction"},
		"cross too small":    {func(c *stats.Clusters) { c.Cross = 1 }, "/clusters contradiction"},
		"cross too large":    {func(c *stats.Clusters) { c.Cross = 6 }, "/clusters contradiction"},
		"no cluster":         {func(c *stats.Clusters) { c.Count = 0 }, "/count out_of_range"},
		"too many clusters":  {func(c *stats.Clusters) { c.Count = 6 }, "/count out_of_range"},
		"nothing":            {func(c *stats.Clusters) { *c = stats.Clusters{} }, "/examined nothing_examined"},
		"more than examined": {func(c *stats.Clusters) { c.Infested = 6 }, "/infested out_of_range"},
	} {
		broken := good
		c.change(&broken)
		_, err := broken.Ratio(0)
		require.Equal(t, []string{c.fault}, pathsAndCodes(t, err), name)
	}
	_, err = good.Ratio(1)
	require.Equal(t, []string{"/population out_of_range"}, pathsAndCodes(t, err))
	_, err = stats.ClustersOf([]stats.Proportion{{Examined: 2}, {}})
	require.Equal(t, []string{"/clusters/1/examined nothing_examined"}, pathsAndCodes(t, err))
	_, err = stats.ClustersOf([]stats.Proportion{{Examined: stats.LargestCount}, {Examined: 1}})
	require.Equal(t, []string{"/clusters out_of_range"}, pathsAndCodes(t, err))
}
