package stock

import (
	"fmt"
	"time"

	"benchtrail/domain"
)

// Form is how far rooted a cutting arrives.
type Form string

// The forms of cuttings.
const (
	Unrooted Form = "unrooted"
	Callused Form = "callused"
	Rooted   Form = "rooted"
)

// Paper is a document that came with a shipment.
type Paper struct {
	Kind   string
	Number string
}

// OrderLine is what was ordered of one cultivar, so that short, over and
// substituted show.
type OrderLine struct {
	CultivarID      domain.ID
	Form            Form
	Ordered         int
	Invoiced        *int // nil while there is no invoice
	SubstituteForID domain.ID
}

// Box is one box of a shipment; it may hold several cultivars.
type Box struct {
	Label        string
	TemperatureC *float64 // inside, degrees Celsius; nil when not measured
	OpenedAt     time.Time
	CultivarIDs  []domain.ID
}

// Shipment is one arrival from one supplier at one site.
type Shipment struct {
	ID         domain.ID
	SiteID     domain.ID
	SupplierID domain.ID
	ExpectedOn domain.Date
	LeftAt     time.Time // left the farm; zero when not known, as the others
	LandedAt   time.Time
	DockedAt   time.Time // reached the dock: this is the receipt
	OpenedAt   time.Time
	Papers     []Paper
	OrderLines []OrderLine
	Boxes      []Box
	Note       string
	Withdrawn  string // why, when it is

	ArrivedOn     domain.Date // see DateAtSite
	Lots          int         // how many it brought
	LotsInspected int
	ClaimClosesAt time.Time // zero while it is expected
	ClaimHours    int       // the supplier's, for ClaimClosesAt
}

// Check gives everything wrong with the shipment as domain.Faults, or nil.
func (s Shipment) Check() error {
	var f domain.Faults
	f.Need(!s.SiteID.IsZero(), "/site_id")
	f.Need(!s.SupplierID.IsZero(), "/supplier_id")
	f.Need(!s.ExpectedOn.IsZero(), "/expected_on")
	steps := []struct {
		path, verb string
		at         time.Time
	}{
		{"/left_at", "left", s.LeftAt},
		{"/landed_at", "landed", s.LandedAt},
		{"/docked_at", "reached the dock", s.DockedAt},
		{"/opened_at", "was opened", s.OpenedAt},
	}
	earlier := -1
	for i, step := range steps {
		if step.at.IsZero() {
			continue
		}
		if earlier >= 0 && step.at.Before(steps[earlier].at) {
			f.Add(step.path, "out_of_order", "it %s at %s, before it %s at %s", step.verb,
				step.at.Format(time.RFC3339), steps[earlier].verb, steps[earlier].at.Format(time.RFC3339))
		}
		earlier = i
	}
	for i, line := range s.OrderLines {
		f.Need(!line.CultivarID.IsZero(), fmt.Sprintf("/order_lines/%d/cultivar_id", i))
	}
	return f.Err()
}

// DateAtSite is the date of arrival that trends group by: the local date of the
// dock, or the expected date while the shipment is not there.
func (s Shipment) DateAtSite(zone *time.Location) domain.Date {
	if s.DockedAt.IsZero() {
		return s.ExpectedOn
	}
	return domain.DateOf(s.DockedAt.In(zone))
}

// ClaimEnd is the moment a claim must have been sent by: claimHours after
// receipt, or zero while the shipment has not been received.
func (s Shipment) ClaimEnd(claimHours int) time.Time {
	if s.DockedAt.IsZero() {
		return time.Time{}
	}
	return s.DockedAt.Add(time.Duration(claimHours) * time.Hour)
}
