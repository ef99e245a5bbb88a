package stats_test

import (
	"math"
	"math/big"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

// Small lots are counted out in exact fractions, ties included.
func TestSampleSizesOfSmallLotsAgreeWithExactFractions(t *testing.T) {
	t.Parallel()
	cases, ties := 0, 0
	for _, sensitivity := range []*big.Rat{big.NewRat(1, 1), big.NewRat(9, 10), big.NewRat(1, 2), big.NewRat(1, 20)} {
		for _, confidence := range []*big.Rat{big.NewRat(1, 2), big.NewRat(4, 5), big.NewRat(19, 20), big.NewRat(99, 100)} {
			for _, lot := range []int{1, 2, 3, 5, 10, 20, 25, 40} {
				for infested := 1; infested <= lot; infested++ {
					c, _ := confidence.Float64()
					s, _ := sensitivity.Float64()
					want := smallestSampleByCounting(lot, infested, confidence, sensitivity)
					got, err := stats.SampleSizeToDetect(lot, float64(infested)/float64(lot), c, s)
					require.NoError(t, err)
					require.Equal(t, infested, got.InfestedUnits)
					require.Equal(t, want, got.Units, "lot %d, infested %d, confidence %v, sensitivity %v", lot, infested, confidence, sensitivity)
					require.Equal(t, want > 0, got.Attainable)
					cases++
					limit := new(big.Rat).Sub(big.NewRat(1, 1), confidence)
					if want > 0 && chanceToOverlook(lot, infested, want, sensitivity).Cmp(limit) == 0 {
						ties++
					}
				}
			}
		}
	}
	require.Positive(t, ties)
	t.Logf("%d cases, %d of them exact ties", cases, ties)
}

func TestConfidenceReachedAgreesWithExactFractions(t *testing.T) {
	t.Parallel()
	var all differences
	for _, lot := range []int{1, 2, 17, 18, 60, 150} {
		for infested := 1; infested <= lot; infested += 1 + lot/15 {
			for examined := 0; examined <= lot; examined += 1 + lot/15 {
				for _, sensitivity := range []*big.Rat{big.NewRat(1, 1), big.NewRat(4, 5), big.NewRat(1, 100)} {
					s, _ := sensitivity.Float64()
					overlooked, _ := chanceToOverlook(lot, infested, examined, sensitivity).Float64()
					got, err := stats.ConfidenceReached(lot, examined, float64(infested)/float64(lot), s)
					require.NoError(t, err)
					require.Less(t, all.add(got, 1-overlooked), 2e-14, "lot %d, infested %d, examined %d, sensitivity %v", lot, infested, examined, s)
				}
			}
		}
	}
	all.log(t, "exact fractions")
}

// With 1 infested unit the chance to recognise it is sensitivity*n/N; with 2, by
// inclusion and exclusion, 2*s*n/N - s^2*n(n-1)/(N(N-1)). Both hold for any lot.
func TestConfidenceReachedInVeryLargeLotsMatchesClosedForms(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lot := rapid.IntRange(1000, stats.LargestCount).Draw(t, "lot")
		examined := rapid.IntRange(0, lot).Draw(t, "examined")
		s := rapid.Float64Range(stats.SmallestSensitivity, 1).Draw(t, "sensitivity")
		n, size := float64(examined), float64(lot)
		one, err := stats.ConfidenceReached(lot, examined, 1/size, s)
		require.NoError(t, err)
		require.InDelta(t, s*n/size, one, 1e-13)
		two, err := stats.ConfidenceReached(lot, examined, 2/size, s)
		require.NoError(t, err)
		require.InDelta(t, 2*s*n/size-s*s*n/size*(n-1)/(size-1), two, 1e-13)
	})
}

type detectionCase struct {
	lot                                int
	detection, confidence, sensitivity float64
}

func someDetection(t *rapid.T) detectionCase {
	lot := rapid.OneOf(rapid.IntRange(1, 3000), rapid.IntRange(1, stats.LargestCount)).Draw(t, "lot")
	infested := rapid.OneOf(rapid.IntRange(1, min(lot, 50)), rapid.IntRange(1, lot)).Draw(t, "infested")
	return detectionCase{
		lot:         lot,
		detection:   float64(infested) / float64(lot),
		confidence:  rapid.Float64Range(0.01, 0.9999999).Draw(t, "confidence"),
		sensitivity: rapid.OneOf(rapid.Just(1.0), rapid.Float64Range(stats.SmallestSensitivity, 1)).Draw(t, "sensitivity"),
	}
}

func TestTheSampleSizeIsTheSmallestThatWillDo(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := someDetection(t)
		requireSound(t, c)
	})
}

