package advice

import (
	"cmp"
	"slices"

	"benchtrail/domain"
	"benchtrail/domain/trend"
)

// Concern says how a lot stands in a week, for who looks after it.
type Concern string

// The concerns, the gravest first.
const (
	OverLimit   Concern = "over"          // the whole interval lies over its limit
	HeadingOver Concern = "heading_over"  // more likely than not to be over the next limit on its day
	NearLimit   Concern = "near"          // the interval holds the limit, and the forecast does not say that it stays below
	Unsettled   Concern = "unsettled"     // too few plants to tell
	WellBelow   Concern = "below"         // below, or foretold to stay there
	Unlimited   Concern = "no_limit"      // there is nothing to hold it against
	NotLookedAt Concern = "not_looked_at" // never, or too long ago to go by
)

// LotThisWeek is what is known of one lot.
type LotThisWeek struct {
	LotID       domain.ID
	Code        string
	Answer      Answer
	Chance      float64          // of being over the next limit on its day, 0 to 1
	Known       bool             // the chance is
	Suggestions []SuggestionCode // for its cultivar, in each house where the lot stands
	Concern     Concern
}

// ConcernOf says how a lot stands on a day.
func (r Rules) ConcernOf(x LotThisWeek, today domain.Date) Concern {
	standing, point := x.Answer.Standing, x.Answer.Point
	likely := x.Known && x.Chance > 0.5
	unlikely := x.Known && x.Chance <= r.UnderChance
	switch {
	case standing == NoLooks || point.WeekStart.AddDays(6).DaysUntil(today) > r.MostDaysOld:
		return NotLookedAt
	case standing == NoLimit:
		return Unlimited
	case standing == Above:
		return OverLimit
	case likely && standing != TooFew:
		return HeadingOver
	case standing == Below || standing == TooClose && unlikely:
		return WellBelow
	// Of a few clean plants the interval holds every limit: that says how few they were.
	case standing == TooFew || point.Infested == 0:
		return Unsettled
	default:
		return NearLimit
	}
}

// NeedsAPerson reports whether somebody has to look at the lot and decide: it is over its
// limit, heading there or near it, or something is to be done about its cultivar where
// the lot stands.
func (x LotThisWeek) NeedsAPerson() bool {
	switch x.Concern {
	case OverLimit, HeadingOver, NearLimit:
		return true
	}
	return slices.ContainsFunc(x.Suggestions, func(c SuggestionCode) bool { return c == ConsiderSelective || c == DealWithHotSpots })
}

// WorstFirst puts lots in order by what is known of them. Those come first that are over
// their limit or that the forecast says will be (from OverChance on); then, and among
// those, the lower limit of the interval decides, next the chance, next what is
// suggested. The share itself does not: it would put 1 of 5 above 15 of 80. What was too
// long ago stands last.
func (r Rules) WorstFirst(lots []LotThisWeek) {
	tier := func(x LotThisWeek) int {
		switch {
		case x.Concern == NotLookedAt:
			return 2
		case x.Concern == OverLimit || x.Concern == HeadingOver && x.Chance >= r.OverChance:
			return 0
		}
		return 1
	}
	slices.SortStableFunc(lots, func(a, b LotThisWeek) int {
		return cmp.Or(
			cmp.Compare(tier(a), tier(b)), cmp.Compare(b.Answer.Point.LowerPercent, a.Answer.Point.LowerPercent),
			cmp.Compare(b.chance(), a.chance()), cmp.Compare(a.urgency(), b.urgency()), cmp.Compare(a.Code, b.Code), slices.Compare(a.LotID[:], b.LotID[:]),
		)
	})
}

func (x LotThisWeek) chance() float64 {
	if !x.Known {
		return 0
	}
	return x.Chance
}

// urgency is the place of the gravest suggestion among all; the gravest is 0.
func (x LotThisWeek) urgency() int {
	byGravity := []SuggestionCode{ConsiderSelective, DealWithHotSpots, LookAtMore, NothingToSay, StayBiological}
	for i, code := range byGravity {
		if slices.Contains(x.Suggestions, code) {
			return i
		}
	}
	return len(byGravity)
}

// ReadLot gives what is known of a lot from its points, its course and the limits that
// speak of it.
func (r Rules) ReadLot(id domain.ID, code string, read trend.Reading, limits []Threshold, suggestions []SuggestionCode, today domain.Date) LotThisWeek {
	f := forecastOf(Reading{Today: today, Points: read.Points, Course: read.Course, Limits: limits})
	x := LotThisWeek{
		LotID: id, Code: code, Answer: Judge(read.Points, limits, today), Chance: f.chance, Known: f.known, Suggestions: suggestions,
	}
	x.Concern = r.ConcernOf(x, today)
	return x
}

// mostWeeksOpen is for how long a decision that was not carried out is asked about.
const mostWeeksOpen = 4

// ToCheck gives the decisions that somebody should hold against what was done: those made
// since a Monday, and of the weeks before that those that were not carried out. The
// order stays.
func ToCheck(all []Decision, monday domain.Date, zoneDay func(Decision) domain.Date) []Decision {
	var due []Decision
	for _, d := range all {
		on := zoneDay(d)
		if d.Withdrawn != "" || on.Before(monday) && (!d.DoneOn.IsZero() || on.DaysUntil(monday) > 7*mostWeeksOpen) {
			continue
		}
		due = append(due, d)
	}
	return due
}
