package stock

import (
	"fmt"
	"slices"
	"time"

	"benchtrail/domain"
)

// Code says why a movement could not be entered. A movement that is wrong by
// itself carries the code of the first fault that Movement.Check finds.
type Code string

// The codes of conflicts, beside those of Movement.Check.
const (
	MoreThanThere   Code = "more_than_there"   // fewer plants stood there than it takes
	MoreThanEver    Code = "more_than_ever"    // more were stuck than the lot ever had
	FewerThanPlaced Code = "fewer_than_placed" // fewer were received than had been placed or discarded by then
	NotYetReceived  Code = "not_yet_received"  // plants at the dock were counted anew before their receipt
	BeforeBirth     Code = "before_birth"      // its lot did not exist yet
	NeverBorn       Code = "never_born"        // no movement says how its lot began
	BornTwice       Code = "born_twice"        // the lot had begun already
	Circle          Code = "circle"            // a lot would descend from itself
	UnknownLot      Code = "unknown_lot"       // the book does not know the lot
	OtherCultivar   Code = "other_cultivar"    // a lot is of one cultivar
)

// ConflictMost is how many movements a conflict names beside its own, the latest
// before it.
const ConflictMost = 50

// Conflict is a movement that could not be entered in the book. It is kept as it
// was recorded and waits for a person.
type Conflict struct {
	Movement Movement
	With     []domain.ID // the movements it cannot be reconciled with, in time; see ConflictMost
	Code     Code
	LotID    domain.ID // whose plants
	BlockID  domain.ID // where; zero: not placed, or nowhere in particular
	Have     int       // plants that were there, or what its parts add up to
	Asked    int       // plants it speaks of
	Detail   string    // the same in plain English, with the numbers

	path string // the member of the movement that is at fault
}

// refuse is a conflict in the making; positions in the book become ids in enter.
func refuse(code Code, path string, lot, block domain.ID, have, asked int, with []int, detail string, args ...any) (*Conflict, []int) {
	return &Conflict{Code: code, LotID: lot, BlockID: block, Have: have, Asked: asked, path: path, Detail: fmt.Sprintf(detail, args...)}, with
}

// setAside keeps a movement that cannot be entered, and lets the pools it was to
// fill know what they miss.
func (k *keeper) setAside(at int, c *Conflict, with []int) {
	m := k.movements[at]
	c.Movement = *m
	with = slices.Clone(with)
	if e := k.entries[c.LotID]; e != nil && len(e.claims) > 1 { // its birth is in dispute
		with = append(with, e.claims...)
	}
	slices.Sort(with)
	with = slices.DeleteFunc(slices.Compact(with), func(i int) bool { return i == at })
	for _, i := range with[max(0, len(with)-ConflictMost):] {
		c.With = append(c.With, k.movements[i].ID)
	}
	k.conflicts = append(k.conflicts, *c)

	// A lot that was to begin knows it by its claims.
	miss := func(lot, block domain.ID) {
		if e := k.entries[lot]; e != nil {
			p := e.pool(block)
			p.missed = append(p.missed, at)
		}
	}
	switch m.Kind {
	case Count:
		miss(m.LotID, m.FromBlockID)
	case Receive:
		miss(m.LotID, domain.ID{})
		if !m.ToBlockID.IsZero() {
			miss(m.LotID, m.ToBlockID)
		}
	default:
		if !m.ToBlockID.IsZero() {
			miss(m.LotID, m.ToBlockID)
		}
	}
}

// notSound is the conflict of a movement that is wrong by itself.
func notSound(m *Movement, f domain.Fault) (*Conflict, []int) {
	have, asked := 0, m.Plants
	if f.Code == "do_not_add_up" {
		have = m.sum()
	}
	return refuse(Code(f.Code), f.Path, m.LotID, m.FromBlockID, have, asked, nil, "%s", f.Detail)
}

// unborn is the conflict of a movement on a lot that has not begun.
func (k *keeper) unborn(at int, path string, lot domain.ID, block domain.ID, asked int) (*Conflict, []int) {
	e := k.entries[lot]
	on := k.movements[at].MovedAt.Format(time.DateOnly)
	if _, looked := k.circles[lot]; !looked {
		k.circles[lot] = k.circle(lot)
	}
	if circle := k.circles[lot]; len(circle) > 0 {
		return refuse(Circle, path, lot, block, 0, asked, circle, "%d plants are of a lot that would descend from itself", asked)
	}
	if len(e.claims) == 0 {
		return refuse(NeverBorn, path, lot, block, 0, asked, nil,
			"%d plants are asked for on %s but no split or merge says how the lot began", asked, on)
	}
	first := k.movements[e.claims[0]].MovedAt.Format(time.DateOnly)
	return refuse(BeforeBirth, path, lot, block, 0, asked, e.claims,
		"%d plants are asked for on %s but the lot had not begun (its %s is of %s)", asked, on, k.movements[e.claims[0]].Kind, first)
}
