package stock

import (
	"slices"
	"time"

	"benchtrail/domain"
)

// Fits asks whether the candidate can be entered in the book of the movements. It
// gives domain.Faults with the numbers when the candidate would be set aside, and
// when others that fit so far would be because of it (code makes_impossible).
// What is in conflict already does not count against it. A candidate with the id
// of one of the movements takes its place, so that a correction or a withdrawal
// is asked about in the same way. Holds are for Holding.Forbids to say.
func Fits(lots []Lot, movements []Movement, candidate Movement) error {
	if err := candidate.Check(); err != nil {
		return err
	}
	with := slices.DeleteFunc(slices.Clone(movements), func(m Movement) bool { return m.ID == candidate.ID })
	with = append(with, candidate)
	known := map[domain.ID]bool{}
	for _, c := range FoldBook(lots, movements).Conflicts {
		known[c.Movement.ID] = true
	}
	var f domain.Faults
	for _, c := range FoldBook(lots, with).Conflicts {
		switch {
		case c.Movement.ID == candidate.ID:
			f.Add(c.path, string(c.Code), "%s", c.Detail)
		case !known[c.Movement.ID]:
			f.Add("/moved_at", "makes_impossible", "then the %s of %s no longer fits: %s",
				c.Movement.Kind, c.Movement.MovedAt.Format(time.DateOnly), c.Detail)
		}
	}
	return f.Err()
}
