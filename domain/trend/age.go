package trend

import (
	"fmt"
	"slices"

	"benchtrail/domain"
)

// Arrival is all that arrived in one week, and what was seen of it since.
type Arrival struct {
	Key    string
	Week   domain.Date // the Monday of the week it arrived in; of a mixed lot, its first plants
	Mixed  bool        // lots of several arrivals, which have no single age
	Points []Point
}

// AgeWeeks gives the weeks from a week of arrival to a later week, both by their
// Mondays: 0 in the week of arrival, below 0 before it.
func AgeWeeks(arrived, week domain.Date) int { return arrived.DaysUntil(week) / 7 }

// AtAge is the arrivals held against each other at one age.
type AtAge struct {
	Weeks int // since the week of arrival
	Comparison
}

// CompareAtEachAge holds arrivals against each other as they were so many weeks after
// they came, each by the looks of that one week, so that the plants that came early
// are not called worse for having had more time. Mixed lots are left out, since part
// of them is younger than the rest, and so are looks from before the arrival. The
// ages are in order, those that any arrival was looked at.
//
// How the groups of an age are ranked and tested is as in [Compare]; From and To are
// not set.
//
// Errors are those of [Compare].
func CompareAtEachAge(arrivals []Arrival) ([]AtAge, error) {
	at := map[int][]Contender{}
	for _, a := range arrivals {
		if a.Mixed {
			continue
		}
		for _, p := range a.Points {
			if age := AgeWeeks(a.Week, p.WeekStart); age >= 0 && p.Plants > 0 {
				at[age] = append(at[age], Contender{Key: a.Key, Points: []Point{p}})
			}
		}
	}
	ages := make([]AtAge, 0, len(at))
	for weeks, groups := range at {
		c, err := hold(groups)
		if err != nil {
			return nil, fmt.Errorf("%d weeks after arrival: %w", weeks, err)
		}
		ages = append(ages, AtAge{Weeks: weeks, Comparison: c})
	}
	slices.SortFunc(ages, func(a, b AtAge) int { return a.Weeks - b.Weeks })
	return ages, nil
}
