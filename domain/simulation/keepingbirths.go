package simulation

import (
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// remainder is how many plants of a lot in a block at most are not worth a
// lot of their own.
const remainder = 190

// planBirths plans the merges: on some afternoons of late summer two remainders of
// a cultivar become one lot.
func (k *keeping) planBirths() {
	for _, x := range []struct{ site, day int }{{0, 21}, {1, 27}, {0, 35}} {
		day := domain.NewDate(Year, time.August, 1).AddDays(x.day - 1)
		k.plan(k.at(x.site, day, 15.8*hour), func(at time.Time) { k.mergeTwo(x.site, at) })
	}
}

// mergeTwo lets the two smallest remainders of one cultivar, of different
// shipments and in one house, become one lot in the block of the larger.
func (k *keeping) mergeTwo(site int, at time.Time) {
	var small []*portion
	for _, p := range k.portions {
		h := k.houseOf(p.kept.block)
		if p.plants > 0 && p.plants <= remainder && h != nil && !h.rooting && h.site == site && k.settled(p.kept.lot) {
			small = append(small, p)
		}
	}
	slices.SortStableFunc(small, func(a, b *portion) int { return a.plants - b.plants })
	for i, larger := range small {
		for _, smaller := range small[:i] {
			if k.canMerge(smaller, larger) {
				k.merge(smaller, larger, at)
				return
			}
		}
	}
}

func (k *keeping) canMerge(a, b *portion) bool {
	x, y := k.lives[a.kept.lot], k.lives[b.kept.lot]
	same := func(shipment domain.ID) bool { return slices.Contains(y.shipments, shipment) }
	return x.CultivarID == y.CultivarID && !slices.ContainsFunc(x.shipments, same) &&
		k.houseOf(a.kept.block) == k.houseOf(b.kept.block) && a.plants+k.plantsNow(b.kept.block) <= potsHold
}

// plantsNow counts the plants in a block.
func (k *keeping) plantsNow(block domain.ID) int {
	n := 0
	for _, p := range k.portions {
		if p.kept.block == block {
			n += p.plants
		}
	}
	return n
}

func (k *keeping) merge(smaller, larger *portion, at time.Time) {
	to, by := larger.kept.block, k.growerAt(larger.kept.block)
	m := stock.Movement{
		ID: k.id(at), Kind: stock.Merge, MovedAt: at, Plants: smaller.plants + larger.plants,
		Note: "two remainders of one cultivar, set together",
		Parts: []stock.Part{
			{LotID: larger.kept.lot, Plants: larger.plants, FromBlockID: to},
			{LotID: smaller.kept.lot, Plants: smaller.plants, FromBlockID: smaller.kept.block, ToBlockID: to},
		},
	}
	m.LotID = k.bear(at, larger.kept.lot, smaller.kept.lot)
	smaller.kept, larger.kept = spot{m.LotID, to}, spot{m.LotID, to}
	k.record(at, by, 0, m)
}
