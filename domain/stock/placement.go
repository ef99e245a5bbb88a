package stock

import (
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

// StoodIn reports whether plants of the placements stood in the block at the moment.
func StoodIn(placements []Placement, block domain.ID, at time.Time) bool {
	return slices.ContainsFunc(placements, func(p Placement) bool {
		return p.BlockID == block && !at.Before(p.From) && (p.To.IsZero() || at.Before(p.To))
	})
}
