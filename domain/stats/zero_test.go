package stats_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

// The closed form 1-0.05^(1/n), worked out by hand to one decimal of a percent:
// 0/20 13.9 %, 0/60 4.9 %, 0/100 3.0 % (the "rule of three").
func TestZeroFindsLeaveAnUpperLimit(t *testing.T) {
	t.Parallel()
	for n, want := range map[int]float64{20: 0.139, 60: 0.049, 100: 0.030} {
		got, err := stats.UpperLimitForZero(n, 0.95)
		require.NoError(t, err)
		require.InDelta(t, want, got, 0.5e-3)
	}
	_, err := stats.UpperLimitForZero(0, 0.95)
	require.Equal(t, []string{"/examined nothing_examined"}, pathsAndCodes(t, err))
}

// With no find the upper limit is the one the two-sided exact interval has at
// the confidence that leaves the same chance in each tail.
func TestUpperLimitForZeroIsTheOneSidedExactLimit(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 1_000_000).Draw(t, "examined")
		confidence := rapid.Float64Range(0.5, 0.9999).Draw(t, "confidence")
		got, err := stats.UpperLimitForZero(n, confidence)
		require.NoError(t, err)
		exact, err := stats.ClopperPearson(stats.Proportion{Examined: n}, 2*confidence-1+1e-15)
		require.NoError(t, err)
		require.InDelta(t, exact.Upper, got, 1e-9)
	})
}

func TestSmallLotsAreKnownBetterThanLargeOnes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lot := rapid.OneOf(rapid.IntRange(1, 2000), rapid.IntRange(1, stats.LargestCount)).Draw(t, "lot")
		examined := rapid.IntRange(1, lot).Draw(t, "examined")
		confidence := rapid.Float64Range(0.5, 0.9999).Draw(t, "confidence")
		inLot, err := stats.UpperLimitForZeroInLot(lot, examined, confidence)
		require.NoError(t, err)
		without, err := stats.UpperLimitForZero(examined, confidence)
		require.NoError(t, err)
		require.GreaterOrEqual(t, inLot, 0.0)
		require.LessOrEqual(t, inLot, without)
		if examined == lot {
			require.Zero(t, inLot)
		}
	})
}

func TestAVeryLargeLotIsLikeOneWithoutEnd(t *testing.T) {
	t.Parallel()
	for _, n := range []int{1, 20, 60, 1000} {
		inLot, err := stats.UpperLimitForZeroInLot(stats.LargestCount, n, 0.95)
		require.NoError(t, err)
		without, err := stats.UpperLimitForZero(n, 0.95)
		require.NoError(t, err)
		require.InDelta(t, without, inLot, 1e-7)
	}
}
