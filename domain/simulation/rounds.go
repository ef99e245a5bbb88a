package simulation

import (
	"cmp"
	"math"
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

// walkHouses makes the rounds of a day: the houses whose weekday it is, each by
// the growers of its sections.
func (s *story) walkHouses(day domain.Date) {
	started := map[string]float64{} // by person: the minute they are free
	for i := range s.houses {
		h := &s.houses[i]
		if h.weekday != day.Time().Weekday() {
			continue
		}
		away := s.chance(0.07)
		for _, b := range s.blocksToWalk(h, day) {
			by := s.blocks[b].grower
			if away {
				by = standIn(by)
			}
			if started[by] == 0 {
				started[by] = 8.5*hour + s.around(0, 12)
			}
			started[by] = s.walkBlock(b, by, day, started[by])
		}
	}
}

// blocksToWalk chooses blocks of the house with plants, at least half of them:
// those not looked at for longest, in walking order.
func (s *story) blocksToWalk(h *house, day domain.Date) []int {
	var blocks []int
	for _, b := range h.blocks {
		if s.spread.plantsIn(b) > 0 {
			blocks = append(blocks, b)
		}
	}
	if len(blocks) == 0 {
		return nil
	}
	s.rng.Shuffle(len(blocks), func(i, j int) { blocks[i], blocks[j] = blocks[j], blocks[i] })
	slices.SortStableFunc(blocks, func(a, b int) int { return s.lookedOn[a].Compare(s.lookedOn[b]) })
	share := max(0.5, eyeOf(s.blocks[blocks[0]].grower).walks+s.around(-0.1, 0.08))
	blocks = blocks[:min(len(blocks), int(math.Ceil(share*float64(len(blocks)))))]
	for _, b := range blocks {
		s.lookedOn[b] = day
	}
	slices.SortFunc(blocks, func(a, b int) int { return cmp.Compare(s.blocks[a].Position, s.blocks[b].Position) })
	return blocks
}

// walkBlock looks at the lots of a block from the minute on and gives the minute
// after. Of a second lot in a block some looks are left out.
func (s *story) walkBlock(b int, by string, day domain.Date, minute float64) float64 {
	for i, st := range s.spread.inBlock[b] {
		if i > 0 && s.chance(0.05) {
			continue
		}
		minute += s.around(3, 6)
		at := s.at(s.houses[s.blocks[b].house].site, day, minute)
		look := s.planned(st, by, at)
		s.write(st, look, by, at)
		if t := look.Targets[0].Count(nil); t.InfestedPlants*3 > t.PlantsLookedAt && s.chance(0.12) {
			minute += s.around(3, 5)
			s.hotSpot(st, by, s.at(s.houses[s.blocks[b].house].site, day, minute))
		}
	}
	return minute
}

// planned looks at 15 to 20 plants of a stand, spread evenly from a random start.
func (s *story) planned(st *stand, by string, at time.Time) scouting.Look {
	n := min(s.between(15, 20), len(st.plants))
	step := float64(len(st.plants)) / float64(n)
	start := s.rng.Float64() * step
	ages := make([]age, n)
	for i := range ages {
		ages[i] = st.plants[int(start+float64(i)*step)]
	}
	look := scouting.Look{
		ID: s.id(at), BlockID: s.blocks[st.block].ID, LotID: s.lots[st.lot].ID, LookedAt: at,
		ObserverID: s.known.People[by], Purpose: scouting.Planned,
		Targets: []scouting.Target{s.target(ages, st, by)},
	}
	look.Seconds = eyeOf(by).secondsFor(look.Targets[0])
	return look
}

// hotSpot looks on purpose at the plants around an infested one.
func (s *story) hotSpot(st *stand, by string, at time.Time) {
	middle := slices.IndexFunc(st.plants, func(a age) bool { return a > 3 })
	if middle < 0 {
		return
	}
	from, to := max(0, middle-4), min(len(st.plants), middle+7)
	s.record(at, by, 0, scouting.Look{
		ID: s.id(at), BlockID: s.blocks[st.block].ID, LotID: s.lots[st.lot].ID, LookedAt: at,
		ObserverID: s.known.People[by], Purpose: scouting.OnPurpose,
		Targets: []scouting.Target{s.target(st.plants[from:to], st, by)},
		HotSpot: []string{"front", "middle", "back"}[3*middle/len(st.plants)],
		Note:    pick(s, []string{"hot spot, flagged", "honeydew on the lower leaves, flagged", "warm corner, flagged"}),
	})
}

// target notes what a person sees on plants, plant by plant or as a tally.
func (s *story) target(ages []age, st *stand, by string) scouting.Target {
	e := eyeOf(by)
	t := scouting.Target{OrganismID: s.whitefly()}
	tally := s.chance(e.tallies)
	t.SignsLookedFor = !tally && s.chance(e.signs)
	for _, a := range ages {
		p := scouting.Plant{Seen: a > 0 && s.chance(e.sees*visible(a))}
		if p.Seen {
			p.DenseLeaf = a >= 6 && s.chance(0.2)
		}
		if t.SignsLookedFor {
			s.noteSigns(&p, a, s.spread.guarded[st.block])
		}
		t.Plants = append(t.Plants, p)
	}
	if !tally {
		return t
	}
	for _, p := range t.Plants {
		if p.Seen {
			t.InfestedPlants++
		}
	}
	t.Plants, t.PlantsLookedAt = nil, len(ages)
	return t
}

// visible is the chance to see the pest on a plant without a lens: in its first
// week there are eggs only, and the adults that laid them.
func visible(a age) float64 {
	switch a {
	case 0:
		return 0
	case 1:
		return 0.3
	case 2:
		return 0.75
	default:
		return 0.97
	}
}

// noteSigns notes the stages that a plant of this age carries. Where natural
// enemies are, some plants carry only what they left.
func (s *story) noteSigns(p *scouting.Plant, a age, guarded bool) {
	sign := func(stage scouting.Stage, where scouting.Place, state scouting.State, colour, amount string) {
		p.Signs = append(p.Signs, scouting.Sign{Stage: stage, Place: where, State: state, Colour: colour, Amount: amount})
	}
	amount := "few"
	if a >= 5 {
		amount = "some"
	}
	if p.DenseLeaf {
		amount = "many"
	}
	const fresh, old = scouting.NewGrowth, scouting.OldGrowth
	switch {
	case !p.Seen && guarded && s.chance(0.015):
		p.Seen = true
		sign(scouting.Pupa, old, scouting.Parasitised, "tan", "few")
		return
	case !p.Seen:
		return
	case a == 1:
		sign(scouting.Adult, fresh, scouting.Alive, "", amount)
	case a == 2:
		sign(scouting.SmallNymph, old, scouting.Alive, "", amount)
	case a == 3:
		sign(scouting.LargeNymph, old, scouting.Alive, "", amount)
	default:
		sign(scouting.Pupa, old, scouting.Alive, "", amount)
		if s.chance(0.5) {
			sign(scouting.Adult, fresh, scouting.Alive, "", "few")
		}
		if s.chance(0.4) {
			sign(scouting.EmptyCase, old, "", "", "few")
		}
	}
	if guarded && a >= 3 && s.chance(0.35) {
		sign(scouting.Pupa, old, scouting.Parasitised, pick(s, []string{"tan", "tan", "golden yellow", "brown"}), "few")
	}
	if guarded && a >= 2 && s.chance(0.2) {
		sign(scouting.SmallNymph, old, scouting.HostFed, "", "few")
	}
}