// requireSound checks a result by the confidence of its sample and of one unit
// fewer, which are found without the search.
func requireSound(t require.TestingT, c detectionCase) {
	const slack = 2e-12
	got, err := stats.SampleSizeToDetect(c.lot, c.detection, c.confidence, c.sensitivity)
	if err != nil {
		require.NotEmpty(t, pathsAndCodes(t, err))
		require.Equal(t, stats.Detection{}, got)
		return
	}
	require.False(t, math.IsNaN(got.ConfidenceReached))
	require.GreaterOrEqual(t, got.ConfidenceReached, 0.0)
	require.LessOrEqual(t, got.ConfidenceReached, 1.0)
	require.Equal(t, got.Attainable, got.Reason == "")
	require.NotEmpty(t, got.Method.Source())
	if !got.Attainable {
		require.Zero(t, got.Units)
		require.Less(t, got.ConfidenceReached, c.confidence)
		return
	}
	require.GreaterOrEqual(t, got.Units, 1)
	require.LessOrEqual(t, got.Units, c.lot)
	reached, err := stats.ConfidenceReached(c.lot, got.Units, c.detection, c.sensitivity)
	require.NoError(t, err)
	require.Equal(t, got.ConfidenceReached, reached)
	require.GreaterOrEqual(t, reached, c.confidence-slack)
	fewer, err := stats.ConfidenceReached(c.lot, got.Units-1, c.detection, c.sensitivity)
	require.NoError(t, err)
	require.Less(t, fewer, c.confidence+slack)
	require.LessOrEqual(t, fewer, reached)
}

func TestMoreConfidenceOrLessSensitivityNeverNeedsFewerUnits(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := someDetection(t)
		base, err := stats.SampleSizeToDetect(c.lot, c.detection, c.confidence, c.sensitivity)
		require.NoError(t, err)
		surer, err := stats.SampleSizeToDetect(c.lot, c.detection, rapid.Float64Range(c.confidence, 0.99999999).Draw(t, "surer"), c.sensitivity)
		require.NoError(t, err)
		blinder, err := stats.SampleSizeToDetect(c.lot, c.detection, c.confidence, rapid.Float64Range(stats.SmallestSensitivity, c.sensitivity).Draw(t, "blinder"))
		require.NoError(t, err)
		for _, harder := range []stats.Detection{surer, blinder} {
			if harder.Attainable {
				require.True(t, base.Attainable)
				require.GreaterOrEqual(t, harder.Units, base.Units)
			}
		}
	})
}

func TestTheLevelRuledOutIsTheSmallestTheSampleDetects(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := someDetection(t)
		examined := rapid.IntRange(1, c.lot).Draw(t, "examined")
		level, err := stats.DetectableLevel(c.lot, examined, c.confidence, c.sensitivity)
		require.NoError(t, err)
		if !level.Attainable {
			require.Equal(t, stats.ReasonSampleTooSmall, level.Reason)
			whole, err := stats.ConfidenceReached(c.lot, examined, 1, c.sensitivity)
			require.NoError(t, err)
			require.Less(t, whole, c.confidence)
			return
		}
		needed, err := stats.SampleSizeToDetect(c.lot, level.Share, c.confidence, c.sensitivity)
		require.NoError(t, err)
		require.Equal(t, level.InfestedUnits, needed.InfestedUnits)
		require.True(t, needed.Attainable)
		require.LessOrEqual(t, needed.Units, examined)
		if level.InfestedUnits > 1 {
			below := float64(level.InfestedUnits-1) / float64(c.lot)
			missed, err := stats.SampleSizeToDetect(c.lot, below, c.confidence, c.sensitivity)
			require.NoError(t, err)
			require.True(t, !missed.Attainable || missed.Units > examined)
		}
	})
}

func FuzzSampleSizeToDetect(f *testing.F) {
	f.Add(1000, 0.05, 0.95, 1.0)
	f.Add(100, 0.01, 0.95, 1.0)
	f.Add(200, 0.02, 0.95, 0.5)
	f.Add(stats.LargestCount, 1e-9, 0.999999, 0.01)
	f.Add(stats.LargestCount, 0.5, 0.9999999999999999, 0.01)
	f.Add(stats.LargestCount, 3e-5, 0.95, 1.0)
	f.Add(1, 1.0, 5e-324, 1.0)
	f.Add(0, math.NaN(), math.Inf(-1), math.NaN())
	f.Fuzz(func(t *testing.T, lot int, detection, confidence, sensitivity float64) {
		begun := time.Now()
		requireSound(t, detectionCase{lot, detection, confidence, sensitivity})
		require.Less(t, time.Since(begun), time.Second)
	})
}
