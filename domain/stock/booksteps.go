package stock

import (
	"errors"
	"fmt"
	"time"

	"benchtrail/domain"
)

// flow is plants that leave one pool for another; to is nil for those that go.
type flow struct {
	from, to *pool
	plants   int
	path     string
}

// enter enters a movement whole, or sets it aside whole.
func (k *keeper) enter(at int) {
	c, with := k.try(at)
	if c != nil {
		k.setAside(at, c, with)
		return
	}
	m := k.movements[at]
	k.entries[m.LotID].enters(m)
	for _, id := range m.partLots() {
		k.entries[id].enters(m)
	}
}

func (e *entry) enters(m *Movement) { e.account.Movements = append(e.account.Movements, m.ID) }

func (k *keeper) try(at int) (*Conflict, []int) {
	m := k.movements[at]
	if err := m.Check(); err != nil {
		var faults domain.Faults
		errors.As(err, &faults)
		return notSound(m, faults[0])
	}
	e := k.entries[m.LotID]
	if e == nil {
		return refuse(UnknownLot, "/lot_id", m.LotID, m.FromBlockID, 0, m.Plants, nil, "the lot is not in the book")
	}
	switch m.Kind {
	case Receive:
		return k.receive(at, e)
	case Split, Merge:
		return k.bear(at)
	}
	if !e.alive() {
		return k.unborn(at, "/lot_id", m.LotID, m.FromBlockID, m.Plants)
	}
	switch m.Kind {
	case Root:
		return k.root(at, e)
	case Pinch:
		return k.pinch(at, e)
	case Count:
		return k.count(at, e)
	}
	f := flow{from: e.pool(m.FromBlockID), plants: m.Plants, path: "/plants"}
	if m.Kind != Discard && m.Kind != Dispatch {
		f.to = e.pool(m.ToBlockID)
	}
	if c, with := k.flow(at, []flow{f}); c != nil {
		return c, with
	}
	t, s := &e.account.Tally, &e.account.Steps
	switch m.Kind {
	case Stick:
		first(&s.StuckAt, m.MovedAt)
	case Pot:
		first(&s.PottedAt, m.MovedAt)
	case Space:
		first(&s.SpacedAt, m.MovedAt)
	case Discard:
		t.Discarded += m.Plants
	case Dispatch:
		t.Dispatched += m.Plants
	}
	return nil, nil
}

func first(step *time.Time, at time.Time) {
	if step.IsZero() {
		*step = at
	}
}

// flow moves plants between pools, all or none.
func (k *keeper) flow(at int, flows []flow) (*Conflict, []int) {
	m := k.movements[at]
	for _, f := range flows {
		f.from.asked += f.plants
	}
	var short *flow
	asked := 0
	for i, f := range flows {
		if short == nil && f.from.asked > f.from.plants {
			short, asked = &flows[i], f.from.asked
		}
	}
	for _, f := range flows {
		f.from.asked = 0
	}
	if short != nil {
		return moreThanThere(m, short.path, short.from, short.from.plants, asked)
	}
	for _, f := range flows {
		if f.from == f.to {
			continue
		}
		f.from.set(m.MovedAt, f.from.plants-f.plants)
		f.from.took = append(f.from.took, at)
		if f.to != nil {
			f.to.set(m.MovedAt, f.to.plants+f.plants)
		}
	}
	return nil, nil
}

// with gives the movements that explain why the pool holds no more.
func (p *pool) with() []int { return append(p.took[:len(p.took):len(p.took)], p.missed...) }

func moreThanThere(m *Movement, path string, p *pool, have, asked int) (*Conflict, []int) {
	return refuse(MoreThanThere, path, p.lot, p.block, have, asked, p.with(),
		"%d plants are to go but only %d stood there on %s", asked, have, m.MovedAt.Format(time.DateOnly))
}

func (k *keeper) receive(at int, e *entry) (*Conflict, []int) {
	m := k.movements[at]
	if !e.arrival() {
		return refuse(BornTwice, "/lot_id", m.LotID, m.ToBlockID, 0, m.Plants, e.claims, "a lot born of a split or merge is not received")
	}
	dock := e.pool(domain.ID{})
	more := m.Plants
	if !e.received {
		more -= e.account.Lot.Plants
	}
	if dock.plants+more < 0 {
		gone := m.Plants - dock.plants - more
		return refuse(FewerThanPlaced, "/plants", m.LotID, domain.ID{}, m.Plants, gone, dock.with(),
			"%d plants were received on %s but %d had been placed or discarded by then", m.Plants, m.MovedAt.Format(time.DateOnly), gone)
	}
	if !m.ToBlockID.IsZero() && m.Plants > dock.plants+more {
		return moreThanThere(m, "/plants", dock, dock.plants+more, m.Plants)
	}
	dock.plants += more
	e.account.Tally.In += more
	if more < 0 {
		dock.took = append(dock.took, at)
	}
	if !e.received {
		e.received = true
		e.account.Birth = Birth{At: m.MovedAt, MovementID: m.ID}
	}
	if m.ToBlockID.IsZero() {
		return nil, nil
	}
	return k.flow(at, []flow{{dock, e.pool(m.ToBlockID), m.Plants, "/plants"}})
}

