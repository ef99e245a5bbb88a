package stock

import (
	"bytes"
	"cmp"
	"slices"
	"time"

	"benchtrail/domain"
)

// Placement says that a number of plants of a lot stood in a block for a time.
type Placement struct {
	LotID   domain.ID
	BlockID domain.ID
	From    time.Time
	To      time.Time // zero while they stand there
	Plants  int
}

// Life is what the movements of a lot add up to.
type Life struct {
	Placements []Placement // by block and time; counts of one block never overlap
	Unplaced   int         // plants at the dock or otherwise in no block
	Placed     int         // plants standing in blocks
	Discarded  int
	StuckAt    time.Time // the first sticking; zero when none
}

// OnHand counts the plants that are still there.
func (l Life) OnHand() int { return l.Unplaced + l.Placed }

// Fold turns the movements of one lot, in any order, into its life. Withdrawn
// movements do not count. The lot starts with the plants its papers name; a
// receive puts the count of the dock in their place. When a movement takes more
// than there is, the answer is domain.Faults that name the numbers and the day.
func Fold(lot Lot, movements []Movement) (Life, error) {
	standing := []Movement{}
	for _, m := range movements {
		if m.Withdrawn == "" {
			standing = append(standing, m)
		}
	}
	slices.SortFunc(standing, inTime)

	var (
		f      domain.Faults
		life   = Life{Unplaced: lot.Plants}
		counts = map[domain.ID]int{}
		since  = map[domain.ID]time.Time{}
	)
	set := func(block domain.ID, at time.Time, plants int) {
		if had := counts[block]; had > 0 && since[block].Before(at) {
			life.Placements = append(life.Placements, Placement{lot.ID, block, since[block], at, had})
		}
		counts[block], since[block] = plants, at
	}
	received := false
	for _, m := range standing {
		if m.Kind == Receive {
			if received {
				life.Unplaced += m.Plants
			} else {
				life.Unplaced += m.Plants - lot.Plants
			}
			received = true
			if life.Unplaced < 0 {
				f.Add("/plants", "fewer_than_placed", "%d plants were received on %s but %d had been placed or discarded by then",
					m.Plants, m.MovedAt.Format(time.DateOnly), m.Plants-life.Unplaced)
				return Life{}, f.Err()
			}
			if m.ToBlockID.IsZero() {
				continue
			}
		}
		there := life.Unplaced
		if !m.FromBlockID.IsZero() {
			there = counts[m.FromBlockID]
		}
		if m.Plants > there {
			f.Add("/plants", "more_than_there", "%d plants are to go but only %d stood there on %s",
				m.Plants, there, m.MovedAt.Format(time.DateOnly))
			return Life{}, f.Err()
		}
		if m.FromBlockID.IsZero() {
			life.Unplaced -= m.Plants
		} else {
			set(m.FromBlockID, m.MovedAt, there-m.Plants)
		}
		if m.Kind == Discard {
			life.Discarded += m.Plants
			continue
		}
		set(m.ToBlockID, m.MovedAt, counts[m.ToBlockID]+m.Plants)
		if m.Kind == Stick && life.StuckAt.IsZero() {
			life.StuckAt = m.MovedAt
		}
	}
	for block, plants := range counts {
		if plants > 0 {
			life.Placements = append(life.Placements, Placement{lot.ID, block, since[block], time.Time{}, plants})
			life.Placed += plants
		}
	}
	slices.SortFunc(life.Placements, func(a, b Placement) int {
		return cmp.Or(bytes.Compare(a.BlockID[:], b.BlockID[:]), a.From.Compare(b.From))
	})
	return life, nil
}

// Movements of one moment go in the order of a lot's life, then by id, so that
// the answer never depends on the order in which they became known.
func inTime(a, b Movement) int {
	rank := func(k Kind) int { return slices.Index([]Kind{Receive, Stick, Pot, Move, Discard}, k) }
	return cmp.Or(a.MovedAt.Compare(b.MovedAt), cmp.Compare(rank(a.Kind), rank(b.Kind)), bytes.Compare(a.ID[:], b.ID[:]))
}

// StoodIn reports whether plants of the placements stood in the block at the moment.
func StoodIn(placements []Placement, block domain.ID, at time.Time) bool {
	return slices.ContainsFunc(placements, func(p Placement) bool {
		return p.BlockID == block && !at.Before(p.From) && (p.To.IsZero() || at.Before(p.To))
	})
}
