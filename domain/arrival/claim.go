package arrival

import (
	"fmt"
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// claimable is what a claim can be about, as the trade says it.
var claimable = []string{
	"dead", "wilted", "rotten", "short", "substituted", "pest", "disease", "damaged", "too_warm", "too_cold", "late", "other",
}

// ClaimItem is one thing that is wrong with a shipment.
type ClaimItem struct {
	LotID  domain.ID // zero for the shipment as a whole
	What   string
	Plants int // 0 where none are counted
	Note   string
}

// Credit is what a supplier granted; zero for nothing, or nothing yet.
type Credit struct {
	Amount   string // a decimal number
	Currency string // ISO 4217
}

// Claim is what a supplier is asked to make good of a shipment.
type Claim struct {
	ID         domain.ID
	ShipmentID domain.ID
	Items      []ClaimItem
	Text       string
	SentAt     time.Time // zero while it is a draft
	SentBy     string    // how and to whom
	AnsweredAt time.Time
	Answer     string
	Credit     Credit
	Withdrawn  string

	SiteID     domain.ID
	DockedAt   time.Time // of the shipment, zero while it is expected
	ClaimHours int       // of its supplier
}

// Check gives everything wrong with the claim as domain.Faults, or nil.
func (x Claim) Check() error {
	var f domain.Faults
	f.Need(!x.ShipmentID.IsZero(), "/shipment_id")
	for i, item := range x.Items {
		at := fmt.Sprintf("/items/%d", i)
		if !slices.Contains(claimable, item.What) {
			f.Add(at+"/what", "not_in_list", "%q is nothing that a claim is about", item.What)
		}
		if item.Plants < 0 {
			f.Add(at+"/plants", "too_small", "%d plants is below 0", item.Plants)
		}
		same := func(other ClaimItem) bool { return other.LotID == item.LotID && other.What == item.What }
		if item.What != "other" && slices.ContainsFunc(x.Items[:i], same) {
			f.Add(at, "twice", "%s is claimed twice of one lot", item.What)
		}
	}
	if !x.SentAt.IsZero() {
		f.Need(len(x.Items) > 0 || x.Text != "", "/text")
	}
	if x.Answer != "" || x.Credit != (Credit{}) {
		f.Need(!x.AnsweredAt.IsZero(), "/answered_at")
	}
	if !x.AnsweredAt.IsZero() {
		f.Need(!x.SentAt.IsZero(), "/sent_at")
		if x.AnsweredAt.Before(x.SentAt) {
			f.Add("/answered_at", "out_of_order", "it was answered at %s, before it was sent at %s",
				x.AnsweredAt.Format(time.RFC3339), x.SentAt.Format(time.RFC3339))
		}
	}
	return f.Err()
}

// ClosesAt is the moment by which the claim must be sent, or zero while nothing
// was received.
func (x Claim) ClosesAt() time.Time {
	return stock.Shipment{DockedAt: x.DockedAt}.ClaimEnd(x.ClaimHours)
}

// InTime reports whether it was sent by then, or nil while there is nothing to say.
func (x Claim) InTime() *bool {
	closes := x.ClosesAt()
	if closes.IsZero() || x.SentAt.IsZero() {
		return nil
	}
	inTime := !x.SentAt.After(closes)
	return &inTime
}
