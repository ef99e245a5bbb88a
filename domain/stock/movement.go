package stock

import (
	"fmt"
	"slices"
	"time"

	"benchtrail/domain"
)

// Kind says what a movement did.
type Kind string

// The kinds of movements.
const (
	Receive  Kind = "receive"  // the plants were counted at the dock
	Stick    Kind = "stick"    // cuttings were put in medium
	Root     Kind = "root"     // of the plants stuck, the rooted ones were counted: the strike
	Pot      Kind = "pot"      // liners were put in their final pot
	Pinch    Kind = "pinch"    // the tips were taken out
	Space    Kind = "space"    // pots were set further apart, in their block or into another
	Move     Kind = "move"     // plants went from one block to another
	Split    Kind = "split"    // some of a lot's plants became lots of their own
	Merge    Kind = "merge"    // plants of several lots became one new lot
	Discard  Kind = "discard"  // plants were thrown out, with a reason
	Dispatch Kind = "dispatch" // plants left for a customer
	Count    Kind = "count"    // a block was counted anew; the book follows the count
)

// rank is the place of the kind among movements of one moment. A count closes the
// moment: it says what was there after everything else.
func (k Kind) rank() int {
	return slices.Index([]Kind{Receive, Stick, Root, Pot, Pinch, Space, Move, Split, Merge, Discard, Dispatch, Count}, k)
}

// Movement is an event in the life of a lot.
type Movement struct {
	ID          domain.ID
	LotID       domain.ID // of a split the parent, of a merge the new lot
	Kind        Kind
	MovedAt     time.Time
	Plants      int       // of a root those stuck, of a count those found, of a split or merge all parts together
	FromBlockID domain.ID // zero: from the plants not yet placed; of a root or pinch: wherever they stand
	ToBlockID   domain.ID
	Reason      string
	Note        string
	Withdrawn   string

	Parts      []Part    // of a split its children, of a merge its parents
	Rooted     int       // of a root: how many of Plants have roots
	CustomerID domain.ID // of a dispatch

	PaperNumber  string // of a dispatch its delivery note, of a discard its record of destruction
	Code         string // of a merge: the code of the new lot, empty for one made here
	AlthoughHeld bool   // it is known that the plants were held, and it was done all the same

	// What follows from the rest of the book.
	SiteID domain.ID
	HeldBy []domain.ID // the holds and verdicts that forbade it at its moment; it is kept and marked
	Aside  *Conflict   // why it could not be entered in the book; nil when it was
}

// Part is what one lot has in a split (a child) or in a merge (a parent).
type Part struct {
	LotID       domain.ID
	Plants      int
	FromBlockID domain.ID // zero: from the plants not yet placed
	ToBlockID   domain.ID // zero: they stay where they stood
	Code        string    // of a split: the code of the child, empty for one made here
}

// target is where the plants of the part stand afterwards.
func (p Part) target() domain.ID {
	if p.ToBlockID.IsZero() {
		return p.FromBlockID
	}
	return p.ToBlockID
}

// Check gives everything wrong with the movement by itself as domain.Faults, or
// nil. Whether it fits the life of its lot is for FoldBook to say.
func (m Movement) Check() error {
	var f domain.Faults
	f.Need(!m.LotID.IsZero(), "/lot_id")
	f.Need(!m.MovedAt.IsZero(), "/moved_at")
	if least := m.leastPlants(); m.Plants < least {
		f.Add("/plants", "too_small", "%d plants is below %d", m.Plants, least)
	}
	m.checkBlocks(&f)
	switch m.Kind {
	case Split, Merge:
		m.checkParts(&f)
	case Root:
		if m.Rooted < 0 {
			f.Add("/rooted", "too_small", "%d rooted is below 0", m.Rooted)
		}
		if m.Rooted > m.Plants {
			f.Add("/rooted", "more_than_stuck", "%d rooted of %d stuck", m.Rooted, m.Plants)
		}
	case Discard:
		f.Need(m.Reason != "", "/reason")
	case Dispatch:
		f.Need(!m.CustomerID.IsZero(), "/customer_id")
	}
	m.checkUnwanted(&f)
	return f.Err()
}

func (m Movement) leastPlants() int {
	if m.Kind == Count {
		return 0
	}
	return 1
}

