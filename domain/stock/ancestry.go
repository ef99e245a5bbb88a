package stock

import (
	"bytes"
	"cmp"
	"math/big"
	"slices"
	"time"

	"benchtrail/domain"
)

// Ancestor is a lot that plants of another went through. What was found on it,
// done to it or held of it from From up to, and not at, Until holds for them.
type Ancestor struct {
	LotID   domain.ID
	Arrival bool
	From    time.Time // its birth; zero for an arrival: from the beginning
	Until   time.Time // when the plants left it
	Share   *big.Rat  // of the lot's plants at its birth
}

// Ancestry gives the lots that the plants of the lot went through before it, the
// latest first. A lot that was left at several moments is named for each. An
// arrival, and a lot the book does not know, has none.
func (b Book) Ancestry(lot domain.ID) []Ancestor {
	type way struct {
		lot   domain.ID
		until time.Time
	}
	var (
		rows    []Ancestor
		row     = map[way]int{}
		share   = map[domain.ID]*big.Rat{lot: big.NewRat(1, 1)}
		waiting = []*Account{}
	)
	if a := b.find(lot); a != nil {
		waiting = append(waiting, a)
	}
	// Children are done before their parents, so that a share is whole when it is
	// passed on.
	for len(waiting) > 0 {
		i := 0
		for j, a := range waiting {
			if a.born > waiting[i].born {
				i = j
			}
		}
		a := waiting[i]
		waiting = slices.Delete(waiting, i, i+1)
		for _, p := range a.Birth.Parents {
			parent := b.find(p.LotID)
			part := new(big.Rat).Mul(share[a.Lot.ID], big.NewRat(int64(p.Plants), int64(a.Tally.In)))
			w := way{p.LotID, a.Birth.At.UTC()}
			if at, known := row[w]; known {
				rows[at].Share.Add(rows[at].Share, part)
			} else {
				row[w] = len(rows)
				x := Ancestor{LotID: p.LotID, Arrival: parent.arrival(), Until: a.Birth.At, Share: new(big.Rat).Set(part)}
				if !x.Arrival {
					x.From = parent.Birth.At
				}
				rows = append(rows, x)
			}
			if share[p.LotID] == nil {
				share[p.LotID] = new(big.Rat)
				waiting = append(waiting, parent)
			}
			share[p.LotID].Add(share[p.LotID], part)
		}
	}
	slices.SortFunc(rows, func(x, y Ancestor) int {
		return cmp.Or(y.Until.Compare(x.Until), bytes.Compare(x.LotID[:], y.LotID[:]))
	})
	return rows
}

// Descendants gives the lots with plants that went through one of the lots, in
// the order of their birth, without the lots themselves.
func (b Book) Descendants(lots ...domain.ID) []domain.ID {
	seen := map[domain.ID]bool{}
	var found []*Account
	next := slices.Clone(lots)
	for len(next) > 0 {
		a := b.find(next[len(next)-1])
		next = next[:len(next)-1]
		if a == nil {
			continue
		}
		for _, child := range a.Children {
			if !seen[child] {
				seen[child] = true
				next = append(next, child)
				found = append(found, b.find(child))
			}
		}
	}
	slices.SortFunc(found, func(x, y *Account) int { return cmp.Compare(x.born, y.born) })
	var ids []domain.ID
	for _, a := range found {
		if !slices.Contains(lots, a.Lot.ID) {
			ids = append(ids, a.Lot.ID)
		}
	}
	return ids
}

// Balance is where the plants of one arrival are, through all lots they went
// into. Of a mixed lot each number belongs to the arrival by its part of the
// lot's composition, so that Received = OnHand + Discarded + Dispatched + Lost -
// Gained exactly.
type Balance struct {
	LotID                                       domain.ID
	Received                                    int
	OnHand, Discarded, Dispatched, Lost, Gained *big.Rat
}

// Balance adds up where the plants of an arrival lot are; all are 0 for a lot
// that did not arrive.
func (b Book) Balance(arrival domain.ID) Balance {
	x := Balance{arrival, 0, new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat), new(big.Rat)}
	a := b.find(arrival)
	if a == nil || !a.arrival() {
		return x
	}
	x.Received = a.Tally.In
	for _, id := range append(b.Descendants(arrival), arrival) {
		lot := b.find(id)
		part, t := lot.Composition.Of(arrival), lot.Tally
		add := func(sum *big.Rat, plants int) {
			sum.Add(sum, new(big.Rat).Mul(part, new(big.Rat).SetInt64(int64(plants))))
		}
		add(x.OnHand, t.OnHand())
		add(x.Discarded, t.Discarded)
		add(x.Dispatched, t.Dispatched)
		add(x.Lost, t.Lost)
		add(x.Gained, t.Gained)
	}
	return x
}
