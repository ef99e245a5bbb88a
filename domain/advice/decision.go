package advice

import (
	"slices"
	"time"

	"benchtrail/domain"
)

// Choice is what a person chose to do about a cultivar in a house.
type Choice string

// The choices.
const (
	ChoseLookAtMore    Choice = "look_at_more"
	ChoseBiological    Choice = "stay_biological"
	ChoseHotSpots      Choice = "deal_with_hot_spots"
	ChoseSelective     Choice = "selective_control"
	ChoseSomethingElse Choice = "something_else"
)

// clockMayBeAhead is how wrong a phone's clock or its time zone may be.
const clockMayBeAhead = 24 * time.Hour

// Figures are what a decision was made on, as the person saw it. They are kept
// as they were: looks that come in or are corrected later do not change them.
type Figures struct {
	Week         string // ISO 8601, of the latest looks
	Plants       int    // looked at
	Infested     int
	Percent      *float64 // the share of infested plants and its interval
	LowerPercent *float64
	UpperPercent *float64
	LimitPercent *float64 // the limit it was held against, and its day
	LimitOn      domain.Date
	OverPercent  *float64 // the chance of being over the limit on that day
	Suggested    string   // what the program suggested
}

// Decision is what a person chose for a cultivar in a house, and why.
type Decision struct {
	ID         domain.ID
	HouseID    domain.ID
	CultivarID domain.ID
	OrganismID domain.ID
	SeasonID   domain.ID
	Choice     Choice
	Because    string
	DecidedAt  time.Time
	Figures    Figures
	DoneOn     domain.Date // zero while it has not been carried out
	DoneNote   string
	Withdrawn  string

	SiteID        domain.ID // of the house
	DecidedBy     domain.ID // who recorded it first
	DecidedByName string
}

// Check gives everything wrong with the decision by itself as domain.Faults, or nil.
func (d Decision) Check() error {
	var f domain.Faults
	f.Need(!d.HouseID.IsZero(), "/house_id")
	f.Need(!d.CultivarID.IsZero(), "/cultivar_id")
	f.Need(!d.OrganismID.IsZero(), "/organism_id")
	f.Need(!d.SeasonID.IsZero(), "/season_id")
	f.Need(d.Because != "", "/because")
	f.Need(!d.DecidedAt.IsZero(), "/decided_at")
	choices := []Choice{ChoseLookAtMore, ChoseBiological, ChoseHotSpots, ChoseSelective, ChoseSomethingElse}
	if !slices.Contains(choices, d.Choice) {
		f.Add("/choice", "not_allowed", "%q is none of the choices", string(d.Choice))
	}
	if d.DoneOn.IsZero() && d.DoneNote != "" {
		f.Add("/done_on", "missing", "is needed with a note on how it was carried out")
	}
	d.Figures.check(&f)
	return f.Err()
}

func (x Figures) check(f *domain.Faults) {
	if x.Infested > x.Plants {
		f.Add("/figures/infested_plants", "more_infested_than_looked_at", "%d plants infested of %d looked at", x.Infested, x.Plants)
	}
	if x.LowerPercent != nil && x.UpperPercent != nil && *x.LowerPercent > *x.UpperPercent {
		f.Add("/figures/upper_percent", "before_start", "the interval ends at %g %%, below its start at %g %%", *x.UpperPercent, *x.LowerPercent)
	}
	if x.Week != "" {
		if _, err := domain.ParseWeek(x.Week); err != nil {
			f.Add("/figures/week", "wrong_form", "%s", err)
		}
	}
}

// CheckAt refuses what nobody can have decided or carried out yet; now is on the
// clock of the site. What was done before it was recorded is no fault.
func (d Decision) CheckAt(now time.Time) error {
	var f domain.Faults
	if d.DecidedAt.After(now.Add(clockMayBeAhead)) {
		f.Add("/decided_at", "in_the_future", "is more than a day from now")
	}
	if d.DoneOn.After(domain.DateOf(now).AddDays(1)) {
		f.Add("/done_on", "in_the_future", "is later than tomorrow at the site")
	}
	return f.Err()
}

// CheckCorrects refuses a correction that would make the decision one about
// something else: its figures would belong to neither.
func (d Decision) CheckCorrects(was Decision) error {
	var f domain.Faults
	for _, x := range []struct {
		noun     string
		is, used domain.ID
	}{
		{"house", d.HouseID, was.HouseID},
		{"cultivar", d.CultivarID, was.CultivarID},
		{"organism", d.OrganismID, was.OrganismID},
		{"season", d.SeasonID, was.SeasonID},
	} {
		if x.is != x.used {
			f.Add("/"+x.noun+"_id", "not_changeable", "a decision stays with its %s; withdraw it and record another", x.noun)
		}
	}
	return f.Err()
}
