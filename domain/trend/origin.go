package trend

import (
	"fmt"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

// Traced is the plants of one arrival looked at in one house in one week.
type Traced struct {
	ArrivalID domain.ID // the shipment they came with
	HouseID   domain.ID
	WeekStart domain.Date
	Plants    int // looked at; rows without any say nothing
	Infested  int
}

// OriginCode says what infestation follows.
type OriginCode string

// What infestation follows.
const (
	FollowsArrival     OriginCode = "arrival" // the arrival through the houses: it came in
	FollowsHouse       OriginCode = "house"   // the house through the arrivals: it spread there
	FollowsBoth        OriginCode = "both"
	FollowsNeither     OriginCode = "neither"
	CannotBeToldApart  OriginCode = "cannot_be_told_apart"
	OriginCannotBeSaid OriginCode = "cannot_say"
)

// OriginStrength is how well the looks bear out what is said.
type OriginStrength string

// The strengths.
const (
	OriginNone   OriginStrength = "none"
	OriginWeak   OriginStrength = "weak"
	OriginClear  OriginStrength = "clear"
	OriginStrong OriginStrength = "strong"
)

// OriginBecause is why nothing can be said.
type OriginBecause string

// The reasons.
const (
	OriginNoLooks            OriginBecause = "no_looks"
	OriginNoneInfested       OriginBecause = "none_infested"
	OriginAllInfested        OriginBecause = "all_infested"
	OriginOneArrivalAndHouse OriginBecause = "one_arrival_and_house"
	OriginConfounded         OriginBecause = "confounded" // the only reason that two things cannot be told apart
	OriginTooFew             OriginBecause = "too_few"
)

// The rule by which an origin is said. The levels of p are the usual ones; the
// shares and the least numbers are ours.
const (
	weakAt, clearAt, strongAt = 0.05, 0.01, 0.001
	clearShare, strongShare   = 0.25, 0.5 // of what arrivals and houses explain together
	leastKept                 = 0.5       // of a term's degrees of freedom, after the other
	leastOfEach               = 10        // plants infested, and plants free
	leastToDeny               = 5         // degrees of freedom left over, to say that neither counts
)

// TermDeviance is what a term explains. P is 1 where DF is 0.
type TermDeviance struct {
	DF       int
	Deviance float64
	P        float64 // by Fisher's F
}

// OriginTerm is what arrivals, or houses, explain of the differences within weeks.
type OriginTerm struct {
	Levels int
	First  TermDeviance // by themselves
	Last   TermDeviance // after the other
}

// Origin is whether infestation follows the arrivals through the houses or the
// houses through the arrivals.
type Origin struct {
	Code       OriginCode
	Strength   OriginStrength
	Because    OriginBecause // empty where something is said
	Plants     int
	Infested   int
	Arrivals   int
	Houses     int
	Weeks      int
	Analysed   bool    // else the members below are zero
	Dispersion float64 // at least 1
	Arrival    OriginTerm
	House      OriginTerm
}

// The factors of the analysis.
const (
	weekFactor = iota
	arrivalFactor
	houseFactor
)

// OriginOf asks whether infestation follows the arrivals or the houses, by an
// analysis of deviance of the infested plants within weeks, in both orders
// (McCullagh and Nelder 1989, Generalized Linear Models, 2nd ed., section 2.3.2).
//
// A term counts when, after the other, p is below 0.05 and at least half of its
// degrees of freedom are left. The two cannot be told apart where neither counts
// although one of them explains something; where each arrival is in a house by
// itself, so that a patch in a house would look like it (with a single arrival, or
// a single house, the other term may count, but is weak); and where all finds are
// in such places that nothing scatters, as with a single patch. The answer is weak;
// clear from p below 0.01 and a quarter of what both explain due to what is named
// alone; strong from 0.001 and half, where something scatters. Of two named terms
// the larger p counts. Nothing is said of fewer than 10 plants infested or 10 free,
// and of neither only with 5 degrees of freedom left over. Counts that contradict
// each other are [domain.Faults].
func OriginOf(looks []Traced) (Origin, error) {
	o := Origin{Strength: OriginNone}
	cells, err := o.gather(looks)
	if err != nil {
		return Origin{}, err
	}
	if o.Because = o.silence(); o.Because != "" {
		o.Code = OriginCannotBeSaid
		return o, nil
	}
	fit := func(factors ...int) (f stats.FactorFit) {
		if err == nil {
			f, err = stats.FitFactors(cells, factors...)
		}
		return f
	}
	neither, both := fit(weekFactor), fit(weekFactor, houseFactor, arrivalFactor)
	arrival, house := fit(weekFactor, arrivalFactor), fit(weekFactor, houseFactor)
	if err != nil {
		return Origin{}, fmt.Errorf("follow the arrivals and the houses: %w", err)
	}
	measure := scatterOf(both)
	if measure.df < 1 {
		o.Code, o.Because = OriginCannotBeSaid, OriginTooFew
		return o, nil
	}
	term := func(levels int, own, other stats.FactorFit) OriginTerm {
		test := func(without, with stats.FactorFit) TermDeviance {
			t := TermDeviance{DF: with.Rank - without.Rank, P: 1}
			if t.DF > 0 {
				t.Deviance = max(0, without.Deviance-with.Deviance)
				t.P = stats.RatioTail(t.Deviance/float64(t.DF)/measure.dispersion, t.DF, measure.df)
			}
			return t
		}
		return OriginTerm{Levels: levels, First: test(neither, own), Last: test(other, both)}
	}
	o.Analysed, o.Dispersion = true, measure.dispersion
	o.Arrival, o.House = term(o.Arrivals, arrival, house), term(o.Houses, house, arrival)
	o.say(max(0, neither.Deviance-both.Deviance), measure)
	return o, nil
}

// gather sums the looks of each arrival, house and week, and counts.
func (o *Origin) gather(looks []Traced) ([]stats.Cell, error) {
	type place struct {
		arrival, house domain.ID
		week           domain.Date
	}
	weeks, arrivals, houses := numbers[domain.Date]{}, numbers[domain.ID]{}, numbers[domain.ID]{}
	known := map[place]int{}
	var cells []stats.Cell
	for _, look := range looks {
		if look.Plants == 0 && look.Infested == 0 {
			continue
		}
		if _, err := (stats.Proportion{Examined: look.Plants, Infested: look.Infested}).Share(); err != nil {
			return nil, fmt.Errorf("week of %s: %w", look.WeekStart, err)
		}
		at := place{look.ArrivalID, look.HouseID, look.WeekStart}
		i, ok := known[at]
		if !ok {
			i = len(cells)
			known[at] = i
			cells = append(cells, stats.Cell{Levels: []int{weeks.of(at.week), arrivals.of(at.arrival), houses.of(at.house)}})
		}
		cells[i].Examined += look.Plants
		cells[i].Infested += look.Infested
		o.Plants += look.Plants
		o.Infested += look.Infested
	}
	o.Weeks, o.Arrivals, o.Houses = len(weeks), len(arrivals), len(houses)
	return cells, nil
}

// numbers gives each value a number of its own.
type numbers[K comparable] map[K]int

func (n numbers[K]) of(value K) int {
	if _, ok := n[value]; !ok {
		n[value] = len(n)
	}
	return n[value]
}

// silence is why nothing can be said before anything is fitted.
func (o *Origin) silence() OriginBecause {
	switch {
	case o.Plants == 0:
		return OriginNoLooks
	case o.Infested == 0:
		return OriginNoneInfested
	case o.Infested == o.Plants:
		return OriginAllInfested
	case o.Arrivals < 2 && o.Houses < 2:
		return OriginOneArrivalAndHouse
	case min(o.Infested, o.Plants-o.Infested) < leastOfEach:
		return OriginTooFew
	}
	return ""
}

// scatter is what the terms are measured by.
type scatter struct {
	dispersion float64
	df         int
	crossed    bool // arrivals stood in several houses, so that a patch is told from them
	seen       bool // somewhere the counts did scatter
}

// scatterOf measures by the sums of an arrival in a house over the weeks. What
// plants of one arrival in one house have in common through the weeks, a patch
// that stays, is no sign that the arrival or the house as such differs, and weeks
// do not repeat it independently: this is the error of the whole plots of a
// split-plot trial (Cochran and Cox 1957, Experimental Designs, 2nd ed., section
// 7.1). Where these sums leave nothing over, single weeks have to do. Sums that are
// met exactly, mostly of arrivals without a find, do agree, but do not show how far
// they may differ: they are in no dispersion, and half of them in the degrees of
// freedom: in invented seasons that found more of the true origins than none of
// them did, and fewer false ones than all of them.
func scatterOf(both stats.FactorFit) scatter {
	spread := both.Spread(arrivalFactor, houseFactor)
	crossed := spread.DF+spread.ExactDF > 0
	if !crossed {
		spread = both.Spread(weekFactor, arrivalFactor, houseFactor)
	}
	return scatter{max(1, spread.Dispersion), spread.DF + (spread.ExactDF+1)/2, crossed, spread.DF > 0}
}

// say reads the terms by the rule of OriginOf.
func (o *Origin) say(explained float64, s scatter) {
	only := o.Arrivals < 2 || o.Houses < 2
	counts := func(t OriginTerm) bool {
		return (s.crossed || only) && t.Last.P < weakAt && t.Last.DF > 0 && float64(t.Last.DF) >= leastKept*float64(t.First.DF)
	}
	arrival, house := counts(o.Arrival), counts(o.House)
	switch {
	case arrival && house && s.seen:
		o.Code = FollowsBoth
		o.Strength = strengthOf(max(o.Arrival.Last.P, o.House.Last.P), o.Arrival.Last.Deviance+o.House.Last.Deviance, explained)
	case arrival && !house:
		o.Code, o.Strength = FollowsArrival, strengthOf(o.Arrival.Last.P, o.Arrival.Last.Deviance, explained)
	case house && !arrival:
		o.Code, o.Strength = FollowsHouse, strengthOf(o.House.Last.P, o.House.Last.Deviance, explained)
	case min(o.Arrival.First.P, o.House.First.P, o.Arrival.Last.P, o.House.Last.P) < weakAt:
		o.Code, o.Because = CannotBeToldApart, OriginConfounded
	case s.df < leastToDeny:
		o.Code, o.Because = OriginCannotBeSaid, OriginTooFew
	default:
		o.Code = FollowsNeither
	}
	switch {
	case o.Strength == OriginNone:
	case !s.crossed:
		o.Strength = OriginWeak
	case !s.seen && o.Strength == OriginStrong:
		o.Strength = OriginClear
	}
}

func strengthOf(p, alone, explained float64) OriginStrength {
	switch {
	case p < strongAt && alone >= strongShare*explained:
		return OriginStrong
	case p < clearAt && alone >= clearShare*explained:
		return OriginClear
	}
	return OriginWeak
}
