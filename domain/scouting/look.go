package scouting

import (
	"fmt"
	"slices"
	"time"
	"unicode/utf8"

	"benchtrail/domain"
)

// Purpose says why a block was looked at.
type Purpose string

// The purposes. Looks made on purpose, at a hot spot for one, stay out of estimates.
const (
	Planned   Purpose = "planned"
	OnPurpose Purpose = "on_purpose"
)

// Plant is what was noted of one plant for one organism.
type Plant struct {
	Seen      bool // the organism was seen
	DenseLeaf bool // a leaf of it was densely covered
	Signs     []Sign
}

// Target is what was found of one organism in a look: plant by plant, or as a
// tally of how many plants were looked at and how many had it.
type Target struct {
	OrganismID     domain.ID
	SignsLookedFor bool // not noted is not absent
	Plants         []Plant
	Signs          []Sign // of the block as a whole
	Severity       []int  // for diseases: plants in classes 0 to 4

	PlantsLookedAt int // of the tally, or counted from Plants by Count
	InfestedPlants int
	PlantInfested  []bool // for each of Plants, by the rule; filled by Count
}

// Count fills the two counts of a target noted plant by plant, under the rule
// of the organism. A tally is left as it is.
func (t Target) Count(stagesThatCount []string) Target {
	if len(t.Plants) == 0 {
		return t
	}
	t.PlantsLookedAt, t.InfestedPlants = len(t.Plants), 0
	t.PlantInfested = make([]bool, len(t.Plants))
	for i, p := range t.Plants {
		if Infested(p.Seen, p.Signs, stagesThatCount) {
			t.PlantInfested[i] = true
			t.InfestedPlants++
		}
	}
	return t
}

// Doubt is a reason to ask a person about a look. The look is kept all the same.
type Doubt string

// The doubts.
const (
	LotNotInBlock Doubt = "lot_not_in_block" // the lot did not stand there then
	LotNotKnown   Doubt = "lot_not_known"    // no lot was named
	InTheFuture   Doubt = "in_the_future"    // the phone's clock was ahead
	ClockChanged  Doubt = "clock_changed"    // the phone's clock was set after the look was made
)

// CropStage is how far the plants of a block are.
type CropStage string

// CropStages gives them in the order plants go through them.
func CropStages() []CropStage {
	return []CropStage{"unrooted", "callused", "rooting", "established", "pinched", "shoots", "bracts_colouring", "finished"}
}

// Look is one block at one moment by one observer, of one lot or of a lot not
// yet known.
type Look struct {
	ID         domain.ID
	BlockID    domain.ID
	LotID      domain.ID // zero while it is not known
	LookedAt   time.Time
	ObserverID domain.ID
	Purpose    Purpose
	Targets    []Target
	Note       string
	Withdrawn  string // why, when it is
	Settled    string // why the look stands in spite of its doubts
	CropStage  CropStage
	HotSpot    string // where in the block one is; empty for none
	Seconds    int    // spent on the block with pauses out; 0 when not measured

	SiteID, HouseID domain.ID
	LookedOn        domain.Date // at the site
	ObserverName    string
	Doubts          []Doubt

	ImportID   domain.ID // the import it came with; zero for one made here
	ImportLine int       // of the file
}

// Check gives everything wrong with the look by itself as domain.Faults, or nil.
func (l Look) Check() error {
	var f domain.Faults
	f.Need(!l.BlockID.IsZero(), "/block_id")
	f.Need(!l.LookedAt.IsZero(), "/looked_at")
	f.Need(len(l.Targets) > 0, "/targets")
	l.checkBesides(&f)
	seen := map[domain.ID]bool{}
	for i, t := range l.Targets {
		path := fmt.Sprintf("/targets/%d", i)
		f.Need(!t.OrganismID.IsZero(), path+"/organism_id")
		if seen[t.OrganismID] {
			f.Add(path+"/organism_id", "twice", "the same organism is named twice")
		}
		seen[t.OrganismID] = true
		t.check(&f, path)
	}
	return f.Err()
}

// What is noted of a block besides its plants has bounds of its own.
const (
	MostHotSpot = 120   // characters
	MostSeconds = 86400 // a day
)

