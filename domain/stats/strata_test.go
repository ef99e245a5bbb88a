package stats_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

// The examples by which the method of largest remainders is usually explained,
// from memory: 100,000 votes for ten seats, and the Alabama paradox, in which an
// eleventh seat takes one from the smallest.
func TestASampleIsSharedOutByLargestRemainders(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		units       int
		sizes, want []int
	}{
		{10, []int{47_000, 16_000, 15_800, 12_000, 6_100, 3_100}, []int{5, 2, 1, 1, 1, 0}},
		{10, []int{6, 6, 2}, []int{4, 4, 2}},
		{11, []int{6, 6, 2}, []int{5, 5, 1}},
		{1, []int{5, 5}, []int{1, 0}}, // of equals, the first
		{2, []int{1, 3}, []int{0, 2}}, // both remainders are a half: the larger stratum
		{0, []int{3, 4}, []int{0, 0}},
		{7, []int{3, 0, 4}, []int{3, 0, 4}},
	} {
		got, err := stats.SharedOut(c.units, c.sizes)
		require.NoError(t, err)
		require.Equal(t, c.want, got, "%+v", c)
	}
}

func TestNoStratumIsFurtherThanOneUnitFromItsQuota(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		sizes := rapid.SliceOfN(rapid.OneOf(rapid.IntRange(0, 20), rapid.IntRange(0, 10_000_000)), 1, 40).Draw(t, "sizes")
		sizes[0]++
		total := 0
		for _, size := range sizes {
			total += size
		}
		units := rapid.OneOf(rapid.IntRange(0, total), rapid.IntRange(0, min(total, 600))).Draw(t, "units")
		got, err := stats.SharedOut(units, sizes)
		require.NoError(t, err)
		sum := 0
		for i, taken := range got {
			sum += taken
			require.True(t, taken >= 0 && taken <= sizes[i])
			require.Less(t, max(taken*total-units*sizes[i], units*sizes[i]-taken*total), total)
			for j := range got {
				if sizes[i] > sizes[j] {
					require.GreaterOrEqual(t, taken, got[j], "a larger stratum never gets less")
				}
			}
		}
		require.Equal(t, units, sum)
	})
}

func TestSharingOutRefusesWhatCannotBe(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		units  int
		sizes  []int
		faults []string
	}{
		{1, nil, []string{"/sizes out_of_range"}},
		{1, make([]int, stats.MostStrata+1), []string{"/sizes out_of_range"}},
		{1, []int{0, 0}, []string{"/sizes out_of_range"}},
		{1, []int{stats.LargestCount, 1}, []string{"/sizes out_of_range"}},
		{1, []int{5, -1, stats.LargestCount + 1}, []string{"/sizes/1 out_of_range", "/sizes/2 out_of_range"}},
		{6, []int{5}, []string{"/units out_of_range"}},
		{-1, []int{5}, []string{"/units out_of_range"}},
	} {
		_, err := stats.SharedOut(c.units, c.sizes)
		require.Equal(t, c.faults, pathsAndCodes(t, err))
	}
}
