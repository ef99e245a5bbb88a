package stock

import (
	"time"

	"benchtrail/domain"
)

// Kind says what a movement did.
type Kind string

// The kinds of movements.
const (
	Receive Kind = "receive" // the plants were counted at the dock
	Stick   Kind = "stick"   // cuttings were put in medium
	Pot     Kind = "pot"     // liners were put in their final pot
	Move    Kind = "move"    // plants went from one block to another
	Discard Kind = "discard" // plants were thrown out, with a reason
)

// Movement is an event in the life of a lot.
type Movement struct {
	ID          domain.ID
	LotID       domain.ID
	Kind        Kind
	MovedAt     time.Time
	Plants      int
	FromBlockID domain.ID // zero: from the plants not yet placed
	ToBlockID   domain.ID
	Reason      string
	Note        string
	Withdrawn   string

	SiteID    domain.ID
	WhileHeld bool // the lot was on hold at the time; kept and marked
}

// Check gives everything wrong with the movement by itself as domain.Faults, or
// nil. Whether it fits the life of its lot is for Fold to say.
func (m Movement) Check() error {
	var f domain.Faults
	f.Need(!m.LotID.IsZero(), "/lot_id")
	f.Need(!m.MovedAt.IsZero(), "/moved_at")
	if m.Plants < 1 {
		f.Add("/plants", "too_small", "%d plants is below 1", m.Plants)
	}
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
	case Move:
		f.Need(from, "/from_block_id")
		f.Need(to, "/to_block_id")
		if from && m.FromBlockID == m.ToBlockID {
			f.Add("/to_block_id", "same_block", "the plants are to move to the block they stand in")
		}
	case Discard:
		f.Need(m.Reason != "", "/reason")
		if to {
			f.Add("/to_block_id", "not_wanted", "plants that are discarded go to no block")
		}
	default:
		f.Add("/kind", "unknown_kind", "%q is not a kind of movement", m.Kind)
	}
	return f.Err()
}
