package stats_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/stats"
)

func TestFunnelLimitsAgreeWithSpiegelhalter2005(t *testing.T) {
	t.Parallel()
	var full differences
	for _, c := range published[struct {
		N                                    int
		Target                               float64
		Lower95, Upper95, Lower998, Upper998 float64
	}](t, "funnel_limits") {
		inner, err := stats.FunnelLimits(c.Target, c.N, 0.95)
		require.NoError(t, err)
		outer, err := stats.FunnelLimits(c.Target, c.N, 0.998)
		require.NoError(t, err)
		require.Less(t, full.add(inner.Lower, c.Lower95), 1e-12, "%+v", c)
		require.Less(t, full.add(inner.Upper, c.Upper95), 1e-12, "%+v", c)
		require.Less(t, full.add(outer.Lower, c.Lower998), 1e-12, "%+v", c)
		require.Less(t, full.add(outer.Upper, c.Upper998), 1e-12, "%+v", c)
	}
	full.log(t, "recomputed")
}

// The limits are counted out again from binomial probabilities in exact fractions.
func TestFunnelLimitsAgreeWithExactFractions(t *testing.T) {
	t.Parallel()
	var all differences
	for _, n := range []int{1, 2, 5, 12, 40, 90} {
		for _, share := range []*big.Rat{big.NewRat(1, 1000), big.NewRat(1, 50), big.NewRat(1, 3), big.NewRat(9, 10)} {
			target, _ := share.Float64()
			got, err := stats.FunnelLimits(target, n, 0.95)
			require.NoError(t, err)
			require.Less(t, all.add(got.Lower, interpolated(n, share, big.NewRat(25, 1000))), 1e-12, "%d at %v", n, share)
			require.Less(t, all.add(got.Upper, interpolated(n, share, big.NewRat(975, 1000))), 1e-12, "%d at %v", n, share)
		}
	}
	all.log(t, "exact fractions")
}

func interpolated(n int, share, p *big.Rat) float64 {
	sum := new(big.Rat)
	for r := 0; r <= n; r++ {
		chance := new(big.Rat).SetInt(new(big.Int).Binomial(int64(n), int64(r)))
		for range r {
			chance.Mul(chance, share)
		}
		for range n - r {
			chance.Mul(chance, new(big.Rat).Sub(big.NewRat(1, 1), share))
		}
		if sum.Add(sum, chance).Cmp(p) >= 0 {
			part := new(big.Rat).Sub(sum, p)
			part.Quo(part, chance)
			limit := new(big.Rat).Sub(big.NewRat(int64(r), 1), part)
			value, _ := limit.Quo(limit, big.NewRat(int64(n), 1)).Float64()
			return math.Max(0, value)
		}
	}
	return 1
}

func TestFunnelLimitsRefuseWhatMakesNoSense(t *testing.T) {
	t.Parallel()
	_, err := stats.FunnelLimits(math.NaN(), 0, 1)
	require.Equal(t, []string{
		"/target " + stats.CodeOutOfRange, "/examined " + stats.CodeNothingExamined, "/confidence " + stats.CodeOutOfRange,
	}, pathsAndCodes(t, err))
	for _, target := range []float64{0, 1, -0.1, 1.1} {
		_, err := stats.FunnelLimits(target, 10, 0.95)
		require.Equal(t, []string{"/target " + stats.CodeOutOfRange}, pathsAndCodes(t, err))
	}
}
