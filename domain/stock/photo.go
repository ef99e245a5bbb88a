package stock

import (
	"time"

	"benchtrail/domain"
)

// Subject is the noun of what a photo shows.
type Subject string

// The nouns that photos are taken of.
const (
	LookSubject       Subject = "looks"
	InspectionSubject Subject = "inspections"
	ShipmentSubject   Subject = "shipments"
	LotSubject        Subject = "lots"
)

// Photo is a picture taken of a look, an inspection, a shipment or a lot.
type Photo struct {
	ID        domain.ID
	Subject   Subject
	SubjectID domain.ID
	Plant     int // which of the look, from 1; 0 for none of them
	TakenAt   time.Time
	Of        string // leaf_underside, box, ...; empty when nobody said
	Note      string
	Withdrawn string

	SiteID  domain.ID
	Picture Picture
}

// Picture is what is known of the picture of a photo; zero while it has not
// been sent.
type Picture struct {
	Width, Height, Bytes int
	StoredAt             time.Time
	ReceivedHash         []byte // of the bytes as they were sent
}

// Check gives everything wrong with the photo as domain.Faults, or nil.
func (x Photo) Check() error {
	var f domain.Faults
	f.Need(!x.SubjectID.IsZero(), "/subject_id")
	f.Need(!x.TakenAt.IsZero(), "/taken_at")
	switch x.Subject {
	case LookSubject, InspectionSubject, ShipmentSubject, LotSubject:
	default:
		f.Add("/subject_noun", "not_in_list", "%q is nothing that photos are taken of", x.Subject)
	}
	if x.Plant < 0 {
		f.Add("/plant", "too_small", "%d is below 0", x.Plant)
	}
	if x.Plant > 0 && x.Subject != LookSubject {
		f.Add("/plant", "not_wanted", "only a look has numbered plants")
	}
	return f.Err()
}