// look asks whether so many plants of the lot stood in the block, or anywhere.
func (k *keeper) look(at int, e *entry, path string, plants int) (*Conflict, []int) {
	m := k.movements[at]
	have, with := 0, []int{}
	if m.FromBlockID.IsZero() {
		have = e.there()
		for _, p := range e.pools {
			with = append(with, p.with()...)
		}
	} else {
		p := e.pool(m.FromBlockID)
		have, with = p.plants, p.with()
	}
	if plants <= have {
		return nil, nil
	}
	return refuse(MoreThanThere, path, m.LotID, m.FromBlockID, have, plants, with,
		"%d plants are named but only %d stood there on %s", plants, have, m.MovedAt.Format(time.DateOnly))
}

func (k *keeper) root(at int, e *entry) (*Conflict, []int) {
	m := k.movements[at]
	if c, with := k.look(at, e, "/rooted", m.Rooted); c != nil {
		return c, with
	}
	if ever := e.account.Tally.In + e.account.Tally.Gained; m.Plants > ever {
		with := append(append([]int{}, e.claims...), e.receives...)
		for _, p := range e.pools {
			with = append(with, p.with()...)
		}
		return refuse(MoreThanEver, "/plants", m.LotID, m.FromBlockID, ever, m.Plants, with,
			"%d plants are said to have been stuck but the lot never had more than %d", m.Plants, ever)
	}
	e.account.Strike.Stuck += m.Plants
	e.account.Strike.Rooted += m.Rooted
	first(&e.account.Steps.RootedAt, m.MovedAt)
	return nil, nil
}

func (k *keeper) pinch(at int, e *entry) (*Conflict, []int) {
	m := k.movements[at]
	if c, with := k.look(at, e, "/plants", m.Plants); c != nil {
		return c, with
	}
	first(&e.account.Steps.PinchedAt, m.MovedAt)
	return nil, nil
}

// count makes the book follow what was found and shows the difference.
func (k *keeper) count(at int, e *entry) (*Conflict, []int) {
	m := k.movements[at]
	if m.FromBlockID.IsZero() && e.arrival() && !e.received && len(e.receives) > 0 {
		return refuse(NotYetReceived, "/moved_at", m.LotID, domain.ID{}, e.pool(domain.ID{}).plants, m.Plants, e.receives,
			"%d plants were counted anew on %s, before the receipt of the lot", m.Plants, m.MovedAt.Format(time.DateOnly))
	}
	p := e.pool(m.FromBlockID)
	a := &e.account
	a.Recounts = append(a.Recounts, Recount{m.ID, m.FromBlockID, m.MovedAt, p.plants, m.Plants})
	a.Tally.Gained += max(0, m.Plants-p.plants)
	a.Tally.Lost += max(0, p.plants-m.Plants)
	if p.plants != m.Plants {
		p.set(m.MovedAt, m.Plants)
	}
	p.took, p.missed = []int{at}, nil
	return nil, nil
}

// bear enters a split or merge: plants leave their lots and begin new ones.
func (k *keeper) bear(at int) (*Conflict, []int) {
	m := k.movements[at]
	flows := make([]flow, len(m.Parts))
	for i, part := range m.Parts {
		path := fmt.Sprintf("/parts/%d", i)
		e, other := k.entries[m.LotID], k.entries[part.LotID]
		if other == nil {
			return refuse(UnknownLot, path+"/lot_id", part.LotID, part.FromBlockID, 0, part.Plants, nil, "the lot is not in the book")
		}
		parent, child := e, other
		if m.Kind == Merge {
			parent, child = other, e
		}
		if !parent.alive() {
			return k.unborn(at, path+"/lot_id", parent.account.Lot.ID, part.FromBlockID, part.Plants)
		}
		if c, with := k.canBegin(at, path, parent, child, part.Plants); c != nil {
			return c, with
		}
		flows[i] = flow{parent.pool(part.FromBlockID), child.pool(part.target()), part.Plants, path + "/plants"}
	}
	if c, with := k.flow(at, flows); c != nil {
		return c, with
	}
	k.begin(m)
	return nil, nil
}
