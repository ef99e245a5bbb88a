package stock

import (
	"bytes"
	"cmp"
	"slices"
	"time"

	"benchtrail/domain"
)

// Contact says that plants of another lot stood in the same block.
type Contact struct {
	LotID   domain.ID // the other lot
	BlockID domain.ID
	From    time.Time
	To      time.Time // zero while they stand together
}

// Contacts gives the lots that shared a block with the lot, by moment, block and
// lot. Time together that only the counts of plants interrupt is one contact.
func (b Book) Contacts(lot domain.ID) []Contact {
	a := b.find(lot)
	if a == nil {
		return nil
	}
	own := stays(a.Placements)
	blocks := map[domain.ID]bool{}
	for _, s := range own {
		blocks[s.BlockID] = true
	}
	var found []Contact
	for i := range b.Accounts {
		other := &b.Accounts[i]
		if other.Lot.ID == lot || !slices.ContainsFunc(other.Placements, func(p Placement) bool { return blocks[p.BlockID] }) {
			continue
		}
		for _, theirs := range stays(other.Placements) {
			for _, ours := range own {
				if from, to, ok := together(ours, theirs); ok {
					found = append(found, Contact{other.Lot.ID, ours.BlockID, from, to})
				}
			}
		}
	}
	slices.SortFunc(found, func(x, y Contact) int {
		return cmp.Or(x.From.Compare(y.From), bytes.Compare(x.BlockID[:], y.BlockID[:]), bytes.Compare(x.LotID[:], y.LotID[:]))
	})
	return found
}

// stays joins the placements, by block and time, that follow each other without a
// gap.
func stays(placements []Placement) []Placement {
	var all []Placement
	for _, p := range placements {
		if n := len(all); n > 0 && all[n-1].BlockID == p.BlockID && all[n-1].To.Equal(p.From) {
			all[n-1].To = p.To
			continue
		}
		all = append(all, p)
	}
	return all
}

func together(a, b Placement) (from, to time.Time, ok bool) {
	if a.BlockID != b.BlockID {
		return from, to, false
	}
	from, to = a.From, a.To
	if b.From.After(from) {
		from = b.From
	}
	if to.IsZero() || !b.To.IsZero() && b.To.Before(to) {
		to = b.To
	}
	return from, to, to.IsZero() || from.Before(to)
}
