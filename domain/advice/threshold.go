// Package advice holds the dated limits and says where a reading stands to them.
package advice

import (
	"benchtrail/domain"
)

// Effect says what passing a limit means.
type Effect string

// The effects.
const (
	Act      Effect = "act"       // above it, somebody has to act
	WentWell Effect = "went_well" // below it, the season went well
)

// Threshold is a dated, editable limit on the share of infested plants.
type Threshold struct {
	ID             domain.ID
	OrganismID     domain.ID
	CropID         domain.ID
	CultivarID     domain.ID // zero: every cultivar
	HouseID        domain.ID // zero: every house
	FromOn, ToOn   domain.Date
	Percent        float64 // 0 to 100
	SmallestPlants int     // plants of a large crop that must be looked at before it is judged; see Smallest
	Effect         Effect
	Source         string
	Withdrawn      string
}

// oneIn so many plants of a crop are enough to judge a limit by where they are fewer than
// its SmallestPlants: from at least 100 plants or 5 % of the crop (ONfloriculture, 2023, in
// Floral Daily, article 9569199). That whichever is fewer will do is common practice, and
// so is that a crop is not judged on fewer plants than are looked at on one bench.
const (
	oneIn      = 20
	onOneBench = 15
)

// Smallest gives how many of so many standing plants must be looked at before the limit
// is judged, so never more than stand; standing is 0 when it is not known.
func (t Threshold) Smallest(standing int) int {
	if standing <= 0 {
		return t.SmallestPlants
	}
	return min(t.SmallestPlants, standing, max((standing+oneIn-1)/oneIn, onOneBench))
}

// Check gives everything wrong with the threshold as domain.Faults, or nil.
func (t Threshold) Check() error {
	var f domain.Faults
	f.Need(!t.OrganismID.IsZero(), "/organism_id")
	f.Need(!t.CropID.IsZero(), "/crop_id")
	f.Need(t.Source != "", "/source")
	if t.ToOn.Before(t.FromOn) {
		f.Add("/to_on", "before_start", "the limit ends on %s, before it starts on %s", t.ToOn, t.FromOn)
	}
	if t.Percent < 0 || t.Percent > 100 {
		f.Add("/percent", "out_of_range", "%g is not between 0 and 100 percent", t.Percent)
	}
	return f.Err()
}