func (m Movement) checkBlocks(f *domain.Faults) {
	from, to := !m.FromBlockID.IsZero(), !m.ToBlockID.IsZero()
	switch m.Kind {
	case Receive:
		if from {
			f.Add("/from_block_id", "not_wanted", "plants that are received come from no block")
		}
	case Stick:
		f.Need(to, "/to_block_id")
		if from {
			f.Add("/from_block_id", "not_wanted", "cuttings are stuck from what is not yet placed; use a move between blocks")
		}
	case Pot:
		f.Need(to, "/to_block_id")
	case Space:
		f.Need(from, "/from_block_id")
		f.Need(to, "/to_block_id")
	case Move:
		f.Need(from, "/from_block_id")
		f.Need(to, "/to_block_id")
		if from && m.FromBlockID == m.ToBlockID {
			f.Add("/to_block_id", "same_block", "the plants are to move to the block they stand in")
		}
	case Split, Merge:
		if from {
			f.Add("/from_block_id", "not_wanted", "each part names the block it comes from")
		}
		if to {
			f.Add("/to_block_id", "not_wanted", "each part names the block it goes to")
		}
	case Discard:
		if to {
			f.Add("/to_block_id", "not_wanted", "plants that are discarded go to no block")
		}
	case Root, Pinch, Dispatch, Count:
		if to {
			f.Add("/to_block_id", "not_wanted", "a %s takes plants to no block", m.Kind)
		}
	default:
		f.Add("/kind", "unknown_kind", "%q is not a kind of movement", m.Kind)
	}
}

func (m Movement) checkParts(f *domain.Faults) {
	sum, lots := 0, map[domain.ID]bool{}
	for i, p := range m.Parts {
		at := fmt.Sprintf("/parts/%d", i)
		f.Need(!p.LotID.IsZero(), at+"/lot_id")
		if p.Plants < 1 {
			f.Add(at+"/plants", "too_small", "%d plants is below 1", p.Plants)
		}
		if p.LotID == m.LotID && !p.LotID.IsZero() {
			f.Add(at+"/lot_id", "with_itself", "a %s of a lot with itself", m.Kind)
		}
		for _, earlier := range m.Parts[:i] {
			if earlier.LotID == p.LotID && earlier.FromBlockID == p.FromBlockID && earlier.target() == p.target() {
				f.Add(at, "twice", "the same plants are named twice")
				break
			}
		}
		sum += p.Plants
		lots[p.LotID] = true
	}
	if m.Kind == Split && len(m.Parts) == 0 {
		f.Add("/parts", "too_few", "a split needs at least one child")
	}
	if m.Kind == Merge && len(lots) < 2 {
		f.Add("/parts", "too_few", "a merge of %d lots is not a merge", len(lots))
	}
	if sum != m.Plants {
		f.Add("/plants", "do_not_add_up", "the parts add up to %d plants, not to %d", sum, m.Plants)
	}
}

func (m Movement) checkUnwanted(f *domain.Faults) {
	if len(m.Parts) > 0 && m.Kind != Split && m.Kind != Merge {
		f.Add("/parts", "not_wanted", "a %s has no parts", m.Kind)
	}
	if m.Rooted != 0 && m.Kind != Root {
		f.Add("/rooted", "not_wanted", "a %s counts no rooted plants", m.Kind)
	}
	if m.Code != "" && m.Kind != Merge {
		f.Add("/code", "not_wanted", "a %s makes no lot to give a code", m.Kind)
	}
	for i, p := range m.Parts {
		if p.Code != "" && m.Kind != Split {
			f.Add(fmt.Sprintf("/parts/%d/code", i), "not_wanted", "a %s makes no lots of its parts", m.Kind)
		}
	}
	if m.PaperNumber != "" && m.Kind != Dispatch && m.Kind != Discard {
		f.Add("/paper_number", "not_wanted", "a %s has no paper of its own", m.Kind)
	}
	if !m.CustomerID.IsZero() && m.Kind != Dispatch {
		f.Add("/customer_id", "not_wanted", "a %s has no customer", m.Kind)
	}
}

// sum is what the parts add up to.
func (m Movement) sum() int {
	sum := 0
	for _, p := range m.Parts {
		sum += p.Plants
	}
	return sum
}

// Sources are the lots whose plants the movement touches, each once, as named.
func (m Movement) Sources() []domain.ID {
	if m.Kind != Merge {
		return []domain.ID{m.LotID}
	}
	return m.partLots()
}

// Births are the lots that begin with the movement, each once, as named.
func (m Movement) Births() []domain.ID {
	switch m.Kind {
	case Split:
		return m.partLots()
	case Merge:
		return []domain.ID{m.LotID}
	}
	return nil
}

func (m Movement) partLots() []domain.ID {
	var lots []domain.ID
	for _, p := range m.Parts {
		if !slices.Contains(lots, p.LotID) {
			lots = append(lots, p.LotID)
		}
	}
	return lots
}
