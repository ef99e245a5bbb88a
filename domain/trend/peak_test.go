package trend_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/trend"
)

func TestThePeakIsNotAHandfulOfPlants(t *testing.T) {
	t.Parallel()
	peak, known := trend.Peak([]trend.Point{week(t, 3, 1, 80), week(t, 2, 15, 80), week(t, 1, 1, 5), week(t, 0, 2, 80)})
	require.True(t, known)
	require.Equal(t, []int{15, 80}, []int{peak.Infested, peak.Plants})
	_, known = trend.Peak(nil)
	require.False(t, known)
	first, _ := trend.Peak([]trend.Point{week(t, 1, 0, 80), week(t, 0, 0, 80)})
	require.Equal(t, lastWeek.AddDays(-7), first.WeekStart)
}

func TestTheWeekOfTodayIsNotFinished(t *testing.T) {
	t.Parallel()
	weeks := []trend.Sample{trend.SampleOf(lastWeek.AddDays(-7), nil, 0, 0), trend.SampleOf(lastWeek, nil, 0, 0)}
	require.Len(t, trend.Finished(weeks, lastWeek.AddDays(6)), 1, "on its Sunday")
	require.Len(t, trend.Finished(weeks, lastWeek.AddDays(7)), 2, "on the Monday after")
	require.Empty(t, trend.Finished(nil, lastWeek))
}
