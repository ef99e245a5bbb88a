package stock_test

import (
	"math/big"
	"slices"
	"time"

	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// drawnBook is a drawn life of related lots that can have happened, with what it
// adds up to counted while it was drawn, and so without FoldBook. Plants are
// followed as a mixture: every part of a lot has the plants of each arrival in the
// proportion of the lot.
type drawnBook struct {
	lots      []stock.Lot
	movements []stock.Movement // as they happened
	world     map[domain.ID]*drawnLot
	alive     []domain.ID
	at        time.Time
	last      int               // the furthest place in a lot's life at this moment
	lastOf    map[domain.ID]int // the same of each lot born at this moment
}

type drawnLot struct {
	arrival, received, dockCounted bool
	got                            int
	pools                          map[domain.ID]int
	mixture                        map[domain.ID]*big.Rat // parts by arrival
	tally                          stock.Tally
	stuckAt                        time.Time
}

var bookKinds = []stock.Kind{
	stock.Receive, stock.Stick, stock.Root, stock.Pot, stock.Pinch, stock.Space, stock.Move,
	stock.Split, stock.Merge, stock.Discard, stock.Dispatch, stock.Count,
}

func drawBook(t *rapid.T) *drawnBook {
	d := &drawnBook{world: map[domain.ID]*drawnLot{}, lastOf: map[domain.ID]int{}, at: dockDay}
	for i := range rapid.IntRange(1, 3).Draw(t, "arrivals") {
		lot := stock.Lot{ID: lotNo(byte(i + 1)), ShipmentID: domain.ID{0: 3, 15: byte(i + 1)}, Plants: rapid.IntRange(1, 500).Draw(t, "by the papers")}
		d.lots = append(d.lots, lot)
		d.alive = append(d.alive, lot.ID)
		d.world[lot.ID] = &drawnLot{
			arrival: true, got: lot.Plants, pools: map[domain.ID]int{noBlock: lot.Plants},
			mixture: map[domain.ID]*big.Rat{lot.ID: big.NewRat(1, 1)},
		}
	}
	for number := range rapid.IntRange(0, 30).Draw(t, "movements") {
		kind := rapid.IntRange(0, len(bookKinds)-1).Draw(t, "kind")
		m := stock.Movement{Kind: bookKinds[kind], LotID: rapid.SampledFrom(d.alive).Draw(t, "lot"), Reason: "drawn"}
		newborn, known := d.lastOf[m.LotID]
		if !d.draw(t, &m) {
			continue
		}
		// Several movements can carry one moment, if they can have happened in the
		// order of a lot's life; that of a lot born at the moment begins with it.
		pause := rapid.IntRange(0, 2).Draw(t, "hours later")
		inOrder := kind >= d.last || known && kind >= newborn && m.Kind != stock.Merge
		if pause == 0 && !inOrder {
			pause = 1
		}
		if pause > 0 {
			d.at, d.last, d.lastOf = d.at.Add(time.Duration(pause)*time.Hour), 0, map[domain.ID]int{}
		}
		d.last = max(d.last, kind)
		if _, known := d.lastOf[m.LotID]; known {
			d.lastOf[m.LotID] = kind
		}
		switch m.Kind {
		case stock.Split:
			for _, p := range m.Parts {
				d.lastOf[p.LotID] = 0
			}
		case stock.Merge:
			d.lastOf[m.LotID] = 0
		}
		// Ids that sort against the order of a lot's life must not change it.
		m.ID, m.MovedAt = domain.ID{0: 2, 1: byte(len(bookKinds) - kind), 15: byte(number + 1)}, d.at
		if lot := d.world[m.LotID]; m.Kind == stock.Stick && lot.stuckAt.IsZero() {
			lot.stuckAt = d.at
		}
		d.movements = append(d.movements, m)
	}
	return d
}

// draw fills in the movement and does it in the world; false where it cannot be.
func (d *drawnBook) draw(t *rapid.T, m *stock.Movement) bool {
	lot := d.world[m.LotID]
	from := block(byte(rapid.IntRange(1, 3).Draw(t, "from")))
	if m.Kind != stock.Move && m.Kind != stock.Space && rapid.Bool().Draw(t, "from the dock") || m.Kind == stock.Stick {
		from = noBlock
	}
	to := block(byte(rapid.IntRange(1, 3).Draw(t, "to")))
	some := func(most int) int {
		return rapid.OneOf(rapid.IntRange(1, most), rapid.Just(most)).Draw(t, "plants")
	}
	switch m.Kind {
	case stock.Receive:
		return lot.receive(t, m, to)
	case stock.Count:
		return lot.recount(t, m, from)
	case stock.Split:
		return d.split(t, m, lot, some)
	case stock.Merge:
		return d.merge(m, rapid.IntRange(0, len(d.alive)-1).Draw(t, "first parent"), some)
	}
	have := lot.pools[from]
	if m.Kind == stock.Root || m.Kind == stock.Pinch {
		if have == 0 || from == noBlock {
			return false
		}
		m.FromBlockID, m.Plants = from, some(have)
		if m.Kind == stock.Root {
			m.Rooted = rapid.IntRange(0, m.Plants).Draw(t, "rooted")
		}
		return true
	}
	if have == 0 || m.Kind == stock.Move && from == to {
		return false
	}
	m.FromBlockID, m.Plants = from, some(have)
	lot.pools[from] -= m.Plants
	switch m.Kind {
	case stock.Discard:
		lot.tally.Discarded += m.Plants
	case stock.Dispatch:
		m.CustomerID = someone
		lot.tally.Dispatched += m.Plants
	default:
		m.ToBlockID = to
		lot.pools[to] += m.Plants
	}
	return true
}

func (x *drawnLot) receive(t *rapid.T, m *stock.Movement, to domain.ID) bool {
	if !x.arrival || x.dockCounted && !x.received {
		return false
	}
	m.Plants = rapid.IntRange(1, 500).Draw(t, "counted")
	if x.received {
		x.pools[noBlock] += m.Plants
		x.got += m.Plants
	} else {
		gone := x.got - x.pools[noBlock]
		m.Plants = max(m.Plants, gone)
		x.pools[noBlock], x.got, x.received = m.Plants-gone, m.Plants, true
	}
	if m.Plants <= x.pools[noBlock] && rapid.Bool().Draw(t, "into a block") {
		m.ToBlockID = to
		x.pools[noBlock] -= m.Plants
		x.pools[to] += m.Plants
	}
	return true
}

func (x *drawnLot) recount(t *rapid.T, m *stock.Movement, from domain.ID) bool {
	m.FromBlockID, m.Plants = from, rapid.IntRange(0, 300).Draw(t, "found")
	x.dockCounted = x.dockCounted || from == noBlock
	x.tally.Gained += max(0, m.Plants-x.pools[from])
	x.tally.Lost += max(0, x.pools[from]-m.Plants)
	x.pools[from] = m.Plants
	return true
}

func (d *drawnBook) newborn() domain.ID {
	id := lotNo(byte(len(d.lots) + 1))
	d.lots = append(d.lots, stock.Lot{ID: id})
	d.alive = append(d.alive, id)
	d.world[id] = &drawnLot{pools: map[domain.ID]int{}, mixture: map[domain.ID]*big.Rat{}}
	return id
}

// pass moves plants of the parent, wherever they stand, into the child.
func (d *drawnBook) pass(parent, child domain.ID, plants int, part *stock.Part) {
	x, y := d.world[parent], d.world[child]
	x.pools[part.FromBlockID] -= plants
	to := part.ToBlockID
	if to == noBlock {
		to = part.FromBlockID
	}
	y.pools[to] += plants
	for arrival, share := range x.mixture {
		if y.mixture[arrival] == nil {
			y.mixture[arrival] = new(big.Rat)
		}
		y.mixture[arrival].Add(y.mixture[arrival], new(big.Rat).Mul(share, big.NewRat(int64(plants), 1)))
	}
	y.got += plants
	part.Plants = plants
}

func (x *drawnLot) settle() {
	for _, amount := range x.mixture {
		amount.Quo(amount, big.NewRat(int64(x.got), 1))
	}
}

func (d *drawnBook) split(t *rapid.T, m *stock.Movement, lot *drawnLot, some func(int) int) bool {
	if len(d.lots) > 12 {
		return false
	}
	for range rapid.IntRange(1, 3).Draw(t, "children") {
		part := stock.Part{FromBlockID: block(byte(rapid.IntRange(0, 3).Draw(t, "from"))), ToBlockID: block(byte(rapid.IntRange(1, 3).Draw(t, "to")))}
		if part.FromBlockID == block(0) {
			part.FromBlockID = noBlock
		}
		if rapid.Bool().Draw(t, "they stay") {
			part.ToBlockID = noBlock
		}
		have := lot.pools[part.FromBlockID]
		if have == 0 {
			continue
		}
		part.LotID = d.newborn()
		d.pass(m.LotID, part.LotID, some(have), &part)
		d.world[part.LotID].settle()
		d.world[part.LotID].stuckAt = lot.stuckAt
		lot.tally.SplitOff += part.Plants
		m.Plants += part.Plants
		m.Parts = append(m.Parts, part)
	}
	return len(m.Parts) > 0
}

func (d *drawnBook) merge(m *stock.Movement, first int, some func(int) int) bool {
	var parents []stock.Part
	for i := range d.alive {
		id := d.alive[(i+first)%len(d.alive)]
		for n := range byte(4) {
			from := block(n)
			if n == 0 {
				from = noBlock
			}
			if d.world[id].pools[from] > 0 && len(parents) < 3 && !slices.ContainsFunc(parents, func(p stock.Part) bool { return p.LotID == id }) {
				parents = append(parents, stock.Part{LotID: id, FromBlockID: from, ToBlockID: east})
			}
		}
	}
	if len(d.lots) > 12 || len(parents) < 2 {
		return false
	}
	m.LotID = d.newborn()
	stuckAt := dockDay
	for _, part := range parents {
		x := d.world[part.LotID]
		d.pass(part.LotID, m.LotID, some(x.pools[part.FromBlockID]), &part)
		x.tally.MergedAway += part.Plants
		m.Plants += part.Plants
		m.Parts = append(m.Parts, part)
		if x.stuckAt.IsZero() || stuckAt.IsZero() {
			stuckAt = time.Time{}
		} else if x.stuckAt.After(stuckAt) {
			stuckAt = x.stuckAt
		}
	}
	d.world[m.LotID].settle()
	d.world[m.LotID].stuckAt = stuckAt
	return true
}
