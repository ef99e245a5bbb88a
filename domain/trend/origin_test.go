package trend_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/trend"
)

func arrivalNo(n int) domain.ID { return domain.ID{0: 1, 15: byte(n)} }
func houseNo(n int) domain.ID   { return domain.ID{0: 2, 15: byte(n)} }

func traced(arrival, house, week, infested, plants int) trend.Traced {
	return trend.Traced{
		ArrivalID: arrivalNo(arrival), HouseID: houseNo(house), WeekStart: domain.NewDate(2026, time.August, 3).AddDays(7 * week),
		Plants: plants, Infested: infested,
	}
}

func originOf(t require.TestingT, looks []trend.Traced) trend.Origin {
	o, err := trend.OriginOf(looks)
	require.NoError(t, err)
	return o
}

// Admissions of men and women to six departments: Bickel, Hammel and O'Connell
// (1975), Science 187:398-404, the counts as in Agresti (2002), Categorical Data
// Analysis, 2nd ed., table 2.10 (from memory). The sex stands for the arrival, the
// department for the house. The deviances, first and last, are those printed by
// anova of R for both orders, and Pearson's 18.8 on 5 degrees of freedom is in
// Agresti, section 6.3 (from memory): what the sex seems to do, the departments do.
func TestTermsAgreeWithThePublishedAnalysisOfTheAdmissions(t *testing.T) {
	t.Parallel()
	var looks []trend.Traced
	for department, counts := range [][4]int{
		{512, 313, 89, 19}, {353, 207, 17, 8}, {120, 205, 202, 391}, {138, 279, 131, 244}, {53, 138, 94, 299}, {22, 351, 24, 317},
	} {
		for sex := range 2 {
			looks = append(looks, traced(sex, department, 0, counts[2*sex], counts[2*sex]+counts[2*sex+1]))
		}
	}
	o := originOf(t, looks)
	require.InDelta(t, 93.449, o.Arrival.First.Deviance, 6e-4)
	require.InDelta(t, 1.531, o.Arrival.Last.Deviance, 6e-4)
	require.InDelta(t, 855.321, o.House.First.Deviance, 6e-4)
	require.InDelta(t, 763.403, o.House.Last.Deviance, 6e-4)
	require.Equal(t, []int{1, 1, 5, 5}, []int{o.Arrival.First.DF, o.Arrival.Last.DF, o.House.First.DF, o.House.Last.DF})
	require.InDelta(t, 18.8/5, o.Dispersion, 0.01)
	require.Equal(t, trend.FollowsHouse, o.Code)
	require.Equal(t, trend.OriginStrong, o.Strength)
	require.Equal(t, 4526, o.Plants)
	require.Equal(t, 1755, o.Infested)
	require.Equal(t, []int{2, 6, 1}, []int{o.Arrivals, o.Houses, o.Weeks})
}

// cross has every arrival in every house, in each of so many weeks.
func cross(arrivals, houses, weeks int, infested func(arrival, house, week int) int) []trend.Traced {
	var looks []trend.Traced
	for arrival := range arrivals {
		for house := range houses {
			for week := range weeks {
				looks = append(looks, traced(arrival, house, week, infested(arrival, house, week), 20))
			}
		}
	}
	return looks
}

func TestNothingIsSaidWhereNothingCanBe(t *testing.T) {
	t.Parallel()
	constant := func(n int) func(int, int, int) int { return func(int, int, int) int { return n } }
	for name, c := range map[string]struct {
		looks []trend.Traced
		want  trend.OriginBecause
	}{
		"no looks":                     {nil, trend.OriginNoLooks},
		"looks without plants":         {[]trend.Traced{traced(1, 1, 1, 0, 0)}, trend.OriginNoLooks},
		"none infested":                {cross(4, 3, 4, constant(0)), trend.OriginNoneInfested},
		"all infested":                 {cross(4, 3, 4, constant(20)), trend.OriginAllInfested},
		"one arrival in one house":     {cross(1, 1, 9, constant(5)), trend.OriginOneArrivalAndHouse},
		"nine infested":                {append(cross(4, 3, 4, constant(0)), traced(1, 1, 1, 9, 20)), trend.OriginTooFew},
		"nine free":                    {append(cross(4, 3, 4, constant(20)), traced(1, 1, 1, 11, 20)), trend.OriginTooFew},
		"two lines":                    {[]trend.Traced{traced(1, 1, 0, 5, 20), traced(2, 2, 0, 15, 20)}, trend.OriginTooFew},
		"alike, but few to deny it by": {cross(2, 2, 4, constant(5)), trend.OriginTooFew},
	} {
		o := originOf(t, c.looks)
		require.Equal(t, trend.OriginCannotBeSaid, o.Code, name)
		require.Equal(t, c.want, o.Because, name)
		require.Equal(t, trend.OriginNone, o.Strength, name)
	}
}

