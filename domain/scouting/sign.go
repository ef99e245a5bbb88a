// Package scouting knows how plants are looked at and what the looks say.
package scouting

import (
	"slices"
)

// Stage is a stage in the life of an insect.
type Stage string

// The stages of whitefly; other insects use those that fit.
const (
	Egg        Stage = "egg"
	SmallNymph Stage = "small_nymph" // first and second instar
	LargeNymph Stage = "large_nymph" // third and fourth instar
	Pupa       Stage = "pupa"
	EmptyCase  Stage = "empty_case" // the shell of a pupa after the adult left
	Adult      Stage = "adult"
)

// State is the state a stage was found in.
type State string

// The states. The empty State is read as Alive.
const (
	Alive       State = "alive"
	Parasitised State = "parasitised"
	HostFed     State = "host_fed" // emptied by a natural enemy that fed on it
	Dried       State = "dried"
)

// Place is the growth a sign was found on.
type Place string

// The places.
const (
	NewGrowth Place = "new_growth"
	OldGrowth Place = "old_growth"
)

// Sign is one thing seen on a plant.
type Sign struct {
	Stage  Stage
	Place  Place
	State  State
	Colour string // as seen; it is never turned into a species
	Amount string // few, some, many or empty
}

// Living reports whether the sign is a living stage. An empty or parasitised
// case by itself is a sign, not an infestation.
func (s Sign) Living() bool {
	return s.Stage != EmptyCase && (s.State == "" || s.State == Alive)
}

// Infested is the written rule for one plant: it was seen to carry the organism
// and, when its signs were noted, at least one of them is a living stage among
// those that count. Where the organism names no stages, any living one counts
// (common practice).
func Infested(seen bool, signs []Sign, stagesThatCount []string) bool {
	if !seen {
		return false
	}
	if len(signs) == 0 {
		return true
	}
	return slices.ContainsFunc(signs, func(s Sign) bool {
		return s.Living() && (len(stagesThatCount) == 0 || slices.Contains(stagesThatCount, string(s.Stage)))
	})
}