func (l Look) checkBesides(f *domain.Faults) {
	if l.CropStage != "" && !slices.Contains(CropStages(), l.CropStage) {
		f.Add("/crop_stage", "unknown_kind", "%q is not a stage of a crop", l.CropStage)
	}
	if n := utf8.RuneCountInString(l.HotSpot); n > MostHotSpot {
		f.Add("/hot_spot", "too_long", "has more than %d characters", MostHotSpot)
	}
	if l.Seconds < 0 || l.Seconds > MostSeconds {
		f.Add("/seconds", "out_of_range", "%d is not between 0 and %d", l.Seconds, MostSeconds)
	}
}

func (t Target) check(f *domain.Faults, path string) {
	switch {
	case len(t.Plants) > 0 && t.PlantsLookedAt > 0 && t.PlantInfested == nil: // not by Count
		f.Add(path+"/tally", "plants_and_tally", "give the plants one by one or a tally, not both")
		return
	case len(t.Plants) == 0 && t.PlantsLookedAt == 0:
		f.Add(path, "no_plants", "no plants were looked at: give them one by one or as a tally")
		return
	}
	if t.InfestedPlants > t.PlantsLookedAt && len(t.Plants) == 0 {
		f.Add(path+"/tally/infested_plants", "more_infested_than_looked_at",
			"%d plants infested of %d looked at", t.InfestedPlants, t.PlantsLookedAt)
	}
	for i, p := range t.Plants {
		if !p.Seen && len(p.Signs) > 0 {
			f.Add(fmt.Sprintf("%s/plants/%d/signs", path, i), "signs_on_unseen", "signs are noted on a plant where nothing was seen")
		}
	}
	if len(t.Severity) > 0 {
		sum, looked := 0, max(len(t.Plants), t.PlantsLookedAt)
		for _, n := range t.Severity {
			sum += n
		}
		if len(t.Severity) != 5 || sum != looked {
			f.Add(path+"/severity", "severity_does_not_add_up", "the five classes hold %d plants, %d were looked at", sum, looked)
		}
	}
}

// clockDrift is how much a phone's clock may wander between making a record and
// sending it, with the time the request takes, in milliseconds.
const clockDrift = 10 * 60 * 1000

// ClockSet reports whether the clock of a phone was set between making a record and
// sending it, from how far it was ahead of the server's then and is now, in
// milliseconds. The moments of the record were worked out by the former.
func ClockSet(aheadThen, aheadNow int64) bool {
	return aheadNow-aheadThen > clockDrift || aheadThen-aheadNow > clockDrift
}

// MomentInDoubt reports whether the moment of the look is in doubt for the clock it
// was told by: that of this version if it says another moment than the one before (a
// zero look for none), otherwise the one before's.
func (l Look) MomentInDoubt(before Look, clockSet bool) bool {
	if l.LookedAt.UnixMicro() == before.LookedAt.UnixMicro() { // as it is stored
		return slices.Contains(before.Doubts, ClockChanged)
	}
	return clockSet
}

// DoubtsNow gives the reasons to ask a person about the look, from what is known of
// the block at the time: whether the lot it names stood there, whether its moment is
// in doubt, and the clock of whoever received it. A phone's clock may be a few
// minutes ahead.
func (l Look) DoubtsNow(lotStoodThere, momentInDoubt bool, now time.Time) []Doubt {
	var doubts []Doubt
	switch {
	case l.LotID.IsZero():
		doubts = append(doubts, LotNotKnown)
	case !lotStoodThere:
		doubts = append(doubts, LotNotInBlock)
	}
	if l.LookedAt.After(now.Add(15 * time.Minute)) {
		doubts = append(doubts, InTheFuture)
	}
	if momentInDoubt {
		doubts = append(doubts, ClockChanged)
	}
	return doubts
}

// InDoubt reports whether a doubt of the look waits for a person.
func (l Look) InDoubt() bool { return len(l.Doubts) > 0 && l.Settled == "" }

// Counts reports whether the look enters the estimates.
func (l Look) Counts() bool { return l.Purpose != OnPurpose && l.Withdrawn == "" }
