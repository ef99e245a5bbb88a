package simulation

import (
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

// mistake is something that goes wrong in the records of every season, once, at the
// first site.
type mistake string

const (
	wrongBlock   mistake = "wrong block"   // a block in which the lot never stood
	unknownLot   mistake = "unknown lot"   // the label was missing
	unknownAgain mistake = "unknown again" // and once more
	withdrawn    mistake = "withdrawn"     // recorded twice, then taken back
	corrected    mistake = "corrected"     // a slip of the finger, put right
)

// mistakeOf gives the mistake to be made with the next look in an ISO week.
func mistakeOf(week int) mistake {
	switch week {
	case 30:
		return unknownLot
	case 31:
		return withdrawn
	case 33:
		return wrongBlock
	case 35:
		return corrected
	case 36:
		return unknownAgain
	default:
		return ""
	}
}

// write records a look, with the mistake of the week if it has not been made.
func (s *story) write(st *stand, look scouting.Look, by string, at time.Time) {
	m := mistakeOf(domain.DateOf(at).Week().Number)
	if m == "" || s.mistakesMade[m] || s.lots[st.lot].site != 0 {
		s.record(at, by, 0, look)
		return
	}
	s.mistakesMade[m] = true
	switch m {
	case wrongBlock:
		other, ok := s.blockWithout(st)
		if !ok {
			s.mistakesMade[m] = false
			break
		}
		look.BlockID = s.blocks[other].ID
	case unknownLot, unknownAgain:
		look.LotID, look.Note = domain.ID{}, "label missing"
	case withdrawn:
		s.record(at, by, 0, look)
		look.Withdrawn = "recorded twice"
		s.record(at.Add(minutes(25)), by, 1, look)
		return
	case corrected:
		right := look
		right.Targets = slices.Clone(look.Targets)
		look.Targets = []scouting.Target{oneMore(look.Targets[0])}
		s.record(at, by, 0, look)
		right.Note = "one plant was marked by mistake"
		s.record(at.Add(minutes(12)), by, 1, right)
		return
	}
	s.record(at, by, 0, look)
}

// oneMore gives the target with one more plant marked.
func oneMore(t scouting.Target) scouting.Target {
	t.Plants = slices.Clone(t.Plants)
	free := slices.IndexFunc(t.Plants, func(p scouting.Plant) bool { return !p.Seen })
	switch {
	case free >= 0:
		t.Plants[free].Seen = true
	case t.InfestedPlants < t.PlantsLookedAt:
		t.InfestedPlants++
	}
	return t
}

// blockWithout gives a block of another house of the site, with plants, in which
// the lot of the stand never stood and is never put.
func (s *story) blockWithout(st *stand) (int, bool) {
	home := s.blocks[st.block].house
	if s.houses[home].rooting {
		return 0, false
	}
	for _, h := range s.sites[s.houses[home].site].houses[1:] {
		for _, b := range s.houses[h].blocks {
			if h != home && s.spread.plantsIn(b) > 0 && s.spread.find(st.lot, b) == nil {
				return b, true
			}
		}
	}
	return 0, false
}
