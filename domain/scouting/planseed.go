package scouting

import (
	"encoding/binary"
	"fmt"
	"math/rand/v2"

	"benchtrail/domain"
)

// Seed is what a plan is drawn from: the panel from the season's number, turns
// among equals and positions from the week's. The same seed gives the same plan.
type Seed struct{ Season, Week uint64 }

// SeedOf gives the seed of a house in a season and week. It needs no memory: who
// asks again, on another day or another machine, gets the same.
func SeedOf(house, season domain.ID, week domain.Week) Seed {
	number := uint64(week.Year)<<8 | uint64(week.Number) //nolint:gosec // any bits will do
	return Seed{Season: draw(draw(0, house), season), Week: draw(draw(number, house), house)}
}

// String gives the two numbers in hexadecimal.
func (s Seed) String() string { return fmt.Sprintf("%016x-%016x", s.Season, s.Week) }

func (s Seed) at(block, lot domain.ID) uint64 { return draw(draw(s.Week, block), lot) }

// draw gives the number that falls to a record.
func draw(seed uint64, id domain.ID) uint64 {
	return rand.NewPCG(seed^binary.BigEndian.Uint64(id[:8]), binary.BigEndian.Uint64(id[8:])).Uint64()
}