func TestOneHouseOrOneArrivalStillShowsTheOther(t *testing.T) {
	t.Parallel()
	// Every third arrival has 12 of 20 infested, the others 2, a little more each week.
	byArrival := func(arrival, _, week int) int {
		if arrival%3 == 0 {
			return 12 + week/2
		}
		return 2 + week/2
	}
	o := originOf(t, cross(6, 1, 6, byArrival))
	require.Equal(t, trend.FollowsArrival, o.Code)
	require.Equal(t, trend.OriginWeak, o.Strength, "a patch in the house would look the same")
	require.Equal(t, trend.OriginTerm{Levels: 1, First: trend.TermDeviance{P: 1}, Last: trend.TermDeviance{P: 1}}, o.House)

	o = originOf(t, cross(1, 6, 6, func(_, house, week int) int { return byArrival(house, 0, week) }))
	require.Equal(t, trend.FollowsHouse, o.Code)
	require.Equal(t, trend.OriginWeak, o.Strength)

	o = originOf(t, cross(6, 3, 6, byArrival))
	require.Equal(t, trend.FollowsArrival, o.Code)
	require.Equal(t, trend.OriginStrong, o.Strength, "the same in three houses")

	o = originOf(t, cross(6, 3, 6, func(int, int, int) int { return 5 }))
	require.Equal(t, trend.FollowsNeither, o.Code)
	require.Equal(t, trend.OriginNone, o.Strength)
}

// Lots and houses with none or all of their plants infested have no finite log
// odds. What they explain has a closed form where there is one week and the
// houses are alike: the deviance of the arrivals' sums.
func TestArrivalsWithNoneOrAllInfestedAreCompared(t *testing.T) {
	t.Parallel()
	infested := []int{0, 20, 0, 5}
	o := originOf(t, cross(4, 3, 1, func(arrival, _, _ int) int { return infested[arrival] }))
	want := 0.0
	for _, x := range infested { // of the 240 plants 75 are infested
		for _, part := range [][2]float64{{float64(3 * x), 60 * 75 / 240.0}, {float64(60 - 3*x), 60 * 165 / 240.0}} {
			if part[0] > 0 {
				want += 2 * part[0] * math.Log(part[0]/part[1])
			}
		}
	}
	require.InDelta(t, want, o.Arrival.First.Deviance, 1e-6)
	require.InDelta(t, want, o.Arrival.Last.Deviance, 1e-6)
	require.InDelta(t, 0, o.House.Last.Deviance, 1e-6)
	require.Equal(t, trend.FollowsArrival, o.Code)
}

// One arrival of six is infested, in all three houses or in one; the others never.
func TestOneArrivalInfestedEverywhereIsToldFromOnePatch(t *testing.T) {
	t.Parallel()
	o := originOf(t, cross(6, 3, 4, func(arrival, house, week int) int {
		if arrival == 2 {
			return 1 + (house+week)%3
		}
		return 0
	}))
	require.Equal(t, trend.FollowsArrival, o.Code)
	require.Less(t, o.Arrival.Last.P, 0.01)
	require.Equal(t, trend.OriginClear, o.Strength)

	o = originOf(t, cross(6, 3, 4, func(arrival, house, week int) int {
		if arrival == 2 && house == 1 {
			return 4 + week
		}
		return 0
	}))
	require.Less(t, o.House.Last.P, 0.05)
	require.Less(t, o.Arrival.Last.P, 0.05)
	require.Equal(t, trend.CannotBeToldApart, o.Code)
}

