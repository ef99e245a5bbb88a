package simulation

import (
	"fmt"
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/stock"
)

// trialCall is how a cultivar in a house ended and when it was called lost.
type trialCall struct {
	truth            float64 // visible share on the day of the limit, percent
	baseline, advice int     // days after the first Monday; never when it was not called
}

const never = 1 << 30

func (c trialCall) lost() bool { return c.truth > trialLimit }

// earlier gives by how many days the advice called before the baseline did. What
// one of them never called it finds out on the day of the limit.
func (c trialCall) earlier() int {
	last := trialMonday(0).DaysUntil(trialLimitOn())
	return min(c.baseline, last) - min(c.advice, last)
}

// trialLimits are the limits that a new season starts with.
func trialLimits() []advice.Threshold {
	season := stock.Season{Year: Year, StartsOn: trialMonday(0), EndsOn: domain.NewDate(Year, time.December, 12)}
	return advice.StarterThresholds(season, domain.ID{})
}

// limitOn gives the limit that the advice judges on a day.
func limitOn(limits []advice.Threshold) func(domain.Date) advice.Threshold {
	return func(day domain.Date) advice.Threshold { return advice.Reaching(limits, day) }
}

// callBaseline notes what the fixed looks of this week call lost by their plain share.
func (s *trialSeason) callBaseline(arm *trialArm, calls map[trialGroup]*trialCall) {
	for g, c := range calls {
		samples := arm.samples[g]
		if len(samples) == 0 || samples[len(samples)-1].WeekStart != trialMonday(s.week) {
			continue
		}
		if x := samples[len(samples)-1]; 100*x.Infested > trialLimit*x.Plants {
			c.baseline = 7*s.week + s.houses[g.house].round
		}
	}
}

// callAdvice notes what the advice calls lost this week, from the planned looks. From
// the day of the limit on its forecasts are for another day than the truth.
func (s *trialSeason) callAdvice(arm *trialArm, readings []trialReading, limits []advice.Threshold, calls map[trialGroup]*trialCall) {
	rules := advice.UsualRules()
	plants := map[trialGroup]int{}
	_, stands := s.groups()
	for g, of := range stands {
		for _, st := range of {
			plants[g] += len(st.plants)
		}
	}
	for _, r := range readings {
		c := calls[r.group]
		if c == nil || c.advice != never {
			continue
		}
		h := s.houses[r.group.house]
		today := trialMonday(s.week).AddDays(h.round)
		if !today.Before(trialLimitOn()) {
			continue
		}
		x := advice.Reading{
			Today: today, Points: r.Points, Course: r.Course, Limits: limits,
			Blocks: arm.blocks[r.group], StandingPlants: plants[r.group], StandingBlocks: r.latest().StandingBlocks,
			Foliage: s.cultivars[r.group.cultivar].foliage,
		}
		for g, n := range plants {
			if g.house == r.group.house {
				x.HousePlants += n
				x.LargestPlants = max(x.LargestPlants, n)
			}
		}
		if rules.Call(x) {
			c.advice = 7*s.week + h.round
		}
	}
}

// ends notes how the groups ended.
func (s *trialSeason) ends(groups []trialGroup, calls map[trialGroup]*trialCall) []trialCall {
	_, stands := s.groups()
	all := make([]trialCall, len(groups))
	for i, g := range groups {
		all[i] = *calls[g]
		all[i].truth = 100 * visibleOn(stands[g], s.houses[g.house].grower)
	}
	return all
}

func (t Trial) callTable() string {
	var table trialTable
	table.row("", "lost, called", "percent (interval)", "lost, not called", "false alarms", "percent (interval)", "not lost, not called")
	for _, arm := range []struct {
		name string
		of   func(trialCall) int
	}{
		{"mid-September percentage", func(c trialCall) int { return c.baseline }},
		{"advice", func(c trialCall) int { return c.advice }},
	} {
		var hits, alarms part
		for _, c := range t.calls {
			called := arm.of(c) != never
			if c.lost() {
				hits.add(called)
			} else {
				alarms.add(called)
			}
		}
		hit, hitPercent := hits.cells()
		alarm, alarmPercent := alarms.cells()
		table.row(arm.name, hit, hitPercent, fmt.Sprint(hits.n-hits.of), alarm, alarmPercent, fmt.Sprint(alarms.n-alarms.of))
	}
	const wanted = 10 // days
	var (
		earlier []int
		inTime  part
	)
	for _, c := range t.calls {
		if c.lost() {
			earlier = append(earlier, c.earlier())
			inTime.add(c.earlier() >= wanted)
		}
	}
	days := "No crop was lost."
	if n := len(earlier); n > 0 {
		slices.Sort(earlier)
		counts, percent := inTime.cells()
		days = fmt.Sprintf("Days by which the advice called the %d lost crops earlier: median %d, middle half %d to %d.\n"+
			"At least %d days earlier: %s, %s.", n, earlier[n/2], earlier[n/4], earlier[3*n/4], wanted, counts, percent)
	}
	return "5. How early is a lost crop called?\n\n" + table.String() + "\n" + days + `

A crop is a cultivar in a house. Lost: its true visible share is over 20 % on 1 October, when the limit that
ends the time for biological control comes into force. Call of the percentage: in the week of 15 September,
more than 20 % of the plants of the fixed looks are infested. Call of the advice: in any round before
1 October, by the looks of the plan, it says to consider selective control (from that day on it looks ahead
to another). False alarm: called, and not lost. Days earlier: from the call of the advice to that of the
percentage; what was never called counts as found out on 1 October. Wanted: a median of at least 10 days, at no more false alarms. Both scatter from seed
to seed with 200 seasons: choose rules on some thousand seasons and confirm them on a seed not used before.`
}
