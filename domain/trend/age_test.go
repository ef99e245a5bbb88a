package trend_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/trend"
)

// arrived gives what came in the week so many weeks back, with its points.
func arrived(key string, back int, points ...trend.Point) trend.Arrival {
	return trend.Arrival{Key: key, Week: lastWeek.AddDays(-7 * back), Points: points}
}

func atAge(t *testing.T, ages []trend.AtAge, weeks int) trend.AtAge {
	t.Helper()
	for _, a := range ages {
		if a.Weeks == weeks {
			return a
		}
	}
	require.FailNow(t, "no such age")
	return trend.AtAge{}
}

// Both grow alike; the one that came three weeks earlier is ahead on every date and
// on none at the same age.
func TestWhatCameEarlierIsNotCalledWorseForItsAge(t *testing.T) {
	t.Parallel()
	seen := []int{2, 5, 12, 26, 48, 70}
	var early, late []trend.Point
	for age, infested := range seen {
		early = append(early, week(t, 5-age, infested, 100))
		if age < 3 {
			late = append(late, week(t, 2-age, infested, 100))
		}
	}
	_, by := compare(t, contender("early", early...), contender("late", late...))
	require.Equal(t, trend.DiffersHigher, by["early"].Differs, "on the same date")

	ages, err := trend.CompareAtEachAge([]trend.Arrival{arrived("early", 5, early...), arrived("late", 2, late...)})
	require.NoError(t, err)
	require.Len(t, ages, 6)
	for weeks, a := range ages {
		require.Equal(t, weeks, a.Weeks)
		require.Equal(t, weeks < 3, a.Known, "two can be compared while both were looked at")
		for _, g := range a.Groups {
			require.Equal(t, trend.Alike, g.Differs)
			require.Equal(t, seen[weeks], g.Infested)
		}
	}
}

// The counts of TestGroupsAreHeldAgainstEachOther, which are worked by hand there, on
// three dates but at one age.
func TestArrivalsAreHeldAgainstEachOtherAtOneAge(t *testing.T) {
	t.Parallel()
	mixed := arrived("mixed", 4, week(t, 0, 119, 120))
	mixed.Mixed = true
	ages, err := trend.CompareAtEachAge([]trend.Arrival{
		arrived("low", 6, week(t, 2, 6, 120), week(t, 0, 60, 120)),
		arrived("high", 5, week(t, 1, 24, 120), week(t, 6, 120, 120)),
		arrived("middle", 4, week(t, 0, 12, 120)),
		mixed,
	})
	require.NoError(t, err)
	require.Len(t, ages, 2, "neither what was looked at before it came nor the mixed lots")
	a := atAge(t, ages, 4)
	require.Equal(t, []string{"high", "middle", "low"}, keys(a.Comparison))
	require.InDelta(t, 0.001122, a.HomogeneityP, 0.5e-6)
	require.Equal(t, trend.DiffersHigher, a.Groups[0].Differs)
	require.InDelta(t, 0.001489, a.Groups[0].AdjustedP, 0.6e-6)
	require.Equal(t, trend.Alike, a.Groups[1].Differs)
	require.Equal(t, trend.DiffersLower, a.Groups[2].Differs)
	require.False(t, atAge(t, ages, 6).Known, "one by itself")
}

func TestOneOfFiveNeverRanksAboveFifteenOfEighty(t *testing.T) {
	t.Parallel()
	ages, err := trend.CompareAtEachAge([]trend.Arrival{arrived("thin", 3, week(t, 0, 1, 5)), arrived("sure", 4, week(t, 1, 15, 80))})
	require.NoError(t, err)
	require.Equal(t, []string{"sure", "thin"}, keys(ages[0].Comparison))
	require.Greater(t, ages[0].Groups[1].Percent, ages[0].Groups[0].Percent)
}

func TestAnyArrivalsAreComparedAtTheirAges(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		arrivals := make([]trend.Arrival, rapid.IntRange(0, 8).Draw(t, "arrivals"))
		for i := range arrivals {
			arrivals[i] = arrived(strconv.Itoa(i), rapid.IntRange(-1, 5).Draw(t, "came"), drawPoints(t)...)
			arrivals[i].Mixed = rapid.Bool().Draw(t, "mixed")
		}
		ages, err := trend.CompareAtEachAge(arrivals)
		require.NoError(t, err)
		compared := 0
		for i, a := range ages {
			require.GreaterOrEqual(t, a.Weeks, 0)
			require.True(t, i == 0 || ages[i-1].Weeks < a.Weeks)
			for _, g := range a.Groups {
				compared++
				n, err := strconv.Atoi(g.Key)
				require.NoError(t, err)
				require.False(t, arrivals[n].Mixed)
				found := false
				for _, p := range arrivals[n].Points {
					if trend.AgeWeeks(arrivals[n].Week, p.WeekStart) == a.Weeks {
						found = true
						require.Equal(t, p.Plants, g.Plants)
						require.Equal(t, p.Infested, g.Infested)
					}
				}
				require.True(t, found)
			}
		}
		expected := 0
		for _, a := range arrivals {
			for _, p := range a.Points {
				if !a.Mixed && !p.WeekStart.Before(a.Week) {
					expected++
				}
			}
		}
		require.Equal(t, expected, compared, "no look is lost and none counted twice")
	})
}
