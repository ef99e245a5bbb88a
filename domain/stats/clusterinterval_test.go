package stats_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

func TestTheClusterIntervalIsThePlainOneWithoutCorrelation(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		sums, err := stats.ClustersOf(someBlocks(t))
		require.NoError(t, err)
		p := stats.Proportion{Examined: sums.Examined, Infested: sums.Infested}
		confidence := rapid.Float64Range(0.5, 0.9999).Draw(t, "confidence")
		wilson, err := stats.Wilson(p, confidence)
		require.NoError(t, err)
		got, err := sums.Interval(0, confidence)
		require.NoError(t, err)
		require.InDelta(t, wilson.Lower, got.Lower, 1e-14)
		require.InDelta(t, wilson.Upper, got.Upper, 1e-14)
		exact, err := stats.ClopperPearson(p, confidence)
		require.NoError(t, err)
		got, err = sums.ExactInterval(0, confidence)
		require.NoError(t, err)
		require.InDelta(t, exact.Lower, got.Lower, 1e-9)
		require.InDelta(t, exact.Upper, got.Upper, 1e-9)
	})
}

func TestCorrelationOnlyWidensTheClusterInterval(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		sums, err := stats.ClustersOf(someBlocks(t))
		require.NoError(t, err)
		share := float64(sums.Infested) / float64(sums.Examined)
		confidence := rapid.Float64Range(0.8, 0.999999).Draw(t, "confidence")
		icc := rapid.Float64Range(0, 1).Draw(t, "icc")
		less := rapid.Float64Range(0, icc).Draw(t, "less")
		rules := []func(stats.Clusters, float64, float64) (stats.ClusterInterval, error){stats.Clusters.Interval}
		if sums.Examined <= 100_000 { // above, the library's beta function is too coarse for so fine a comparison
			rules = append(rules, stats.Clusters.ExactInterval)
		}
		for _, rule := range rules {
			wide, err := rule(sums, icc, confidence)
			require.NoError(t, err)
			narrow, err := rule(sums, less, confidence)
			require.NoError(t, err)
			require.LessOrEqual(t, wide.Lower, narrow.Lower+1e-12)
			require.GreaterOrEqual(t, wide.Upper, narrow.Upper-1e-12)
			require.LessOrEqual(t, wide.Lower, share)
			require.GreaterOrEqual(t, wide.Upper, share-1e-15)
			require.GreaterOrEqual(t, wide.Lower, 0.0)
			require.LessOrEqual(t, wide.Upper, 1.0)
			require.GreaterOrEqual(t, wide.EffectiveExamined, 1-1e-12)
			require.LessOrEqual(t, wide.EffectiveExamined, float64(sums.Examined))
		}
	})
}

// Two blocks of 30 without a find, correlation 0.1: deff 1 + 29*0.1 = 3.9, so 60
// plants tell as much as 15.38 would; Wilson's upper limit without a find is
// z²/(n+z²) and the exact one 1-tail^(1/n), both worked out by hand.
func TestTwoBlocksWithoutAFindStillSaySomething(t *testing.T) {
	t.Parallel()
	sums, err := stats.ClustersOf([]stats.Proportion{{Examined: 30}, {Examined: 30}})
	require.NoError(t, err)
	got, err := sums.Interval(0.1, 0.95)
	require.NoError(t, err)
	require.InDelta(t, 3.9, got.DesignEffect, 1e-12)
	n, z := 60/3.9, 1.959963984540054
	require.InDelta(t, n, got.EffectiveExamined, 1e-12)
	require.Zero(t, got.Lower)
	require.InDelta(t, z*z/(n+z*z), got.Upper, 1e-12)
	exact, err := sums.ExactInterval(0.1, 0.95)
	require.NoError(t, err)
	require.Zero(t, exact.Lower)
	require.InDelta(t, 1-math.Pow(0.025, 1/n), exact.Upper, 1e-12)
}

func TestOnePlantPerBlockAndAllAlikeAreTheTwoEnds(t *testing.T) {
	t.Parallel()
	single, err := stats.ClustersOf([]stats.Proportion{{Examined: 1}, {Examined: 1, Infested: 1}, {Examined: 1}})
	require.NoError(t, err)
	got, err := single.Interval(1, 0.95)
	require.NoError(t, err)
	require.Equal(t, 1.0, got.DesignEffect)
	block, err := stats.ClustersOf([]stats.Proportion{{Examined: 40, Infested: 40}})
	require.NoError(t, err)
	got, err = block.ExactInterval(1, 0.95)
	require.NoError(t, err)
	require.Equal(t, 1.0, got.EffectiveExamined, "one cluster all alike is one unit")
	require.Equal(t, 1.0, got.Upper)
	require.InDelta(t, 0.025, got.Lower, 1e-14)
	_, err = block.Interval(-0.01, math.NaN())
	require.Equal(t, []string{"/icc out_of_range", "/confidence out_of_range"}, pathsAndCodes(t, err))
}

func FuzzClusters(f *testing.F) {
	f.Add(2, 60, 0, 1800, 0, 0, 0.1, 0.95)
	f.Add(1, 1, 1, 1, 1, 1, 1.0, 5e-324)
	f.Add(2, 1000, 3, 1000000, 1000, 9, 1e-300, 0.9999999999999999)
	f.Add(-1, 5, 2, math.MaxInt, math.MinInt, 2, math.NaN(), math.Inf(1))
	f.Fuzz(func(t *testing.T, m, n, x, nn, nx, xx int, icc, confidence float64) {
		c := stats.Clusters{Count: m, Examined: n, Infested: x, ExaminedSquared: nn, Cross: nx, InfestedSquared: xx}
		ratio, err := c.Ratio(0)
		finite(t, err, ratio.Share, ratio.Variance, ratio.StandardError(), ratio.DesignEffect)
		score, err := c.Interval(icc, confidence)
		finite(t, err, score.Lower, score.Upper, score.DesignEffect, score.EffectiveExamined)
		exact, err := c.ExactInterval(icc, confidence)
		finite(t, err, exact.Lower, exact.Upper, exact.DesignEffect, exact.EffectiveExamined)
	})
}

// finite demands numbers, and zeros beside an error.
func finite(t require.TestingT, err error, numbers ...float64) {
	for _, number := range numbers {
		require.False(t, math.IsNaN(number) || math.IsInf(number, 0), "%v", numbers)
		if err != nil {
			require.Zero(t, number)
		}
	}
	if err != nil {
		require.NotEmpty(t, pathsAndCodes(t, err))
	}
}
