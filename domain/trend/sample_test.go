package trend_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/stats"
	"benchtrail/domain/trend"
)

func weekOf(week int) domain.Date { return domain.NewDate(2026, time.August, 3).AddDays(7 * week) }

func blockID(n int) domain.ID { return domain.ID{0: 1, 14: byte(n / 256), 15: byte(n % 256)} }

// Three blocks of 20, 20 and 20 plants with 2, 4 and 6 infested, 100 standing in
// each of six blocks, correlation 0.1. By hand: share 12/60; Σw² = 1/3, f = 1/2;
// 1/n' = 0.1 * 0.5 / 3 + 0.9 (1/60 - 1/300) = 0.0166667 + 0.012 = 0.0286667, so that
// n' = 34.88 and the design effect 1.72. Wilson's interval by the textbook form: middle
// (0.2 + 3.8415/69.77) / (1 + 3.8415/34.88) = 0.2298, half of it 1.96 sqrt(0.16/34.88 +
// 3.8415/4/34.88²) / 1.1101 = 0.1295, so 10.0 to 35.9 %.
func TestAnEstimateOfBlocksOfEqualEffortIsTheRatioWithTheDesignsInterval(t *testing.T) {
	t.Parallel()
	var clusters []trend.Cluster
	for i, x := range []int{2, 4, 6} {
		clusters = append(clusters, trend.Cluster{BlockID: blockID(i), Looks: 1, Plants: 20, Infested: x, Standing: 100})
	}
	s := trend.SampleOf(weekOf(0), clusters, 600, 6)
	got, err := trend.Estimate(s, trend.BlockCorrelation{Correlation: 0.1})
	require.NoError(t, err)
	require.InDelta(t, 20, got.Percent, 1e-12)
	require.False(t, got.Weighted)
	require.True(t, got.Design)
	require.InDelta(t, 1/0.0286666667, got.Effective, 1e-5)
	require.InDelta(t, 1.72, got.DesignEffect, 0.001)
	require.InDelta(t, 10.03, got.LowerPercent, 0.01)
	require.InDelta(t, 35.92, got.UpperPercent, 0.01)
	require.Equal(t, trend.Counts{WeekStart: weekOf(0), Looks: 3, Blocks: 3, Plants: 60, Infested: 12}, got.Counts)
	require.Equal(t, []int{600, 6}, []int{got.StandingPlants, got.StandingBlocks})
}

// Without a correlation and without a count of what stands nothing is left but the
// plain interval of Wilson, as published by Newcombe RG (1998), Stat. Med.
// 17:857-872, table I, method 3.
func TestAnEstimateWithoutLikenessIsThePublishedWilsonInterval(t *testing.T) {
	t.Parallel()
	for _, c := range wilsonCases(t) {
		if c.N < 2 {
			continue
		}
		first := trend.Cluster{BlockID: blockID(1), Plants: c.N / 2, Infested: min(c.X, c.N/2)}
		second := trend.Cluster{BlockID: blockID(2), Plants: c.N - c.N/2, Infested: c.X - first.Infested}
		got, err := trend.Estimate(trend.SampleOf(weekOf(0), []trend.Cluster{first, second}, 0, 0), trend.BlockCorrelation{})
		require.NoError(t, err)
		require.InDelta(t, 100*c.Lower, got.LowerPercent, 1e-7, "%d of %d", c.X, c.N)
		require.InDelta(t, 100*c.Upper, got.UpperPercent, 1e-7, "%d of %d", c.X, c.N)
	}
}

// Forty plants of a block of 40 and five of a block of 400: by the plants standing,
// (40 * 20/40 + 400 * 0/5) / 440 = 4.5 %; the plain ratio would be 20 of 45, 44 %.
func TestUnequalEffortIsWeightedByThePlantsStanding(t *testing.T) {
	t.Parallel()
	clusters := []trend.Cluster{
		{BlockID: blockID(1), Plants: 40, Infested: 20, Standing: 40}, {BlockID: blockID(2), Plants: 5, Infested: 0, Standing: 400},
	}
	got, err := trend.Estimate(trend.SampleOf(weekOf(0), clusters, 440, 2), trend.BlockCorrelation{Correlation: 0.1})
	require.NoError(t, err)
	require.True(t, got.Weighted)
	require.InDelta(t, 100*20/440.0, got.Percent, 1e-9)
	clusters[1].Standing = 0
	got, err = trend.Estimate(trend.SampleOf(weekOf(0), clusters, 440, 2), trend.BlockCorrelation{Correlation: 0.1})
	require.NoError(t, err)
	require.False(t, got.Weighted, "what stands in one block is not known")
	require.InDelta(t, 100*20/45.0, got.Percent, 1e-9)
}

