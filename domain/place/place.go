// Package place knows where plants stand: sites, houses, sections and blocks.
package place

import (
	"time"

	"benchtrail/domain"
)

// Site is one growing site. Its dates are local dates in its time zone.
type Site struct {
	ID       domain.ID
	Name     string
	TimeZone string // IANA name, such as America/Chicago
	Country  string // ISO 3166-1 alpha-2, or empty

	RoundRules RoundRules
}

// RoundRules are what the people of a site ask of a round of scouting. What is
// zero, or nil, they leave to common practice.
type RoundRules struct {
	CropPercent         float64 // of the plants of a house
	BlocksPercent       float64 // of its blocks
	PlantsPerBlockLeast int
	PlantsPerBlockMost  int
	SecondsPerPlant     float64
	MinutesPerBlock     *float64 // on the way; 0 is an answer
}

// Check gives everything wrong with the site as domain.Faults, or nil.
func (s Site) Check() error {
	var f domain.Faults
	f.Need(s.Name != "", "/name")
	if _, err := s.Location(); err != nil {
		f.Add("/time_zone", "unknown_time_zone", "%q is not the name of a time zone, such as America/Chicago", s.TimeZone)
	}
	if r := s.RoundRules; r.PlantsPerBlockMost > 0 && r.PlantsPerBlockLeast > r.PlantsPerBlockMost {
		f.Add("/round_rules/plants_per_block_most", "below_the_least",
			"%d are fewer than the least, %d", r.PlantsPerBlockMost, r.PlantsPerBlockLeast)
	}
	return f.Err()
}

// Location gives the zone the site's clocks follow. An empty name and "Local"
// are refused: they would mean the zone of the machine.
func (s Site) Location() (*time.Location, error) {
	if s.TimeZone == "" || s.TimeZone == "Local" {
		return nil, domain.Faults{{Path: "/time_zone", Code: "missing", Detail: "is needed"}}
	}
	return time.LoadLocation(s.TimeZone)
}

// House is a greenhouse, or a compartment with a climate of its own.
type House struct {
	ID     domain.ID
	SiteID domain.ID
	Name   string
	AreaM2 float64 // square metres; 0 when not known
}

// Check gives everything wrong with the house as domain.Faults, or nil.
func (h House) Check() error {
	var f domain.Faults
	f.Need(!h.SiteID.IsZero(), "/site_id")
	f.Need(h.Name != "", "/name")
	return f.Err()
}

// Section is the blocks that one grower looks after.
type Section struct {
	ID       domain.ID
	SiteID   domain.ID
	Name     string
	GrowerID domain.ID // zero when nobody is named
}

// Check gives everything wrong with the section as domain.Faults, or nil.
func (s Section) Check() error {
	var f domain.Faults
	f.Need(!s.SiteID.IsZero(), "/site_id")
	f.Need(s.Name != "", "/name")
	return f.Err()
}

// Block is the smallest area scouted on its own.
type Block struct {
	ID        domain.ID
	SiteID    domain.ID // of its house
	HouseID   domain.ID
	SectionID domain.ID // zero when it is in none
	Name      string
	Position  int // walking order in the house; neighbours differ by one

	Quarantine bool   // plants may be brought here while they are held
	Water      string // the water it shares with the blocks of the same name, or empty
	Tools      string // the same of tools
}

// Check gives everything wrong with the block as domain.Faults, or nil.
func (b Block) Check() error {
	var f domain.Faults
	f.Need(!b.HouseID.IsZero(), "/house_id")
	f.Need(b.Name != "", "/name")
	if b.Position < 0 {
		f.Add("/position", "too_small", "%d is below 0", b.Position)
	}
	return f.Err()
}

// Beside reports whether two blocks are neighbours on the way through a house.
func (b Block) Beside(other Block) bool {
	apart := b.Position - other.Position
	return b.HouseID == other.HouseID && (apart == 1 || apart == -1)
}
