package stats_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

// Taylor's a and b of greenhouse whitefly on bean leaves: Xu (1985), J. Appl.
// Ecol.; the shares are recomputed, by the formula and as a negative binomial of
// the same variance.
func TestShareAndDensityAgreeForWhiteflyOnLeaves(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		A, B, M float64
		P       float64 `json:"p_wilson_room"`
		NegBin  float64 `json:"p_negbin_same_variance"`
	}
	var forth, back differences
	for _, c := range published[fileCase](t, "presence_absence_density") {
		if c.A == 0 { // another model's cases
			continue
		}
		law := stats.TaylorLaw{A: c.A, B: c.B}
		got, err := law.ShareAt(c.M)
		require.NoError(t, err)
		require.Less(t, forth.add(got, c.P), 1e-11, "%+v", c)
		require.Less(t, forth.add(got, c.NegBin), 1e-11, "%+v", c)
		mean, found, err := law.MeanAt(c.P)
		require.NoError(t, err)
		require.True(t, found)
		require.Less(t, back.add(mean/c.M, 1), 1e-8, "%+v", c) // the share is given with 13 digits
	}
	require.Positive(t, forth.count)
	forth.log(t, "share")
	back.log(t, "density, relative")
}

func someLaw(t *rapid.T) stats.TaylorLaw {
	return stats.TaylorLaw{
		A: math.Exp(rapid.Float64Range(math.Log(0.001), math.Log(1e6)).Draw(t, "log a")),
		B: rapid.Float64Range(0, 2).Draw(t, "b"),
	}
}

func TestTheShareRisesWithTheDensityAndTurnsBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		law := someLaw(t)
		mean := math.Exp(rapid.Float64Range(-20, 20).Draw(t, "log mean"))
		share, err := law.ShareAt(mean)
		require.NoError(t, err)
		require.True(t, share >= 0 && share <= 1 && share <= mean*(1+1e-12))
		more, err := law.ShareAt(mean * 1.5)
		require.NoError(t, err)
		require.GreaterOrEqual(t, more, share*(1-1e-12))
		if share > 0.999 || share == 0 { // too flat to turn back
			return
		}
		back, found, err := law.MeanAt(share)
		require.NoError(t, err)
		require.True(t, found)
		again, err := law.ShareAt(back)
		require.NoError(t, err)
		require.InEpsilon(t, share, again, 1e-9)
	})
}

func TestWithoutClumpingTheShareIsPoissons(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		mean := rapid.Float64Range(1e-9, 30).Draw(t, "mean")
		got, err := stats.TaylorLaw{A: 1, B: 1}.ShareAt(mean)
		require.NoError(t, err)
		require.InEpsilon(t, -math.Expm1(-mean), got, 1e-12)
	})
}

func TestNoneMeansNoneAndAllShowsNoUpperEnd(t *testing.T) {
	t.Parallel()
	law := stats.TaylorLaw{A: 2.9, B: 1.26}
	none, found, err := law.MeanAt(0)
	require.NoError(t, err)
	require.True(t, found)
	require.Zero(t, none)
	all, found, err := law.MeanAt(1)
	require.NoError(t, err)
	require.False(t, found)
	require.Zero(t, all)
	_, _, err = stats.TaylorLaw{A: math.NaN(), B: 2.1}.MeanAt(1.1)
	require.Equal(t, []string{"/a out_of_range", "/b out_of_range", "/share out_of_range"}, pathsAndCodes(t, err))
	_, err = law.ShareAt(math.Inf(1))
	require.Equal(t, []string{"/mean out_of_range"}, pathsAndCodes(t, err))
}

func FuzzTaylorLaw(f *testing.F) {
	f.Add(2.9, 1.26, 0.2)
	f.Add(0.001, 0.0, 5e-324)
	f.Add(1e6, 2.0, 0.9999999999999999)
	f.Add(math.NaN(), math.Inf(1), math.NaN())
	f.Fuzz(func(t *testing.T, a, b, value float64) {
		law := stats.TaylorLaw{A: a, B: b}
		got, err := law.ShareAt(value)
		finite(t, err, got)
		got, _, err = law.MeanAt(value)
		finite(t, err, got)
	})
}
