package stock

import (
	"bytes"
	"math/big"
	"slices"

	"benchtrail/domain"
)

// Share is the part of a lot's plants that came with one arrival.
type Share struct {
	LotID domain.ID // the arrival lot
	Part  *big.Rat  // above 0, at most 1; not to be changed, other lots may hold the same
}

// Composition says with which arrivals the plants of a lot came: by id of the
// arrival lot, the parts adding up to exactly 1. It is empty for a lot that was
// never born. It is fixed at the lot's birth: whatever leaves a lot later is
// taken to leave it in the same parts.
type Composition []Share

// Of gives the part that came with the arrival lot; 0 when none did.
func (c Composition) Of(arrival domain.ID) *big.Rat {
	i, found := slices.BinarySearchFunc(c, arrival, func(s Share, id domain.ID) int { return bytes.Compare(s.LotID[:], id[:]) })
	if !found {
		return new(big.Rat)
	}
	return new(big.Rat).Set(c[i].Part)
}

// Single gives the one arrival all plants came with; false for a mixed lot.
func (c Composition) Single() (domain.ID, bool) {
	if len(c) != 1 {
		return domain.ID{}, false
	}
	return c[0].LotID, true
}

// Sum adds up the parts: 1, or 0 for a lot that was never born.
func (c Composition) Sum() *big.Rat {
	sum := new(big.Rat)
	for _, s := range c {
		sum.Add(sum, s.Part)
	}
	return sum
}

// Portion is how many plants a lot gave.
type Portion struct {
	LotID  domain.ID
	Plants int
}

// portions adds up the parts by lot, in the order of the ids.
func portions(parts []Part) []Portion {
	var all []Portion
	for _, p := range parts {
		i, found := slices.BinarySearchFunc(all, p.LotID, func(x Portion, id domain.ID) int { return bytes.Compare(x.LotID[:], id[:]) })
		if !found {
			all = slices.Insert(all, i, Portion{LotID: p.LotID})
		}
		all[i].Plants += p.Plants
	}
	return all
}

// mix weighs the compositions of the parents with the plants each gave.
func mix(parents []Portion, of func(domain.ID) Composition) Composition {
	if len(parents) == 1 {
		return of(parents[0].LotID)
	}
	all, sums := 0, map[domain.ID]*big.Rat{}
	for _, p := range parents {
		all += p.Plants
	}
	for _, p := range parents {
		weight := big.NewRat(int64(p.Plants), int64(all))
		for _, s := range of(p.LotID) {
			if sums[s.LotID] == nil {
				sums[s.LotID] = new(big.Rat)
			}
			sums[s.LotID].Add(sums[s.LotID], new(big.Rat).Mul(weight, s.Part))
		}
	}
	mixed := make(Composition, 0, len(sums))
	for id, part := range sums {
		mixed = append(mixed, Share{id, part})
	}
	slices.SortFunc(mixed, func(a, b Share) int { return bytes.Compare(a.LotID[:], b.LotID[:]) })
	return mixed
}
