package trend

import (
	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

// HouseWeek names a house in a week.
type HouseWeek struct {
	HouseID domain.ID
	Week    domain.Date
}

// LookedAtIn gives what was looked at, and what stood, in each house and week of a period.
// Weeks in which nothing stood and nothing was looked at are left out.
func LookedAtIn(placed []Placed, period Period) map[HouseWeek]scouting.LookedAt {
	type blockWeek struct {
		HouseWeek
		block domain.ID
	}
	type plants struct{ looked, stood, atEnd int }
	blocks := map[blockWeek]plants{}
	walked := map[HouseWeek]scouting.LookedAt{}
	for _, x := range placed {
		if !period.Holds(x.Week) || x.Plants == 0 && x.AtEnd == 0 {
			continue
		}
		at := HouseWeek{x.HouseID, x.Week}
		b := blocks[blockWeek{at, x.BlockID}]
		blocks[blockWeek{at, x.BlockID}] = plants{b.looked + x.Plants, b.stood + x.Standing, b.atEnd + x.AtEnd}
		w := walked[at]
		w.Looks += x.Looks
		w.Plants += x.Plants
		w.Standing += x.AtEnd
		walked[at] = w
	}
	for at, b := range blocks {
		w := walked[at.HouseWeek]
		if b.atEnd > 0 {
			w.StandingBlocks++
		}
		if b.looked > 0 {
			w.Blocks++
			whole := b.stood > 0 && b.looked >= b.stood
			if !whole && (w.Fewest == 0 || b.looked < w.Fewest) {
				w.Fewest = b.looked
			}
		}
		walked[at.HouseWeek] = w
	}
	return walked
}

// HouseEffort is what the rounds of a house came to in a period.
type HouseEffort struct {
	Looks, Plants int
	PlantWeeks    int // plants standing at the end of each week, summed
	Weeks         int // from the first to the last with plants
	Walked        int // of those, with a look
	Met           int // of those, with all rules met
	// Of the weeks, those in which a rule was met.
	CropShare, BlockShare, PlantsPerBlock int
	// Of a period of one week.
	PlantsAsked, BlocksAsked, BlocksWalked int
}

// EffortIn says what the rounds of each house came to. Of several weeks the current one,
// which begins on the Monday given, asks for nothing yet: its round is not over.
func EffortIn(placed []Placed, period Period, current domain.Date, rules map[domain.ID]scouting.Rules) map[domain.ID]HouseEffort {
	walked := LookedAtIn(placed, period)
	effort := map[domain.ID]HouseEffort{}
	first, last := map[domain.ID]domain.Date{}, map[domain.ID]domain.Date{}
	for at, w := range walked {
		e := effort[at.HouseID]
		e.Looks += w.Looks
		e.Plants += w.Plants
		e.PlantWeeks += w.Standing
		if period.OneWeek() || at.Week.Before(current) {
			e.count(rules[at.HouseID].Met(w), w, period)
			if was := first[at.HouseID]; was.IsZero() || at.Week.Before(was) {
				first[at.HouseID] = at.Week
			}
			if at.Week.After(last[at.HouseID]) {
				last[at.HouseID] = at.Week
			}
		}
		effort[at.HouseID] = e
	}
	for house, from := range first {
		e := effort[house]
		e.Weeks = from.DaysUntil(last[house])/7 + 1 // a week in which nobody looked anywhere is one too
		effort[house] = e
	}
	return effort
}

func (e *HouseEffort) count(met scouting.RulesMet, w scouting.LookedAt, period Period) {
	one := func(yes bool) int {
		if yes {
			return 1
		}
		return 0
	}
	e.Walked += one(w.Looks > 0)
	e.Met += one(met.All())
	e.CropShare += one(met.CropShare)
	e.BlockShare += one(met.BlockShare)
	e.PlantsPerBlock += one(met.PlantsPerBlock)
	if period.OneWeek() {
		e.PlantsAsked, e.BlocksAsked, e.BlocksWalked = met.PlantsAsked, met.BlocksAsked, w.Blocks
	}
}
