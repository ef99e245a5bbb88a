package stats_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

func effective(p stats.Proportion) stats.Effective {
	return stats.Effective{Share: float64(p.Infested) / float64(p.Examined), Size: float64(p.Examined)}
}

func effectives(groups []stats.Proportion) []stats.Effective {
	shares := make([]stats.Effective, len(groups))
	for i, g := range groups {
		shares[i] = effective(g)
	}
	return shares
}

// Fleiss (1981), Statistical Methods for Rates and Proportions, p. 139, and the
// tables with small expected counts in the file of published values.
func TestWithWholeSizesHomogeneityIsThePublishedOne(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		X, N      []int
		Test      string
		ChiSq     float64
		P         float64 `json:"p"`
		Rough     float64 `json:"p_asymptotic"`
		Published struct{ ChiSq, P float64 }
	}
	var all differences
	cases := append(published[fileCase](t, "trend_cochran_armitage"), published[fileCase](t, "chisq_small_expected")...)
	for _, c := range cases {
		if c.Test != "" && c.Test != "chisq_homogeneity" {
			continue
		}
		got, err := stats.HomogeneityOfShares(effectives(groupsOf(c.X, c.N)))
		require.NoError(t, err)
		require.Less(t, all.add(got.Statistic/c.ChiSq, 1), 1e-11)
		require.Less(t, all.add(got.P/(c.P+c.Rough), 1), 1e-11)
	}
	require.Equal(t, 4, all.count)
	all.log(t, "relative")
}

func TestWithWholeSizesTheDifferenceIsNewcombes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		groups := drawGroups(t, 2, 2)
		first, second := groups[0], groups[1]
		want, err := stats.NewcombeDifference(first, second, 0.95)
		require.NoError(t, err)
		got, err := stats.DifferenceOfShares(effective(first), effective(second), 0.95)
		require.NoError(t, err)
		require.InDelta(t, want.Observed, got.Observed, 1e-9)
		require.InDelta(t, want.Lower, got.Lower, 1e-9)
		require.InDelta(t, want.Upper, got.Upper, 1e-9)
	})
}

// Newcombe's example 56 of 70 against 48 of 80 by method 10: 0.2, 0.0524 to 0.3339.
func TestTheDifferenceOfNewcombesExample(t *testing.T) {
	t.Parallel()
	got, err := stats.DifferenceOfShares(stats.Effective{Share: 0.8, Size: 70}, stats.Effective{Share: 0.6, Size: 80}, 0.95)
	require.NoError(t, err)
	require.InDelta(t, 0.2, got.Observed, 1e-12)
	require.InDelta(t, 0.0524, got.Lower, 0.5e-4)
	require.InDelta(t, 0.3339, got.Upper, 0.5e-4)
}

// Rao and Scott (1992), Biometrics 48:577-585: with one design effect for all
// groups the statistic is that of the plain counts over the design effect. 24, 6 and
// 12 of 120 each: P = 42/360, Σ n (p - P)² / (P (1-P)) = 1.4 / 0.103056 = 13.5849;
// over 2, 6.7925. With 2 degrees of freedom the chance is e^(-6.7925/2) = 0.03350.
func TestADesignEffectDividesTheStatistic(t *testing.T) {
	t.Parallel()
	shares := []stats.Effective{{Share: 24.0 / 120, Size: 60}, {Share: 6.0 / 120, Size: 60}, {Share: 12.0 / 120, Size: 60}}
	got, err := stats.HomogeneityOfShares(shares)
	require.NoError(t, err)
	require.InDelta(t, 6.7925, got.Statistic, 0.5e-4)
	require.Equal(t, 2, got.DegreesOfFreedom)
	require.InDelta(t, 0.03350, got.P, 0.5e-5)
	require.InDelta(t, 7, got.SmallestExpected, 1e-9)
	require.False(t, got.Rough)
}

