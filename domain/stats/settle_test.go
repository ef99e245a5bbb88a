package stats_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

// holds reports whether Wilson's interval of a share holds the limit.
func holds(t require.TestingT, p stats.Proportion, limit, confidence float64) bool {
	interval, err := stats.Wilson(p, confidence)
	require.NoError(t, err)
	return interval.Lower <= limit && limit <= interval.Upper
}

// With nothing found the upper end of Wilson's interval is z^2/(n+z^2), which
// falls below a limit L once n exceeds z^2 (1-L)/L: with z = 1.96 that is 15.4 for
// 20 %, 51.04 for 7 % and 72.99 for 5 %, worked out by hand.
func TestWithNothingFoundTheNumberFollowsFromTheClosedForm(t *testing.T) {
	t.Parallel()
	for limit, want := range map[float64]int{0.20: 16, 0.07: 52, 0.05: 73} {
		n, ok := stats.ExaminedToSettle(stats.Proportion{Examined: 10}, limit, 0.95)
		require.True(t, ok)
		require.Equal(t, want, n)
		require.True(t, holds(t, stats.Proportion{Examined: want - 1}, limit, 0.95))
		require.False(t, holds(t, stats.Proportion{Examined: want}, limit, 0.95))
	}
}

// At every number of units that can show the same share, the interval holds the
// limit below the answer and leaves it out from the answer on.
func TestTheAnswerIsWhereTheIntervalLetsGoOfTheLimit(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		base := rapid.IntRange(1, 60).Draw(t, "base")
		infested := rapid.IntRange(0, base).Draw(t, "infested of the base")
		limit := float64(rapid.IntRange(1, 99).Draw(t, "limit")) / 100
		confidence := rapid.SampledFrom([]float64{0.80, 0.90, 0.95, 0.99}).Draw(t, "confidence")
		at := func(times int) stats.Proportion {
			return stats.Proportion{Examined: times * base, Infested: times * infested}
		}
		n, ok := stats.ExaminedToSettle(at(1), limit, confidence)
		if !ok {
			require.True(t, holds(t, at(stats.MostToSettle/base-1), limit, confidence), "so many units do not settle it")
			return
		}
		require.GreaterOrEqual(t, n, base)
		below, from := (n-1)/base, (n+base-1)/base
		if below > 0 {
			require.True(t, holds(t, at(below), limit, confidence), "%d are too few", below*base)
		}
		require.False(t, holds(t, at(from), limit, confidence), "%d are enough", from*base)
		require.False(t, holds(t, at(from+1), limit, confidence))
		require.False(t, holds(t, at(10*from), limit, confidence))
	})
}

func TestWhatIsSettledNeedsNoMore(t *testing.T) {
	t.Parallel()
	n, ok := stats.ExaminedToSettle(stats.Proportion{Examined: 60, Infested: 30}, 0.20, 0.95)
	require.True(t, ok)
	require.Equal(t, 60, n)
}

func TestAShareOnTheLimitIsNeverSettled(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		p                 stats.Proportion
		limit, confidence float64
	}{
		"on the limit":            {stats.Proportion{Examined: 60, Infested: 12}, 0.20, 0.95},
		"too near to it":          {stats.Proportion{Examined: 1000, Infested: 201}, 0.20, 0.95},
		"nothing examined":        {stats.Proportion{}, 0.20, 0.95},
		"a limit of nothing":      {stats.Proportion{Examined: 60}, 0, 0.95},
		"a limit of all":          {stats.Proportion{Examined: 60, Infested: 60}, 1, 0.95},
		"no confidence":           {stats.Proportion{Examined: 60, Infested: 1}, 0.20, 0},
		"more than is ever known": {stats.Proportion{Examined: 60, Infested: 1}, 0.20, 1},
	} {
		n, ok := stats.ExaminedToSettle(c.p, c.limit, c.confidence)
		require.False(t, ok, name)
		require.Zero(t, n, name)
	}
}
