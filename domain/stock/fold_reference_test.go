package stock_test

import (
	"bytes"
	"cmp"
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// A second, plain way to fold the movements of one lot that is never split or
// merged, of the five first kinds. The book is held against it.

// life is what the movements of a lot add up to.
type life struct {
	Placements []stock.Placement // by block and time; counts of one block never overlap
	Unplaced   int               // plants at the dock or otherwise in no block
	Placed     int               // plants standing in blocks
	Discarded  int
	StuckAt    time.Time // the first sticking; zero when none
}

// OnHand counts the plants that are still there.
func (l life) OnHand() int { return l.Unplaced + l.Placed }

// fold turns the movements of one lot, in any order, into its life. Withdrawn
// movements do not count. The lot starts with the plants its papers name; a
// receive puts the count of the dock in their place. When a movement takes more
// than there is, the answer is domain.Faults that name the numbers and the day.
func fold(lot stock.Lot, movements []stock.Movement) (life, error) {
	standing := []stock.Movement{}
	for _, m := range movements {
		if m.Withdrawn == "" {
			standing = append(standing, m)
		}
	}
	slices.SortFunc(standing, inTime)

	var (
		f      domain.Faults
		one    = life{Unplaced: lot.Plants}
		counts = map[domain.ID]int{}
		since  = map[domain.ID]time.Time{}
	)
	set := func(block domain.ID, at time.Time, plants int) {
		if had := counts[block]; had > 0 && since[block].Before(at) {
			one.Placements = append(one.Placements, stock.Placement{lot.ID, block, since[block], at, had})
		}
		counts[block], since[block] = plants, at
	}
	received := false
	for _, m := range standing {
		if m.Kind == stock.Receive {
			if received {
				one.Unplaced += m.Plants
			} else {
				one.Unplaced += m.Plants - lot.Plants
			}
			received = true
			if one.Unplaced < 0 {
				f.Add("/plants", "fewer_than_placed", "%d plants were received on %s but %d had been placed or discarded by then",
					m.Plants, m.MovedAt.Format(time.DateOnly), m.Plants-one.Unplaced)
				return life{}, f.Err()
			}
			if m.ToBlockID.IsZero() {
				continue
			}
		}
		there := one.Unplaced
		if !m.FromBlockID.IsZero() {
			there = counts[m.FromBlockID]
		}
		if m.Plants > there {
			f.Add("/plants", "more_than_there", "%d plants are to go but only %d stood there on %s",
				m.Plants, there, m.MovedAt.Format(time.DateOnly))
			return life{}, f.Err()
		}
		if m.FromBlockID.IsZero() {
			one.Unplaced -= m.Plants
		} else {
			set(m.FromBlockID, m.MovedAt, there-m.Plants)
		}
		if m.Kind == stock.Discard {
			one.Discarded += m.Plants
			continue
		}
		set(m.ToBlockID, m.MovedAt, counts[m.ToBlockID]+m.Plants)
		if m.Kind == stock.Stick && one.StuckAt.IsZero() {
			one.StuckAt = m.MovedAt
		}
	}
	for block, plants := range counts {
		if plants > 0 {
			one.Placements = append(one.Placements, stock.Placement{lot.ID, block, since[block], time.Time{}, plants})
			one.Placed += plants
		}
	}
	slices.SortFunc(one.Placements, func(a, b stock.Placement) int {
		return cmp.Or(bytes.Compare(a.BlockID[:], b.BlockID[:]), a.From.Compare(b.From))
	})
	return one, nil
}

// Movements of one moment go in the order of a lot's life, then by id, so that
// the answer never depends on the order in which they became known.
func inTime(a, b stock.Movement) int {
	rank := func(k stock.Kind) int {
		return slices.Index([]stock.Kind{stock.Receive, stock.Stick, stock.Pot, stock.Move, stock.Discard}, k)
	}
	return cmp.Or(a.MovedAt.Compare(b.MovedAt), cmp.Compare(rank(a.Kind), rank(b.Kind)), bytes.Compare(a.ID[:], b.ID[:]))
}
