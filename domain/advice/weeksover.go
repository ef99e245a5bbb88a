package advice

import "benchtrail/domain/trend"

// WeeksOver is in how many weeks a series was over the limit of that week.
type WeeksOver struct {
	Looked int // weeks with looks
	Judged int // of those, in which a limit to act on held and enough plants were looked at
	Over   int // of those, with the whole interval over it
}

// CountWeeksOver holds each week against the lowest limit to act on that held in it and
// asks for no more plants than were looked at. A week too close to call is not over.
func CountWeeksOver(points []trend.Point, limits []Threshold) WeeksOver {
	w := WeeksOver{Looked: len(points)}
	for _, p := range points {
		var lowest Threshold
		judged := false
		for _, t := range limits {
			holds := t.Effect == Act && t.Withdrawn == "" && !t.FromOn.After(p.WeekStart.AddDays(6)) && !t.ToOn.Before(p.WeekStart)
			if holds && p.Plants >= t.Smallest(p.StandingPlants) && (!judged || t.Percent < lowest.Percent) {
				lowest, judged = t, true
			}
		}
		if judged {
			w.Judged++
		}
		if judged && p.LowerPercent > lowest.Percent {
			w.Over++
		}
	}
	return w
}
