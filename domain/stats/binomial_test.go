package stats_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

func TestSampleSizesWithoutALotAgreeWithTable3OfISPM31(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		Efficacy   float64
		Level      float64 `json:"level_of_detection"`
		Confidence float64
		Exact      int `json:"n_exact"`
		Printed    int `json:"n_recalled"`
	}
	var all differences
	for _, c := range published[fileCase](t, "ispm31_table3_binomial_efficacy") {
		got, err := stats.SampleSizeToDetectWithoutLot(c.Level, c.Confidence, c.Efficacy)
		require.NoError(t, err)
		require.True(t, got.Attainable)
		require.Equal(t, stats.MethodBinomial, got.Method)
		require.Zero(t, all.add(float64(got.Units), float64(c.Exact)), "%+v: got %d", c, got.Units)
		require.Zero(t, all.add(float64(got.Units), float64(c.Printed)), "%+v: got %d", c, got.Units)
	}
	all.log(t, "printed and recomputed")
}

// 1-1/2^10 of confidence is met by exactly ten units at one half.
func TestAnExactTieWithoutALotCountsAsMet(t *testing.T) {
	t.Parallel()
	for level, confidence := range map[float64]float64{0.5: 1 - 1./1024, 0.9: 0.9999999999} {
		got, err := stats.SampleSizeToDetectWithoutLot(level, confidence, 1)
		require.NoError(t, err)
		require.Equal(t, 10, got.Units)
	}
}

func TestTheSampleWithoutALotIsTheSmallestThatWillDo(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		level := rapid.OneOf(rapid.Just(1.0), rapid.Float64Range(1e-6, 1)).Draw(t, "level")
		confidence := rapid.Float64Range(0.01, 0.9999999).Draw(t, "confidence")
		sensitivity := rapid.OneOf(rapid.Just(1.0), rapid.Float64Range(stats.SmallestSensitivity, 1)).Draw(t, "sensitivity")
		got, err := stats.SampleSizeToDetectWithoutLot(level, confidence, sensitivity)
		require.NoError(t, err)
		require.GreaterOrEqual(t, got.Units, 1)
		missed := 1 - sensitivity*level
		require.InDelta(t, 1-math.Pow(missed, float64(got.Units)), got.ConfidenceReached, 1e-6)
		require.GreaterOrEqual(t, got.ConfidenceReached, confidence-1e-11)
		require.Less(t, 1-math.Pow(missed, float64(got.Units-1)), confidence+1e-9)
	})
}

func TestALevelTooLowForAnySampleIsTold(t *testing.T) {
	t.Parallel()
	for _, level := range []float64{1e-12, 5e-324} {
		got, err := stats.SampleSizeToDetectWithoutLot(level, 0.95, 0.5)
		require.NoError(t, err)
		require.False(t, got.Attainable)
		require.Zero(t, got.Units)
		require.Equal(t, stats.ReasonSampleTooLarge, got.Reason)
		require.Less(t, got.ConfidenceReached, 0.95)
	}
	_, err := stats.SampleSizeToDetectWithoutLot(0, 1, math.NaN())
	require.Equal(t, []string{"/detection out_of_range", "/confidence out_of_range", "/sensitivity out_of_range"}, pathsAndCodes(t, err))
}
