package advice

import "benchtrail/domain"

// weeksAhead is how far a forecast looks where no limit is to come.
const weeksAhead = 3

// Horizon is the day a forecast is made for and the limit it is held against: the
// first day of the next limit to act on that is still to come, else the last day of
// the one in force. Without any it is three weeks ahead and the limit is unset.
func Horizon(limits []Threshold, today domain.Date) (domain.Date, Threshold) {
	var coming, inForce Threshold
	for _, t := range limits {
		switch {
		case t.Effect != Act || t.Withdrawn != "" || t.ToOn.Before(today):
		case t.FromOn.After(today):
			if coming.ToOn.IsZero() || t.FromOn.Before(coming.FromOn) {
				coming = t
			}
		case inForce.ToOn.IsZero() || t.FromOn.After(inForce.FromOn):
			inForce = t
		}
	}
	switch {
	case !coming.ToOn.IsZero():
		return coming.FromOn, coming
	case !inForce.ToOn.IsZero():
		return inForce.ToOn, inForce
	default:
		return today.AddDays(7 * weeksAhead), Threshold{}
	}
}

// Reaching gives the limit to act on that is in force on a day, or is the next to
// come then; it is unset when there is none.
func Reaching(limits []Threshold, on domain.Date) Threshold {
	limit, _ := next(limits, on)
	return limit
}
