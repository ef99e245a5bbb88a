package simulation

import (
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// didNotRoot is why cuttings are thrown out after the strike.
const didNotRoot = "did not root"

// move enters a movement of the story, for whatever lots the book has there.
func (k *keeping) move(e Event, m stock.Movement) {
	l := k.lives[m.LotID]
	from, to := spot{m.LotID, m.FromBlockID}, spot{m.LotID, m.ToBlockID}
	switch m.Kind {
	case stock.Receive:
		k.standing[to] += m.Plants
		k.put(to, to, m.Plants)
		k.events = append(k.events, e)
		return
	case stock.Stick:
		l.stuck += m.Plants
	case stock.Pot:
		k.pot(l, m)
	case stock.Discard:
		k.aboutToDiscard(l, &m)
	}
	if k.becomesALot(l, m) {
		k.splitOff(e, m)
		return
	}
	if m.Kind != stock.Discard {
		k.standing[to] += m.Plants
	}
	for i, t := range k.take(from, m.Plants) {
		x := m
		x.LotID, x.FromBlockID, x.Plants = t.kept.lot, t.kept.block, t.plants
		if i > 0 {
			x.ID = k.id(e.At)
		}
		if m.Kind != stock.Discard {
			k.put(to, spot{t.kept.lot, m.ToBlockID}, t.plants)
		}
		if x.FromBlockID == x.ToBlockID && !x.FromBlockID.IsZero() {
			continue // they were brought there before
		}
		e.Record = x
		k.events = append(k.events, e)
	}
}

// taken is plants that left a portion.
type taken struct {
	kept   spot
	plants int
}

// take takes plants of the story from their place: of the book as many as are the
// same share of what it has there, for it has lost and sent away some.
func (k *keeping) take(told spot, plants int) []taken {
	there, total := k.of(told), 0
	for _, p := range there {
		total += p.plants
	}
	left := share(total, plants, k.standing[told])
	k.standing[told] -= plants
	var all []taken
	for _, p := range there {
		if n := min(left, p.plants); n > 0 {
			p.plants -= n
			left -= n
			all = append(all, taken{p.kept, n})
		}
	}
	return all
}

// becomesALot says whether plants on their way to another block become a lot of
// their own: mostly those that go to another house than the rest of their lot.
func (k *keeping) becomesALot(l *life, m stock.Movement) bool {
	potting := m.Kind == stock.Pot && !m.FromBlockID.IsZero()
	if m.Kind != stock.Move && !potting || !k.settled(m.LotID) {
		return false
	}
	from, to := spot{m.LotID, m.FromBlockID}, spot{m.LotID, m.ToBlockID}
	renamed := func(p *portion) bool { return p.kept.lot != m.LotID }
	if len(k.of(to)) > 0 || slices.ContainsFunc(k.of(from), renamed) {
		return false
	}
	rest := map[*house]bool{} // where the rest of the lot is in pots
	for _, p := range k.portions {
		if h := k.houseOf(p.kept.block); p.kept.lot == m.LotID && p.plants > 0 && h != nil && !h.rooting {
			rest[h] = true
		}
	}
	if len(rest) > 0 && !rest[k.houseOf(m.ToBlockID)] {
		return m.Plants > crumb && k.chance(0.7)
	}
	return k.standing[from] > m.Plants && k.chance(0.04)
}

// settled says whether plants of a lot may be renamed, sold or counted off: the
// story comes back to those whose strike or second look is still to come, and what
// is held stays as it is.
func (k *keeping) settled(lot domain.ID) bool {
	l := k.lives[lot]
	return l.ready && l.lookedAt && !k.heldNow(lot)
}

// houseOf gives the house of a block; nil for no block.
func (k *keeping) houseOf(id domain.ID) *house {
	if i, known := k.blockOf[id]; known {
		return &k.houses[k.blocks[i].house]
	}
	if site := slices.Index(k.quarantines, id); site >= 0 {
		return k.quarantineHouse(site)
	}
	return nil
}

// splitOff lets the plants of a movement become a lot of their own. A move takes
// them along in the same step; what is potted is split off first.
func (k *keeping) splitOff(e Event, m stock.Movement) {
	from, to := spot{m.LotID, m.FromBlockID}, spot{m.LotID, m.ToBlockID}
	k.standing[to] += m.Plants
	n := 0
	for _, t := range k.take(from, m.Plants) {
		n += t.plants
	}
	if n == 0 {
		return
	}
	child := k.bear(e.At, m.LotID)
	k.put(to, spot{child, m.ToBlockID}, n)
	part := stock.Part{LotID: child, Plants: n, FromBlockID: m.FromBlockID}
	at := e.At
	if m.Kind == stock.Move {
		part.ToBlockID = m.ToBlockID
	} else {
		at = at.Add(-2 * time.Minute)
	}
	k.record(at, e.By, 0, stock.Movement{
		ID: k.id(at), LotID: m.LotID, Kind: stock.Split, MovedAt: at, Plants: n, Parts: []stock.Part{part},
	})
	if m.Kind == stock.Move {
		return
	}
	m.LotID, m.Plants = child, n
	e.Record = m
	k.events = append(k.events, e)
}

// bear makes what is known of a lot that begins with plants of the parents.
func (k *keeping) bear(at time.Time, parents ...domain.ID) domain.ID {
	id := k.id(at)
	first := k.lives[parents[0]]
	born := *first
	born.shipments = nil
	for _, parent := range parents {
		l := k.lives[parent]
		born.infested = born.infested || l.infested
		for _, shipment := range l.shipments {
			if !slices.Contains(born.shipments, shipment) {
				born.shipments = append(born.shipments, shipment)
			}
		}
	}
	if len(parents) == 1 {
		k.truth.FarmOfLot[id] = k.truth.FarmOfLot[parents[0]]
	}
	k.lives[id] = &born
	return id
}
