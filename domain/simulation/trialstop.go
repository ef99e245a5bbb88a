package simulation

import (
	"fmt"
	"math/rand/v2"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/scouting"
)

// trialStop is one question to a round, whether a cultivar in a house is below or
// above its limit, answered in three ways from the same blocks.
type trialStop struct {
	limit              float64 // percent
	truth              float64 // visible share, percent
	fixed, floor, free stopped
}

type stopped struct {
	plants int
	above  bool
}

// wrong reports whether the answer is on the wrong side of the limit.
func (t trialStop) wrong(s stopped) bool { return s.above != (t.truth > t.limit) }

// roundByPlan makes the rounds of a week by plan and stop lines, and asks of every
// cultivar in a house what a fixed number of plants in the same blocks, and the stop
// lines without a floor, would have said.
func (s *trialSeason) roundByPlan(arm *trialArm, compare *rand.Rand, limitOn func(domain.Date) advice.Threshold) ([]trialStop, error) {
	var stops []trialStop
	groups, stands := s.groups()
	var looks []trialLook
	for h := range s.houses {
		limit := limitOn(trialMonday(s.week).AddDays(s.houses[h].round))
		p, err := s.plan(arm, h, limit)
		if err != nil {
			return nil, fmt.Errorf("plan: %w", err)
		}
		fixed := map[trialGroup]trialLook{}
		for _, l := range s.lookFixed(compare, s.blocksOf(p, h)) {
			g := s.groupOf(l.stand)
			fixed[g] = trialLook{plants: fixed[g].plants + l.plants, infested: fixed[g].infested + l.infested}
		}
		for _, g := range groups {
			if g.house != h {
				continue
			}
			stop := s.stopOf(p, g)
			floor, found := untilStopped(s.walks(arm.rng, p, g), stop, true)
			free, _ := untilStopped(mixed(compare, s.walks(compare, p, g)), stop, false)
			looks = append(looks, found...)
			if f := fixed[g]; f.plants > 0 && floor.plants > 0 {
				stops = append(stops, trialStop{
					limit: limit.Percent, truth: 100 * visibleOn(stands[g], s.houses[h].observer), floor: floor, free: free,
					fixed: stopped{f.plants, float64(100*f.infested) > limit.Percent*float64(f.plants)},
				})
			}
		}
	}
	s.note(arm, looks)
	return stops, nil
}

func (s *trialSeason) blocksOf(p scouting.Plan, house int) []int {
	planned := map[domain.ID]bool{}
	for _, b := range p.Blocks {
		planned[b.BlockID] = true
	}
	var blocks []int
	for _, b := range s.houses[house].blocks {
		if planned[s.blocks[b].id] {
			blocks = append(blocks, b)
		}
	}
	return blocks
}

func (s *trialSeason) stopOf(p scouting.Plan, g trialGroup) scouting.Stop {
	for _, stop := range p.Stops {
		if stop.CultivarID == s.cultivars[g.cultivar].id {
			return stop
		}
	}
	return scouting.Stop{}
}

func (t Trial) stopTable() string {
	zones := []struct {
		name       string
		from, upTo float64 // times the limit
	}{
		{"up to half the limit", -1, 0.5},
		{"half the limit to the limit", 0.5, 1},
		{"the limit to half more", 1, 1.5},
		{"more than half above it", 1.5, 1000},
		{"all", -1, 1000},
	}
	var table trialTable
	table.row("true visible share", "rounds", "way", "wrong calls", "percent (interval)", "plants looked at", "fewer than fixed")
	for _, z := range zones {
		ways := []struct {
			name   string
			of     func(trialStop) stopped
			wrong  part
			plants int
		}{
			{name: "fixed 20", of: func(t trialStop) stopped { return t.fixed }},
			{name: "stop lines, floor of 15", of: func(t trialStop) stopped { return t.floor }},
			{name: "stop lines, no floor", of: func(t trialStop) stopped { return t.free }},
		}
		for _, x := range t.stops {
			if times := x.truth / x.limit; times <= z.from || times > z.upTo {
				continue
			}
			for i := range ways {
				answer := ways[i].of(x)
				ways[i].wrong.add(x.wrong(answer))
				ways[i].plants += answer.plants
			}
		}
		name, rounds := z.name, fmt.Sprint(ways[0].wrong.n)
		for i, w := range ways {
			counts, percent := w.wrong.cells()
			fewer := ""
			if i > 0 && ways[0].plants > 0 {
				fewer = fmt.Sprintf("%.1f %%", 100*(1-float64(w.plants)/float64(ways[0].plants)))
			}
			table.row(name, rounds, w.name, counts, percent, fmt.Sprint(w.plants), fewer)
			name, rounds = "", ""
		}
	}
	return "4. Below or above the limit: how often is that wrong, and after how many plants?\n\n" + table.String() + `
One question for each cultivar in a house and round: is its visible share above the limit that the advice
judges that day (7 % until 31 August, then 20 %)? Wrong: the answer and the true visible share of all its
plants there lie on different sides. Fixed 20: 20 plants in each block of the plan, spread evenly over all
that stands in it; above if the infested share is more than the limit. Stop lines: the same blocks, plants
taken in turn over them, until the lines of the plan say below or above; what is open when the blocks hold
no more goes by the infested share. With the floor at least 15 of the planned plants are taken in each block,
in walking order; without it at least one, in random order, since the first few on the way stand at one
end of the block. Wanted: the errors of the fixed 20 with at least 15 % fewer plants with the floor and 30 %
fewer without.`
}
