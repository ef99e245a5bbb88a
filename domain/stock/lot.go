package stock

import (
	"fmt"

	"benchtrail/domain"
)

// Lot is one cultivar of one shipment (and of one farm of origin, where known):
// the unit of trace and of trend. A lot without a shipment began here, by a split
// or merge.
type Lot struct {
	ID              domain.ID
	ShipmentID      domain.ID
	CultivarID      domain.ID
	FarmIDs         []domain.ID // empty while the farm is not known
	FarmKnownBy     string      // the paper or message that named the farm
	SupplierLotCode string
	RootingStation  string
	Form            Form
	Plants          int    // by the papers
	Code            string // a code people can read aloud
	Note            string
	Withdrawn       string

	// What follows from its shipment and its life so far.
	SiteID, SeasonID, CropID, SupplierID domain.ID
	ArrivedOn                            domain.Date
	OriginID                             domain.ID // the one shipment all its plants came with, or zero
	BornBy                               domain.ID // the split or merge it began with; zero for an arrival
	Mixed                                bool      // of several shipments; ArrivedOn is then the first of them
	State                                State
	Held                                 bool // a hold is in force on it now
	PlantsOnHand                         int
	Verdict                              string // the latest decision, or empty
	Inspected                            bool
}

// Check gives everything wrong with the lot as domain.Faults, or nil.
func (l Lot) Check() error {
	var f domain.Faults
	f.Need(!l.CultivarID.IsZero(), "/cultivar_id")
	if l.Plants < 1 {
		f.Add("/plants", "too_small", "a lot of %d plants is not a lot", l.Plants)
	}
	for i, farm := range l.FarmIDs {
		for _, earlier := range l.FarmIDs[:i] {
			if farm == earlier {
				f.Add(fmt.Sprintf("/farm_ids/%d", i), "twice", "the same farm is named twice")
			}
		}
	}
	return f.Err()
}

// LotCode is the code given to a lot when nobody chose one: the ISO week it
// arrived in and its number among the lots of that week, such as 31-07. It is
// short, has no letters that sound alike, and sorts by arrival.
func LotCode(arrivedOn domain.Date, ordinal int) string {
	return fmt.Sprintf("%02d-%02d", arrivedOn.Week().Number, ordinal)
}

// BornCode is the code given to a lot that a split or merge made: of a split that
// of its parent and its number among the children, such as 31-07.2; of a merge M,
// the week and its number, such as M36-1.
func BornCode(parent string, at domain.Date, ordinal int) string {
	if parent == "" {
		return fmt.Sprintf("M%02d-%d", at.Week().Number, ordinal)
	}
	return fmt.Sprintf("%s.%d", parent, ordinal)
}