// 6 of 10 against 1 of 13: of the C(23,7) = 245157 tables with seven infested those as
// unlikely or less have 4 566 together (Fisher's sum done in whole numbers apart
// from this program): 0.018625. Where all expected counts are at least 5 it is
// Pearson's: 24 of 120 against 18 of 240, 12.1294, chance 0.000496.
func TestTwoSharesDifferByFisherOrByPearson(t *testing.T) {
	t.Parallel()
	p, err := stats.SharesDiffer(effective(stats.Proportion{Examined: 10, Infested: 6}), effective(stats.Proportion{Examined: 13, Infested: 1}))
	require.NoError(t, err)
	require.InDelta(t, 0.018625, p, 0.5e-6)
	p, err = stats.SharesDiffer(effective(stats.Proportion{Examined: 120, Infested: 24}), effective(stats.Proportion{Examined: 240, Infested: 18}))
	require.NoError(t, err)
	require.InDelta(t, 0.000496, p, 0.5e-6)
}

func TestRoundingMakesNoDifference(t *testing.T) {
	t.Parallel()
	// A third of an infested plant among 6.7 is none among 6.
	p, err := stats.SharesDiffer(stats.Effective{Share: 0.05, Size: 6.7}, stats.Effective{Share: 0.01, Size: 500})
	require.NoError(t, err)
	require.Equal(t, 1.0, p)
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawEffective(t, "first"), drawEffective(t, "second")
		p, err := stats.SharesDiffer(a, b)
		require.NoError(t, err)
		require.True(t, p >= 0 && p <= 1, "%v", p)
		turned, err := stats.SharesDiffer(b, a)
		require.NoError(t, err)
		require.InDelta(t, p, turned, 1e-9)
		same, err := stats.SharesDiffer(a, stats.Effective{Share: a.Share, Size: b.Size})
		require.NoError(t, err)
		require.InDelta(t, 1, same, 1e-5, "a share does not differ from itself")
	})
}

func TestSharesGiveNumbersWhateverTheyAre(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		shares := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) stats.Effective { return drawEffective(t, "group") }), 2, 8).Draw(t, "groups")
		got, err := stats.HomogeneityOfShares(shares)
		require.NoError(t, err)
		for _, v := range []float64{got.Statistic, got.P, got.SmallestExpected} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", got)
		}
		require.True(t, got.P >= 0 && got.P <= 1)
		d, err := stats.DifferenceOfShares(shares[0], shares[1], 0.95)
		require.NoError(t, err)
		require.LessOrEqual(t, d.Lower, d.Observed+1e-12)
		require.LessOrEqual(t, d.Observed, d.Upper+1e-12)
		require.True(t, d.Lower >= -1 && d.Upper <= 1)
	})
}

func TestSharesThatMakeNoSenseAreFaults(t *testing.T) {
	t.Parallel()
	good := stats.Effective{Share: 0.1, Size: 10}
	var faults domain.Faults
	for path, bad := range map[string]stats.Effective{
		"/share": {Share: math.NaN(), Size: 1}, "/size": {Share: 0.5},
	} {
		_, err := stats.HomogeneityOfShares([]stats.Effective{good, bad})
		require.ErrorAs(t, err, &faults)
		require.Equal(t, "/groups/1"+path, faults[0].Path)
		_, err = stats.SharesDiffer(bad, good)
		require.ErrorAs(t, err, &faults)
		require.Equal(t, "/groups/0"+path, faults[0].Path)
		_, err = stats.DifferenceOfShares(good, bad, 0.95)
		require.ErrorAs(t, err, &faults)
		require.Equal(t, "/second"+path, faults[0].Path)
	}
	_, err := stats.HomogeneityOfShares([]stats.Effective{good})
	require.ErrorAs(t, err, &faults)
	require.Equal(t, stats.CodeTooFew, faults[0].Code)
}

func drawGroups(t *rapid.T, least, most int) []stats.Proportion {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) stats.Proportion {
		n := rapid.IntRange(1, 500).Draw(t, "examined")
		return stats.Proportion{Examined: n, Infested: rapid.IntRange(0, n).Draw(t, "infested")}
	}), least, most).Draw(t, "groups")
}

func drawEffective(t *rapid.T, label string) stats.Effective {
	return stats.Effective{
		Share: rapid.OneOf(rapid.Just(0.0), rapid.Just(1.0), rapid.Float64Range(0, 1)).Draw(t, label+" share"),
		Size:  rapid.OneOf(rapid.Float64Range(0.01, 50), rapid.Float64Range(1, 1e6)).Draw(t, label+" size"),
	}
}
