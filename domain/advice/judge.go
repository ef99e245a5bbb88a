package advice

import (
	"benchtrail/domain"
	"benchtrail/domain/trend"
)

// Standing is where a reading stands to its limit.
type Standing string

// The standings.
const (
	Below    Standing = "below"     // the whole interval lies under the limit
	Above    Standing = "above"     // the whole interval lies over it
	TooClose Standing = "too_close" // the interval holds the limit
	TooFew   Standing = "too_few"   // fewer plants than the limit asks for; see Threshold.Smallest
	NoLimit  Standing = "no_limit"
	NoLooks  Standing = "no_looks"
)

// Answer is the sentence a reading begins with, before it is put into words.
type Answer struct {
	Standing   Standing
	Point      trend.Point // the latest; unset for NoLooks
	Limit      Threshold   // unset for NoLooks and NoLimit
	MorePlants int         // that would settle it if the share stays as it is; 0 when unknown or none is left
	Change     *float64    // percentage points since the point before; nil for the first
}

// Judge says where the latest point of a series stands to the limit in force
// today or, when none is, the next one to come. Only limits to act on count.
func Judge(points []trend.Point, limits []Threshold, today domain.Date) Answer {
	if len(points) == 0 {
		return Answer{Standing: NoLooks}
	}
	a := Answer{Standing: NoLimit, Point: points[len(points)-1]}
	if len(points) > 1 {
		change := a.Point.Percent - points[len(points)-2].Percent
		a.Change = &change
	}
	limit, ok := next(limits, today)
	if !ok {
		return a
	}
	a.Limit = limit
	smallest := limit.Smallest(a.Point.StandingPlants)
	switch {
	case a.Point.Plants < smallest:
		a.Standing, a.MorePlants = TooFew, smallest-a.Point.Plants
	case a.Point.UpperPercent < limit.Percent:
		a.Standing = Below
	case a.Point.LowerPercent > limit.Percent:
		a.Standing = Above
	default:
		a.Standing = TooClose
		_, a.MorePlants, _ = morePlants(a.Point, limit.Percent)
	}
	return a
}

func next(limits []Threshold, today domain.Date) (Threshold, bool) {
	var best Threshold
	found := false
	for _, t := range limits {
		if t.Effect != Act || t.Withdrawn != "" || t.ToOn.Before(today) {
			continue
		}
		if !found || t.FromOn.Before(best.FromOn) {
			best, found = t, true
		}
	}
	return best, found
}