func TestASingleLookHasWilsonsInterval(t *testing.T) {
	t.Parallel()
	cluster := trend.Cluster{BlockID: blockID(1), Looks: 1, Plants: 18, Infested: 4, Standing: 300}
	got, err := trend.Estimate(trend.SampleOf(weekOf(0), []trend.Cluster{cluster}, 300, 1), trend.BlockCorrelation{Correlation: 0.3})
	require.NoError(t, err)
	want, err := trend.PointOf(got.Counts)
	require.NoError(t, err)
	require.False(t, got.Design)
	require.InDelta(t, want.LowerPercent, got.LowerPercent, 1e-12)
	require.InDelta(t, want.UpperPercent, got.UpperPercent, 1e-12)
	got, err = trend.Estimate(trend.SampleOf(weekOf(0), []trend.Cluster{cluster}, 900, 3), trend.BlockCorrelation{Correlation: 0.1})
	require.NoError(t, err)
	require.True(t, got.Design, "one block of three stands for the others")
	require.Greater(t, got.UpperPercent-got.LowerPercent, want.UpperPercent-want.LowerPercent)
}

// None found among all the plants of a small lot does not make it free for sure: a look
// misses some of what is there.
func TestEveryPlantLookedAtTellsNoMoreThanItsPlants(t *testing.T) {
	t.Parallel()
	clusters := []trend.Cluster{{BlockID: blockID(1), Plants: 12, Standing: 12}, {BlockID: blockID(2), Plants: 12, Standing: 12}}
	got, err := trend.Estimate(trend.SampleOf(weekOf(0), clusters, 24, 2), trend.BlockCorrelation{Correlation: 0.2})
	require.NoError(t, err)
	plain, err := trend.PointOf(got.Counts)
	require.NoError(t, err)
	require.InDelta(t, 24, got.Effective, 0)
	require.InDelta(t, plain.UpperPercent, got.UpperPercent, 1e-9)
}

// Plants of two lots in one block are as alike as those of one.
func TestLotsOfOneBlockAreOneCluster(t *testing.T) {
	t.Parallel()
	var byLot, byBlock []trend.Cluster
	for b := range 3 {
		byBlock = append(byBlock, trend.Cluster{BlockID: blockID(b), Looks: 2, Plants: 20, Infested: 4, Standing: 300})
		for lot := range 2 {
			byLot = append(byLot, trend.Cluster{BlockID: blockID(b), LotID: blockID(lot), Looks: 1, Plants: 10, Infested: 2, Standing: 150})
		}
	}
	require.Equal(t, trend.SampleOf(weekOf(0), byBlock, 1800, 6), trend.SampleOf(weekOf(0), byLot, 1800, 6))
}

// Blocks whose shares vary like a beta distribution with correlation r; half of
// the blocks are drawn, 18 plants of 300 in each. The interval at 95 % must hold the
// share of all plants about as often as it says.
func TestTheDesignIntervalHoldsTheShareOfTheCrop(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		share, correlation float64
		blocks             int
	}{{0.2, 0.05, 8}, {0.2, 0.15, 12}, {0.1, 0.1, 10}, {0.35, 0.2, 20}} {
		rng := rand.New(rand.NewPCG(uint64(c.blocks), 7)) //nolint:gosec // a seeded test
		const times = 3000
		held := 0
		for range times {
			var clusters []trend.Cluster
			sum := 0.0
			for b := range c.blocks {
				p := beta(rng, c.share*(1/c.correlation-1), (1-c.share)*(1/c.correlation-1))
				infested := int(math.Round(300 * p))
				sum += float64(infested) / 300
				if b%2 == 0 {
					clusters = append(clusters, trend.Cluster{BlockID: blockID(b), Plants: 18, Infested: drawn(rng, 300, infested, 18), Standing: 300})
				}
			}
			got, err := trend.Estimate(trend.SampleOf(weekOf(0), clusters, 300*c.blocks, c.blocks), trend.BlockCorrelation{Correlation: c.correlation})
			require.NoError(t, err)
			if truth := 100 * sum / float64(c.blocks); got.LowerPercent <= truth && truth <= got.UpperPercent {
				held++
			}
		}
		require.InDelta(t, 0.95, float64(held)/times, 0.025, "%+v", c)
	}
}

