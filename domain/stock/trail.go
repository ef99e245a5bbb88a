package stock

import (
	"math/big"
	"time"

	"benchtrail/domain"
)

// TrailStart is what a trail may start at.
type TrailStart string

// The starts of trails.
const (
	FromSupplier TrailStart = "supplier"
	FromFarm     TrailStart = "farm"
	FromShipment TrailStart = "shipment"
	FromLot      TrailStart = "lot"
	FromBlock    TrailStart = "block"
	FromCustomer TrailStart = "customer"
	FromDispatch TrailStart = "dispatch"
)

// TrailLot is a lot of a trail with its own counts.
type TrailLot struct {
	Lot     Lot
	BornAt  time.Time
	Tally   Tally
	Start   bool     // the trail begins with it
	Certain bool     // it is known to be of the farm alone; always true unless a farm is asked for
	Part    *big.Rat // how much of it came from the starts; nil where that is not said
}

// Link is plants of one lot that became plants of another.
type Link struct {
	From, To   domain.ID
	MovementID domain.ID
	At         time.Time
	Plants     int
}

// Parts works out how much of each lot came from the starts, exactly, and how much
// of each start came from the others; lots are given with parents before their
// children. What a lot got at its birth it keeps in those parts.
func Parts(lots []TrailLot, links []Link) (fromStarts, fromOthers map[domain.ID]*big.Rat) {
	into := map[domain.ID][]Link{}
	for _, l := range links {
		into[l.To] = append(into[l.To], l)
	}
	fromStarts, fromOthers = map[domain.ID]*big.Rat{}, map[domain.ID]*big.Rat{}
	for _, x := range lots {
		part := new(big.Rat)
		for _, l := range into[x.Lot.ID] {
			if from := fromStarts[l.From]; from != nil && x.Tally.In > 0 {
				part.Add(part, new(big.Rat).Mul(from, big.NewRat(int64(l.Plants), int64(x.Tally.In))))
			}
		}
		if x.Start {
			fromOthers[x.Lot.ID] = part
			part = big.NewRat(1, 1)
		}
		fromStarts[x.Lot.ID] = part
	}
	return fromStarts, fromOthers
}

// TrailBalance says where the plants of the starts are: Received = OnHand +
// Discarded + Dispatched + Lost - Gained exactly. Received is a whole number
// unless a start came partly from another.
type TrailBalance struct {
	Received, OnHand, Discarded, Dispatched, Lost, Gained *big.Rat
}

// BalanceOf adds up where the plants of the starts are. The lots must be all that
// descend from the starts, parents before children.
func BalanceOf(lots []TrailLot, links []Link) TrailBalance {
	fromStarts, fromOthers := Parts(lots, links)
	b := TrailBalance{new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat)}
	for _, x := range lots {
		part, t := fromStarts[x.Lot.ID], x.Tally
		add := func(sum *big.Rat, part *big.Rat, plants int) {
			sum.Add(sum, new(big.Rat).Mul(part, new(big.Rat).SetInt64(int64(plants))))
		}
		if others := fromOthers[x.Lot.ID]; others != nil {
			add(b.Received, new(big.Rat).Sub(big.NewRat(1, 1), others), t.In)
		}
		add(b.OnHand, part, t.OnHand())
		add(b.Discarded, part, t.Discarded)
		add(b.Dispatched, part, t.Dispatched)
		add(b.Lost, part, t.Lost)
		add(b.Gained, part, t.Gained)
	}
	return b
}
