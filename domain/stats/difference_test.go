package stats_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

func TestDifferencesAgreeWithNewcombe1998(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		A, M, B, N   int
		Method       string
		Lower, Upper float64
		Printed      []float64 `json:"published_4dp"`
	}
	var full, printed differences
	for _, c := range published[fileCase](t, "ci_difference_newcombe1998") {
		if c.Method != "newcombe_method10_hybrid_wilson" { // the continuity-corrected method 11 is not offered
			continue
		}
		got, err := stats.NewcombeDifference(stats.Proportion{Examined: c.M, Infested: c.A}, stats.Proportion{Examined: c.N, Infested: c.B}, 0.95)
		require.NoError(t, err)
		require.InDelta(t, float64(c.A)/float64(c.M)-float64(c.B)/float64(c.N), got.Observed, 1e-15)
		require.Less(t, full.add(got.Lower, c.Lower), 1e-12, "%+v", c)
		require.Less(t, full.add(got.Upper, c.Upper), 1e-12, "%+v", c)
		require.LessOrEqual(t, printed.add(got.Lower, c.Printed[0]), 0.5e-4, "%+v", c)
		require.LessOrEqual(t, printed.add(got.Upper, c.Printed[1]), 0.5e-4, "%+v", c)
	}
	require.GreaterOrEqual(t, full.count, 10)
	full.log(t, "recomputed")
	printed.log(t, "printed, 4 decimals")
}

func TestADifferenceTurnsRoundWithItsCounts(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		first, second := someProportion(t), someProportion(t)
		confidence := rapid.Float64Range(0.01, 0.999999).Draw(t, "confidence")
		there, err := stats.NewcombeDifference(first, second, confidence)
		require.NoError(t, err)
		back, err := stats.NewcombeDifference(second, first, confidence)
		require.NoError(t, err)
		require.InDelta(t, -there.Observed, back.Observed, 1e-15)
		require.InDelta(t, -there.Lower, back.Upper, 1e-15)
		require.InDelta(t, -there.Upper, back.Lower, 1e-15)
	})
}

func TestEveryIntervalContainsTheDifferenceItIsAbout(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		first, second := someProportion(t), someProportion(t)
		confidence := rapid.Float64Range(0.01, 0.999999).Draw(t, "confidence")
		got, err := stats.NewcombeDifference(first, second, confidence)
		require.NoError(t, err)
		require.GreaterOrEqual(t, got.Lower, -1.0)
		require.LessOrEqual(t, got.Lower, got.Observed)
		require.LessOrEqual(t, got.Observed, got.Upper)
		require.LessOrEqual(t, got.Upper, 1.0)
		wider, err := stats.NewcombeDifference(first, second, confidence+(1-confidence)/2)
		require.NoError(t, err)
		require.LessOrEqual(t, wider.Lower, got.Lower+1e-12)
		require.GreaterOrEqual(t, wider.Upper, got.Upper-1e-12)
	})
}

func TestADifferenceRefusesCountsThatCannotBe(t *testing.T) {
	t.Parallel()
	_, err := stats.NewcombeDifference(stats.Proportion{}, stats.Proportion{Examined: 5, Infested: 6}, 1)
	require.Equal(t, []string{"/first/examined nothing_examined", "/second/infested out_of_range", "/confidence out_of_range"}, pathsAndCodes(t, err))
}