func TestArrivalsThatEachHaveAHouseOfTheirOwnCannotBeToldFromIt(t *testing.T) {
	t.Parallel()
	var looks []trend.Traced
	for n, infested := range []int{1, 2, 12, 3, 14, 2} {
		for week := range 6 {
			looks = append(looks, traced(n, n, week, infested, 20))
		}
	}
	o := originOf(t, looks)
	require.Equal(t, trend.CannotBeToldApart, o.Code)
	require.Equal(t, trend.OriginConfounded, o.Because)
	require.Equal(t, trend.OriginNone, o.Strength)
	require.Equal(t, 5, o.Arrival.First.DF)
	require.Equal(t, trend.TermDeviance{P: 1}, o.Arrival.Last)
}

func TestOriginRefusesContradictingCounts(t *testing.T) {
	t.Parallel()
	for _, look := range []trend.Traced{traced(1, 1, 1, 5, 4), traced(1, 1, 1, -1, 4), traced(1, 1, 1, 1, 0), traced(1, 1, 1, -3, -2)} {
		_, err := trend.OriginOf(append(cross(2, 2, 2, func(int, int, int) int { return 5 }), look))
		var faults domain.Faults
		require.ErrorAs(t, err, &faults, "%v", look)
	}
}

func someTraced(t *rapid.T) []trend.Traced {
	arrivals, houses, weeks := rapid.IntRange(1, 8).Draw(t, "arrivals"), rapid.IntRange(1, 5).Draw(t, "houses"), rapid.IntRange(1, 5).Draw(t, "weeks")
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) trend.Traced {
		plants := rapid.OneOf(rapid.IntRange(0, 60), rapid.IntRange(0, 5000)).Draw(t, "plants")
		infested := rapid.OneOf(rapid.IntRange(0, plants), rapid.SampledFrom([]int{0, plants}), rapid.IntRange(0, min(plants, 2))).Draw(t, "infested")
		return traced(rapid.IntRange(1, arrivals).Draw(t, "arrival"), rapid.IntRange(1, houses).Draw(t, "house"), rapid.IntRange(1, weeks).Draw(t, "week"), infested, plants)
	}), 0, 80).Draw(t, "looks")
}

func TestAnyLooksGiveANumberOrAReason(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		looks := someTraced(t)
		o := originOf(t, looks)
		silent := o.Code == trend.OriginCannotBeSaid || o.Code == trend.CannotBeToldApart
		require.Equal(t, silent, o.Because != "")
		require.Equal(t, silent || o.Code == trend.FollowsNeither, o.Strength == trend.OriginNone)
		if o.Analysed {
			require.GreaterOrEqual(t, o.Dispersion, 1.0)
		}
		for _, term := range []trend.OriginTerm{o.Arrival, o.House} {
			for _, x := range []trend.TermDeviance{term.First, term.Last} {
				require.True(t, x.Deviance >= 0 && x.P >= 0 && x.P <= 1 && !math.IsInf(x.Deviance, 0), "%v", x)
				require.True(t, x.DF >= 0 && x.DF < max(1, term.Levels), "%v", x)
			}
			require.LessOrEqual(t, term.Last.DF, term.First.DF)
		}
		require.False(t, math.IsNaN(o.Dispersion) || math.IsInf(o.Dispersion, 0))

		swapped := make([]trend.Traced, len(looks))
		for i, look := range rapid.Permutation(looks).Draw(t, "order") {
			swapped[i] = look
			swapped[i].ArrivalID, swapped[i].HouseID = look.HouseID, look.ArrivalID
		}
		other := originOf(t, swapped)
		require.InDelta(t, o.Arrival.Last.Deviance, other.House.Last.Deviance, 1e-5*(1+o.Arrival.Last.Deviance), "arrival and house are asked alike")
		require.InDelta(t, o.House.First.Deviance, other.Arrival.First.Deviance, 1e-5*(1+o.House.First.Deviance))
	})
}
