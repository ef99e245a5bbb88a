package trend

import "benchtrail/domain"

// Finished gives the weeks, in order of time, that ended before a day: of the current one
// the round is not over, and where it began says little of the whole.
func Finished(weeks []Sample, today domain.Date) []Sample {
	n := len(weeks)
	for n > 0 && !weeks[n-1].WeekStart.AddDays(6).Before(today) {
		n--
	}
	return weeks[:n]
}

// Peak is the week in which most was infested for certain: that of the highest lower
// limit, of equal ones the one with the higher share, then the earlier. The highest
// share itself is often that of a handful of plants.
func Peak(points []Point) (Point, bool) {
	var peak Point
	for i, p := range points {
		if i == 0 || p.LowerPercent > peak.LowerPercent || p.LowerPercent == peak.LowerPercent && p.Percent > peak.Percent {
			peak = p
		}
	}
	return peak, len(points) > 0
}
