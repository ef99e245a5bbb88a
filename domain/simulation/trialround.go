package simulation

import (
	"math/rand/v2"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
)

// plan plans the round of a house from what the arm has found in the weeks before,
// with the limit that the advice judges that day.
func (s *trialSeason) plan(arm *trialArm, house int, limit advice.Threshold) (scouting.Plan, error) {
	h := scouting.House{Limits: map[domain.ID]float64{}, Smallest: map[domain.ID]int{}}
	standing := map[domain.ID]int{}
	for _, b := range s.houses[house].blocks {
		for _, st := range s.spread.inBlock[b] {
			l := s.lots[st.lot]
			c := s.cultivars[l.cultivar]
			x := scouting.Stand{
				BlockID: s.blocks[b].id, Position: s.blocks[b].position, LotID: l.id, CultivarID: c.id, ArrivalID: s.arrivals[l.arrival].id,
				Light: c.foliage == stock.LightFoliage, Found: l.foundAtDock, Plants: len(st.plants), Earlier: arm.earlier(st, s.week),
			}
			if week, ok := arm.visited[b]; ok {
				x.LookedOn = trialMonday(week)
			}
			h.Stands = append(h.Stands, x)
			standing[c.id] += x.Plants
			h.Limits[c.id], h.Smallest[c.id] = limit.Percent, limit.Smallest(standing[c.id])
		}
	}
	seed := scouting.SeedOf(s.houses[house].id, s.siteID, trialMonday(s.week).Week())
	return scouting.PlanRound(h, scouting.UsualRules(), 0, seed)
}

// earlier gives what was found on the plants of a stand in the weeks before, the
// last one first.
func (a *trialArm) earlier(st *stand, week int) []scouting.Found {
	const weeks = 4
	all := make([]scouting.Found, weeks)
	for i := range all {
		all[i] = a.found[stood{st, week - 1 - i}]
	}
	return all
}

// walk is the plants of one cultivar in one planned block, in the order in which
// they are taken.
type walk struct {
	least  int // planned there, as far as the floor asks for them
	plants []walked
}

type walked struct {
	stand *stand
	seen  bool
}

// walks gives the planned plants of a cultivar in a house and after them as many
// more as the rules allow in a block, seen by this week's observer.
func (s *trialSeason) walks(rng *rand.Rand, p scouting.Plan, g trialGroup) []walk {
	var (
		rules = scouting.UsualRules()
		eye   = s.houses[g.house].observer
		all   []walk
	)
	for _, b := range p.Blocks {
		var w walk
		var stands []*stand
		inBlock := 0
		for turn := 0; ; turn++ { // lots beside each other in turn
			before := len(w.plants)
			for _, l := range b.Looks {
				if turn == 0 {
					inBlock += l.Plants
				}
				if l.CultivarID != s.cultivars[g.cultivar].id || turn >= len(l.Positions) {
					continue
				}
				st := s.standOf(b.BlockID, l.LotID, g.house)
				if turn == 0 {
					stands = append(stands, st)
				}
				w.plants = append(w.plants, walked{st, sees(rng, st.plants[l.Positions[turn]-1], eye)})
			}
			if len(w.plants) == before {
				break
			}
		}
		if len(w.plants) == 0 {
			continue
		}
		w.least = min(len(w.plants), rules.PlantsLeast)
		for range rules.PlantsMost - inBlock {
			st := stands[rng.IntN(len(stands))]
			w.plants = append(w.plants, walked{st, sees(rng, st.plants[rng.IntN(len(st.plants))], eye)})
		}
		all = append(all, w)
	}
	return all
}

// mixed takes the plants of every block in random order.
func mixed(rng *rand.Rand, walks []walk) []walk {
	for _, w := range walks {
		rng.Shuffle(len(w.plants), func(i, j int) { w.plants[i], w.plants[j] = w.plants[j], w.plants[i] })
	}
	return walks
}

func (s *trialSeason) standOf(block, lot domain.ID, house int) *stand {
	for _, b := range s.houses[house].blocks {
		if s.blocks[b].id != block {
			continue
		}
		for _, st := range s.spread.inBlock[b] {
			if s.lots[st.lot].id == lot {
				return st
			}
		}
	}
	return nil
}

// untilStopped takes plants in turn over the blocks until the lines say enough, with
// the floor under every block or with one plant in each. It gives the answer and
// what was looked at.
func untilStopped(walks []walk, stop scouting.Stop, floor bool) (stopped, []trialLook) {
	if !floor {
		stop.PlantsLeast = 0
	}
	var (
		answer   stopped
		infested int
		visited  int
		looks    []trialLook
		at       = map[*stand]int{}
	)
	for turn := 0; ; turn++ {
		before := answer.plants
		for _, w := range walks {
			if turn >= len(w.plants) {
				continue
			}
			x := w.plants[turn]
			if _, ok := at[x.stand]; !ok {
				at[x.stand] = len(looks)
				looks = append(looks, trialLook{stand: x.stand})
			}
			look := &looks[at[x.stand]]
			answer.plants++
			look.plants++
			if x.seen {
				infested++
				look.infested++
			}
			least := 1
			if floor {
				least = w.least
			}
			if turn+1 == least {
				visited++
			}
			if call, _ := stop.At(answer.plants, infested, visited); call == scouting.CallBelow || call == scouting.CallAbove {
				answer.above = call == scouting.CallAbove
				return answer, looks
			}
		}
		if answer.plants == before { // the round is over
			answer.above = float64(100*infested) > stop.LimitPercent*float64(answer.plants)
			return answer, looks
		}
	}
}
