// Package stock knows the plants and their past: who sent them, what they are,
// which lots there are and what happened to each.
package stock

import (
	"benchtrail/domain"
)

// DefaultClaimHours is the claim time of a supplier who states none (common
// practice; published terms of young-plant sellers run from 24 to 48 hours).
const DefaultClaimHours = 24

// Supplier sends cuttings.
type Supplier struct {
	ID         domain.ID
	Name       string
	Country    string // ISO 3166-1 alpha-2, or empty
	ClaimHours int    // hours after receipt within which a claim must be sent
	Note       string
}

// Check gives everything wrong with the supplier as domain.Faults, or nil.
func (s Supplier) Check() error {
	var f domain.Faults
	f.Need(s.Name != "", "/name")
	if s.ClaimHours < 1 {
		f.Add("/claim_hours", "too_small", "%d hours is below 1", s.ClaimHours)
	}
	return f.Err()
}

// Customer is who plants are sent to.
type Customer struct {
	ID      domain.ID
	Name    string
	Country string // ISO 3166-1 alpha-2, or empty
	Note    string
}

// Check gives everything wrong with the customer as domain.Faults, or nil.
func (x Customer) Check() error {
	var f domain.Faults
	f.Need(x.Name != "", "/name")
	return f.Err()
}

// Farm is where cuttings were grown. Farms of one supplier have different histories.
type Farm struct {
	ID         domain.ID
	SupplierID domain.ID
	Name       string
	Country    string
}

// Check gives everything wrong with the farm as domain.Faults, or nil.
func (x Farm) Check() error {
	var f domain.Faults
	f.Need(!x.SupplierID.IsZero(), "/supplier_id")
	f.Need(x.Name != "", "/name")
	return f.Err()
}

// PoinsettiaEPPO is the EPPO code of Euphorbia pulcherrima.
const PoinsettiaEPPO = "EPHPU"

// Crop is a kind of plant raised from cuttings.
type Crop struct {
	ID             domain.ID
	Name           string
	EPPOCode       string
	MainOrganismID domain.ID // the pest its readings start with
	// The second look falls between these days after sticking (rooted plants:
	// after arrival), when first instars can be seen.
	SecondLookFromDays, SecondLookToDays int
}

// The usual window of the second look, in days after sticking, as one Canadian
// grower keeps it (Greenhouse Canada, 24 January 2022). Longer when cool.
const (
	DefaultSecondLookFromDays = 14
	DefaultSecondLookToDays   = 18
)

// Check gives everything wrong with the crop as domain.Faults, or nil.
func (c Crop) Check() error {
	var f domain.Faults
	f.Need(c.Name != "", "/name")
	f.Need(!c.MainOrganismID.IsZero(), "/main_organism_id")
	if c.SecondLookFromDays < 1 || c.SecondLookFromDays > c.SecondLookToDays {
		f.Add("/second_look_to_days", "window_reversed", "the second look cannot end on day %d when it starts on day %d",
			c.SecondLookToDays, c.SecondLookFromDays)
	}
	return f.Err()
}

// Foliage is the tone of the leaves; whitefly prefers light ones.
type Foliage string

// The tones of foliage.
const (
	LightFoliage  Foliage = "light"
	MediumFoliage Foliage = "medium"
	DarkFoliage   Foliage = "dark"
)

// Cultivar is a named variety of a crop.
type Cultivar struct {
	ID          domain.ID
	CropID      domain.ID
	Name        string
	Foliage     Foliage
	BractColour string // red, white, pink, marbled, yellow, other or empty
	GTIN        string // GS1 number of the plants as traded, or empty
}

// Check gives everything wrong with the cultivar as domain.Faults, or nil.
func (c Cultivar) Check() error {
	var f domain.Faults
	f.Need(!c.CropID.IsZero(), "/crop_id")
	f.Need(c.Name != "", "/name")
	return f.Err()
}

// Milestone is a dated step of a season.
type Milestone struct {
	Kind string // sticking, pinch, short_days, decision, first_colour, shipping
	On   domain.Date
}

// Season is one crop in one year, with its milestones.
type Season struct {
	ID         domain.ID
	CropID     domain.ID
	Year       int
	StartsOn   domain.Date
	EndsOn     domain.Date
	Milestones []Milestone
}

// Check gives everything wrong with the season as domain.Faults, or nil.
func (s Season) Check() error {
	var f domain.Faults
	f.Need(!s.CropID.IsZero(), "/crop_id")
	if s.EndsOn.Before(s.StartsOn) {
		f.Add("/ends_on", "before_start", "the season ends on %s, before it starts on %s", s.EndsOn, s.StartsOn)
	}
	return f.Err()
}

// Organism is a pest or disease that is looked for.
type Organism struct {
	ID              domain.ID
	ScientificName  string
	CommonName      string
	CommonNameES    string
	EPPOCode        string // empty where it could not be verified
	Kind            string // insect, mite, fungus, bacterium, virus, oomycete, nematode, other
	WhereToLook     string
	WhereToLookES   string
	RegulatedNote   string
	RegulatedNoteES string
	InfestedStages  []string // the stages that, alive, make a plant infested; see scouting.Infested
}
