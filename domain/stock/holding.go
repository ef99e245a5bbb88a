package stock

import (
	"bytes"
	"cmp"
	"slices"
	"time"

	"benchtrail/domain"
)

// Under lays holds over the book; spots says where each block lies.
func (b Book) Under(holds []Hold, spots map[domain.ID]Spot) Holding {
	h := Holding{b, holds, spots, make(map[domain.ID][]int, len(b.Accounts))}
	named := map[Scope]map[domain.ID][]int{ScopeLot: {}, ScopeShipment: {}, ScopeCrop: {}}
	for i, hold := range holds {
		if ids := named[hold.Scope]; ids != nil {
			ids[hold.ScopeID] = append(ids[hold.ScopeID], i)
		}
	}
	accounts := make([]*Account, len(b.Accounts))
	for i := range b.Accounts {
		accounts[i] = &b.Accounts[i]
	}
	slices.SortFunc(accounts, func(x, y *Account) int { return cmp.Compare(x.born, y.born) })
	for _, a := range accounts {
		reach := slices.Concat(named[ScopeLot][a.Lot.ID], named[ScopeShipment][a.Lot.ShipmentID], named[ScopeCrop][a.Lot.CropID])
		for _, parent := range a.Birth.Parents {
			for _, i := range h.reach[parent.LotID] {
				if holds[i].Scope != ScopeLot || !holds[i].From.After(a.Birth.At) {
					reach = append(reach, i)
				}
			}
		}
		slices.Sort(reach)
		if reach = slices.Compact(reach); len(reach) > 0 {
			h.reach[a.Lot.ID] = reach
		}
	}
	return h
}

// HeldAt gives the holds in force at the moment on the plants of the lot that
// stand in the block (zero: those not yet placed), in the order the holds were
// given. Without a spot for the block they are at the lot's site.
func (h Holding) HeldAt(lot, block domain.ID, at time.Time) []Hold {
	spot := h.spots[block]
	if spot.SiteID.IsZero() {
		if a := h.book.find(lot); a != nil {
			spot.SiteID = a.Lot.SiteID
		}
	}
	reach := h.reach[lot]
	var found []Hold
	for i, hold := range h.holds {
		if hold.ScopeID.IsZero() || !hold.At(at) {
			continue
		}
		held := false
		switch hold.Scope {
		case ScopeHouse:
			held = hold.ScopeID == spot.HouseID
		case ScopeSite:
			held = hold.ScopeID == spot.SiteID
		default:
			_, held = slices.BinarySearch(reach, i)
		}
		if held {
			found = append(found, hold)
		}
	}
	return found
}

// Forbids gives the holds that forbid the movement: a split, merge, move, dispatch
// or discard, or bringing plants to another block in any way, while they are
// held. Bringing them into quarantine is free, and so is their first placing: it
// is how plants get to where they are held. What was rejected may be discarded.
func (h Holding) Forbids(m Movement) []Hold {
	leaves := func(lot, from, to domain.ID) []Hold {
		if !to.IsZero() && h.spots[to].Quarantine {
			return nil
		}
		return h.HeldAt(lot, from, m.MovedAt)
	}
	switch m.Kind {
	case Discard:
		return slices.DeleteFunc(leaves(m.LotID, m.FromBlockID, domain.ID{}), func(x Hold) bool { return x.Rejects })
	case Dispatch, Move:
		return leaves(m.LotID, m.FromBlockID, m.ToBlockID)
	case Pot, Space:
		if m.FromBlockID.IsZero() || m.FromBlockID == m.ToBlockID {
			return nil
		}
		return leaves(m.LotID, m.FromBlockID, m.ToBlockID)
	case Split, Merge:
		var found []Hold
		for _, p := range m.Parts {
			lot := m.LotID
			if m.Kind == Merge {
				lot = p.LotID
			}
			for _, hold := range leaves(lot, p.FromBlockID, p.target()) {
				if !slices.ContainsFunc(found, func(x Hold) bool { return x.ID == hold.ID }) {
					found = append(found, hold)
				}
			}
		}
		return found
	}
	return nil
}

// Breaches gives the movements that were made although a hold forbade them, by
// moment, also those the book set aside. Withdrawn ones are left out.
func (h Holding) Breaches(movements []Movement) []Breach {
	var found []Breach
	for _, m := range movements {
		if m.Withdrawn != "" {
			continue
		}
		if holds := h.Forbids(m); len(holds) > 0 {
			found = append(found, Breach{m, holds})
		}
	}
	slices.SortFunc(found, func(x, y Breach) int {
		return cmp.Or(x.Movement.MovedAt.Compare(y.Movement.MovedAt), bytes.Compare(x.Movement.ID[:], y.Movement.ID[:]))
	})
	return found
}

// Reach is a time in which a hold is on a lot.
type Reach struct {
	Hold     Hold
	From, To time.Time // To is zero while it goes on
}

// Reaching gives the holds on the lot, in the order they were given: those of its
// house for as long as some of its plants stand there.
func (h Holding) Reaching(lot domain.ID) []Reach {
	a := h.book.find(lot)
	if a == nil {
		return nil
	}
	var found []Reach
	for i, hold := range h.holds {
		whole := Reach{hold, hold.From, hold.To}
		switch hold.Scope {
		case ScopeHouse:
			found = append(found, within(whole, h.stays(a, hold.ScopeID))...)
		case ScopeSite:
			if hold.ScopeID == a.Lot.SiteID && !hold.ScopeID.IsZero() {
				found = append(found, whole)
			}
		default:
			if _, held := slices.BinarySearch(h.reach[lot], i); held && !hold.ScopeID.IsZero() {
				found = append(found, whole)
			}
		}
	}
	return found
}

// stays are the times in which plants of the account stood in the house, joined.
func (h Holding) stays(a *Account, house domain.ID) []Reach {
	var times []Reach
	for _, p := range a.Placements {
		if h.spots[p.BlockID].HouseID == house {
			times = append(times, Reach{From: p.From, To: p.To})
		}
	}
	slices.SortFunc(times, func(x, y Reach) int { return x.From.Compare(y.From) })
	var joined []Reach
	for _, t := range times {
		n := len(joined)
		switch {
		case n == 0 || !joined[n-1].To.IsZero() && joined[n-1].To.Before(t.From):
			joined = append(joined, t)
		case t.To.IsZero() || !joined[n-1].To.IsZero() && joined[n-1].To.Before(t.To):
			joined[n-1].To = t.To
		}
	}
	return joined
}

// within cuts a reach to the times.
func within(whole Reach, times []Reach) []Reach {
	var cut []Reach
	for _, t := range times {
		x := whole
		if t.From.After(x.From) {
			x.From = t.From
		}
		if x.To.IsZero() || !t.To.IsZero() && t.To.Before(x.To) {
			x.To = t.To
		}
		if x.To.IsZero() || x.From.Before(x.To) {
			cut = append(cut, x)
		}
	}
	return cut
}
