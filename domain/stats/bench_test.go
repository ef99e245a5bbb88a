package stats_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/stats"
)

func BenchmarkSampleSizeToDetect(b *testing.B) {
	for _, c := range []detectionCase{
		{1000, 0.05, 0.95, 1},
		{200_000, 0.05, 0.95, 1},
		{200_000, 0.001, 0.99, 1},
		{200_000, 0.001, 0.99, 0.8},
		{200_000, 5e-6, 0.95, 1},
		{stats.LargestCount, 1e-9, 0.95, 1},
		{stats.LargestCount, 3e-5, 0.95, 1},
		{stats.LargestCount, 3e-5, 0.95, 0.8},
		{stats.LargestCount, 1e-7, 0.99, 0.5},
		{stats.LargestCount, 0.001, 1 - 1e-15, 0.01},
		{stats.LargestCount, 1e-5, 1 - 1e-15, 0.01},
	} {
		name := fmt.Sprintf("lot %d, level %v, confidence %v, sensitivity %v", c.lot, c.detection, c.confidence, c.sensitivity)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				_, err := stats.SampleSizeToDetect(c.lot, c.detection, c.confidence, c.sensitivity)
				require.NoError(b, err)
			}
		})
	}
}

func BenchmarkConfidenceReachedWorstCase(b *testing.B) {
	for b.Loop() {
		_, err := stats.ConfidenceReached(stats.LargestCount, 250_000, 0.27, stats.SmallestSensitivity)
		require.NoError(b, err)
	}
}

func BenchmarkIntervals(b *testing.B) {
	for method, rule := range intervalRules() {
		for _, p := range []stats.Proportion{{Examined: 60, Infested: 12}, {Examined: stats.LargestCount, Infested: 400_000_000}} {
			b.Run(fmt.Sprintf("%s %d of %d", method, p.Infested, p.Examined), func(b *testing.B) {
				for b.Loop() {
					_, err := rule(p, 0.95)
					require.NoError(b, err)
				}
			})
		}
	}
}
