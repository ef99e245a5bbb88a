// Package arrival knows what happens at the dock: how many plants to look at,
// what an inspection does and does not rule out, and what it suggests.
package arrival

import (
	"fmt"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

// Occasion says which of the two looks at an arriving lot an inspection is.
type Occasion string

// The occasions.
const (
	AtDock     Occasion = "dock"
	SecondLook Occasion = "second_look" // when first instars can be seen
)

// What is asked of an inspection when nothing else is said (common practice).
const (
	DefaultDetectionPercent   = 5
	DefaultConfidencePercent  = 95
	DefaultSensitivityPercent = 100
)

// Sign is a stage seen at the dock, with the plants that carried it.
type Sign struct {
	Stage  scouting.Stage
	State  scouting.State
	Colour string
	Plants int
}

// Finding is what an inspection found of one organism.
type Finding struct {
	OrganismID     domain.ID
	PlantsLookedAt int
	InfestedPlants int // at the dock eggs count
	Signs          []Sign
}

// Incidence is how many of the plants looked at had a disease.
type Incidence struct {
	Name           string
	PlantsLookedAt int
	PlantsWith     int
}

// Inspection is a look at a sample of an arriving lot.
type Inspection struct {
	ID          domain.ID
	LotID       domain.ID
	Occasion    Occasion
	InspectedAt time.Time
	InspectorID domain.ID
	LensPower   float64 // magnification; 0 when no lens was used
	// What was asked of the sample, in percent.
	DetectionPercent, ConfidencePercent, SensitivityPercent float64
	Findings                                                []Finding
	Roots                                                   Roots
	Condition                                               Condition
	LeafSpots                                               Incidence
	OtherDiseases                                           []Incidence
	Note                                                    string
	Withdrawn                                               string

	SiteID        domain.ID
	InspectorName string
	Reading       Reading
}

// Roots counts rooted plants by the look of their roots.
type Roots struct{ White, PartlyBrown, Brown, None int }

// Total counts the plants looked at.
func (r Roots) Total() int { return r.White + r.PartlyBrown + r.Brown + r.None }

// Condition counts plants by the state they arrived in.
type Condition struct{ Sound, SlightlyDamaged, BadlyDamaged, Unusable int }

// Total counts the plants looked at.
func (c Condition) Total() int {
	return c.Sound + c.SlightlyDamaged + c.BadlyDamaged + c.Unusable
}

// Check gives everything wrong with the inspection by itself as domain.Faults,
// or nil.
func (x Inspection) Check() error {
	var f domain.Faults
	f.Need(!x.LotID.IsZero(), "/lot_id")
	f.Need(!x.InspectedAt.IsZero(), "/inspected_at")
	f.Need(len(x.Findings) > 0, "/findings")
	seen := map[domain.ID]bool{}
	for i, finding := range x.Findings {
		path := fmt.Sprintf("/findings/%d", i)
		f.Need(!finding.OrganismID.IsZero(), path+"/organism_id")
		if seen[finding.OrganismID] {
			f.Add(path+"/organism_id", "twice", "the same organism is named twice")
		}
		seen[finding.OrganismID] = true
		checkCounts(&f, path+"/infested_plants", finding.InfestedPlants, finding.PlantsLookedAt)
		for j, sign := range finding.Signs {
			if sign.Plants > finding.PlantsLookedAt {
				f.Add(fmt.Sprintf("%s/signs/%d/plants", path, j), "more_infested_than_looked_at",
					"the sign is on %d plants of %d looked at", sign.Plants, finding.PlantsLookedAt)
			}
		}
	}
	checkCounts(&f, "/leaf_spots/plants_with", x.LeafSpots.PlantsWith, x.LeafSpots.PlantsLookedAt)
	for i, d := range x.OtherDiseases {
		checkCounts(&f, fmt.Sprintf("/other_diseases/%d/plants_with", i), d.PlantsWith, d.PlantsLookedAt)
	}
	return f.Err()
}

func checkCounts(f *domain.Faults, path string, with, lookedAt int) {
	if with > lookedAt {
		f.Add(path, "more_infested_than_looked_at", "%d plants infested of %d looked at", with, lookedAt)
	}
}

// CheckAgainst gives what is wrong with the inspection given its lot's size and
// the moment its shipment left the farm (zero when not known).
func (x Inspection) CheckAgainst(lotPlants int, leftAt time.Time) error {
	var f domain.Faults
	if !leftAt.IsZero() && x.InspectedAt.Before(leftAt) {
		f.Add("/inspected_at", "before_departure", "the inspection is dated %s, before the shipment left on %s",
			x.InspectedAt.Format(time.RFC3339), leftAt.Format(time.RFC3339))
	}
	for i, finding := range x.Findings {
		if finding.PlantsLookedAt > lotPlants {
			f.Add(fmt.Sprintf("/findings/%d/plants_looked_at", i), "more_than_lot",
				"%d plants looked at in a lot of %d", finding.PlantsLookedAt, lotPlants)
		}
	}
	return f.Err()
}

// Decision is what a person decided about a lot.
type Decision string

// The decisions.
const (
	Accept         Decision = "accept"
	AcceptAndWatch Decision = "accept_and_watch"
	Dip            Decision = "dip" // accepted after an immersion, recorded as a treatment
	Hold           Decision = "hold"
	Reject         Decision = "reject"
)

// Verdict is a decision, signed by the person who records it.
type Verdict struct {
	ID           domain.ID
	InspectionID domain.ID
	Decision     Decision
	Plants       int // when it covers a part of the lot; 0 for all of it
	Because      string
	Withdrawn    string

	LotID, SiteID domain.ID
	Suggested     Decision // what was suggested when it was signed
}

// Check gives everything wrong with the verdict as domain.Faults, or nil.
func (v Verdict) Check() error {
	var f domain.Faults
	f.Need(!v.InspectionID.IsZero(), "/inspection_id")
	f.Need(v.Decision != "", "/decision")
	return f.Err()
}