func TestGroupsTogetherAreTheSampleOfAllTheirClusters(t *testing.T) {
	t.Parallel()
	clusters := []trend.Cluster{
		{BlockID: blockID(1), Looks: 1, Plants: 20, Infested: 2, Standing: 100},
		{BlockID: blockID(2), Looks: 2, Plants: 35, Infested: 9, InDoubt: 1, Standing: 80},
		{BlockID: blockID(3), Looks: 1, Plants: 15, Infested: 0},
	}
	first := []trend.Sample{trend.SampleOf(weekOf(0), clusters[:1], 100, 1), trend.SampleOf(weekOf(2), clusters[:1], 100, 1)}
	second := []trend.Sample{trend.SampleOf(weekOf(0), clusters[1:], 300, 4)}
	got := trend.Together([][]trend.Sample{second, first})
	require.Equal(t, []trend.Sample{trend.SampleOf(weekOf(0), clusters, 400, 5), first[1]}, got)
}

func TestTheCorrelationIsTheOneOfTheAnalysisOfVariance(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var groups [][]stats.Proportion
		var samples []trend.Sample
		for range rapid.IntRange(1, 6).Draw(t, "groups") {
			var group []stats.Proportion
			var clusters []trend.Cluster
			for b := range rapid.IntRange(1, 8).Draw(t, "blocks") {
				n := rapid.IntRange(1, 40).Draw(t, "plants")
				x := rapid.IntRange(0, n).Draw(t, "infested")
				group = append(group, stats.Proportion{Examined: n, Infested: x})
				clusters = append(clusters, trend.Cluster{BlockID: blockID(b), Plants: n, Infested: x})
			}
			groups = append(groups, group)
			samples = append(samples, trend.SampleOf(weekOf(0), clusters, 0, 0))
		}
		want, err := stats.IntraClusterCorrelation(groups)
		require.NoError(t, err)
		got := trend.CorrelationOf(samples)
		if !want.Known {
			require.Equal(t, trend.BlockCorrelation{Correlation: trend.CautiousCorrelation}, got)
			return
		}
		n := float64(want.DegreesBetween)
		require.Equal(t, want.DegreesBetween, got.Blocks)
		require.InDelta(t, (n*max(0, want.Correlation)+trend.EnoughBlocks*trend.CautiousCorrelation)/(n+trend.EnoughBlocks), got.Correlation, 1e-9)
		require.Equal(t, want.DegreesBetween >= trend.EnoughBlocks, got.Known)
	})
}

// beta draws from a beta distribution by the ratio of two gamma draws.
func beta(rng *rand.Rand, a, b float64) float64 {
	x, y := gamma(rng, a), gamma(rng, b)
	return x / (x + y)
}

// gamma draws by Marsaglia and Tsang (2000), ACM Trans. Math. Softw. 26:363-372.
func gamma(rng *rand.Rand, shape float64) float64 {
	if shape < 1 {
		return gamma(rng, shape+1) * math.Pow(rng.Float64(), 1/shape)
	}
	d := shape - 1.0/3
	for {
		x := rng.NormFloat64()
		v := math.Pow(1+x/math.Sqrt(9*d), 3)
		if v > 0 && math.Log(1-rng.Float64()) < x*x/2+d-d*v+d*math.Log(v) {
			return d * v
		}
	}
}

// drawn counts the infested among n plants drawn from a block without putting back.
func drawn(rng *rand.Rand, plants, infested, n int) int {
	found := 0
	for ; n > 0; n-- {
		if rng.IntN(plants) < infested {
			found++
			infested--
		}
		plants--
	}
	return found
}
