package trend_test

import (
	"encoding/json"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/trend"
)

// wilsonCase is x of n with its published interval.
type wilsonCase struct {
	X, N         int
	Confidence   float64
	Method       string
	Lower, Upper float64
	Published    []float64 `json:"published_4dp"`
}

// wilsonCases are those at the confidence of the pages, from the file of published
// values: Newcombe RG (1998), Stat. Med. 17:857-872, table I, method 3.
func wilsonCases(t *testing.T) []wilsonCase {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/ci_proportion_newcombe1998.json")
	require.NoError(t, err)
	var file struct{ Cases []wilsonCase }
	require.NoError(t, json.Unmarshal(text, &file))
	cases := slices.DeleteFunc(file.Cases, func(c wilsonCase) bool { return c.Method != "wilson" || c.Confidence != trend.Confidence })
	require.NotEmpty(t, cases)
	return cases
}

func TestAPointHasThePublishedWilsonInterval(t *testing.T) {
	t.Parallel()
	for _, c := range wilsonCases(t) {
		point, err := trend.PointOf(trend.Counts{Plants: c.N, Infested: c.X})
		require.NoError(t, err)
		require.InDelta(t, 100*float64(c.X)/float64(c.N), point.Percent, 1e-9)
		require.InDelta(t, 100*c.Lower, point.LowerPercent, 1e-7, "%d of %d", c.X, c.N)
		require.InDelta(t, 100*c.Upper, point.UpperPercent, 1e-7, "%d of %d", c.X, c.N)
		if len(c.Published) == 2 {
			require.InDelta(t, 100*c.Published[0], point.LowerPercent, 0.5e-2+1e-9)
			require.InDelta(t, 100*c.Published[1], point.UpperPercent, 0.5e-2+1e-9)
		}
	}
}

// Wilson's formula worked out apart from this program, to one decimal: 4 of 18 is
// 22.2 % (9.0 to 45.2), 12 of 60 is 20 % (11.8 to 31.8).
func TestAPointIsTheRatioOfItsSums(t *testing.T) {
	t.Parallel()
	counts := trend.Counts{WeekStart: domain.NewDate(2026, time.September, 14), Looks: 1, Blocks: 1, Plants: 18, Infested: 4}
	point, err := trend.PointOf(counts)
	require.NoError(t, err)
	require.Equal(t, counts, point.Counts)
	require.InDelta(t, 22.2, point.Percent, 0.05)
	require.InDelta(t, 9.0, point.LowerPercent, 0.05)
	require.InDelta(t, 45.2, point.UpperPercent, 0.05)

	point, err = trend.PointOf(trend.Counts{Plants: 60, Infested: 12})
	require.NoError(t, err)
	require.InDelta(t, 20, point.Percent, 1e-9)
	require.InDelta(t, 11.8, point.LowerPercent, 0.05)
	require.InDelta(t, 31.8, point.UpperPercent, 0.05)
}

func TestAPointLiesInItsInterval(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		plants := rapid.IntRange(1, 100_000).Draw(t, "plants")
		infested := rapid.IntRange(0, plants).Draw(t, "infested")
		point, err := trend.PointOf(trend.Counts{Plants: plants, Infested: infested})
		require.NoError(t, err)
		require.LessOrEqual(t, 0.0, point.LowerPercent)
		require.LessOrEqual(t, point.LowerPercent, point.Percent+1e-9)
		require.LessOrEqual(t, point.Percent, point.UpperPercent+1e-9)
		require.LessOrEqual(t, point.UpperPercent, 100.0)
		require.Less(t, point.LowerPercent, point.UpperPercent, "no count is certain")
	})
}

func TestAWeekWithoutPlantsHasNoShare(t *testing.T) {
	t.Parallel()
	for name, counts := range map[string]trend.Counts{
		"no plants": {}, "more infested than looked at": {Plants: 3, Infested: 4},
	} {
		counts.WeekStart = domain.NewDate(2026, time.September, 14)
		_, err := trend.PointOf(counts)
		var faults domain.Faults
		require.ErrorAs(t, err, &faults, name)
		require.ErrorContains(t, err, "week of 2026-09-14")
	}
}
