package stock

import (
	"time"

	"benchtrail/domain"
)

// Scope is what a hold is laid on.
type Scope string

// The scopes of holds. A hold on a lot holds for the children that left it from
// then on; one on a shipment or a crop for everything that descends from it, also
// what was split off before; one on a house or site for what stands there.
const (
	ScopeLot      Scope = "lot"
	ScopeShipment Scope = "shipment"
	ScopeCrop     Scope = "crop"
	ScopeHouse    Scope = "house"
	ScopeSite     Scope = "site"
)

// HoldKind says who holds.
type HoldKind string

// The kinds of holds. What an official hold allows is for the authority to say;
// here all kinds forbid the same.
const (
	InternalHold HoldKind = "internal" // the grower
	SupplierHold HoldKind = "supplier"
	OfficialHold HoldKind = "official" // the plant health authority
)

// Hold keeps plants where they are for a time.
type Hold struct {
	ID      domain.ID
	Scope   Scope
	ScopeID domain.ID // the lot, shipment, crop, house or site
	Kind    HoldKind
	From    time.Time
	To      time.Time // when it was lifted, zero while it holds; the moment itself is free
	Reason  string

	PaperNumber string // of the order or letter
	Withdrawn   string

	SiteID    domain.ID // of what is held; zero for a crop
	ByVerdict bool      // it is a verdict that holds its lot; ID is the verdict's
	Rejects   bool      // the verdict rejects, so that discarding is what it asks for
}

// Check gives everything wrong with the hold as domain.Faults, or nil.
func (h Hold) Check() error {
	var f domain.Faults
	switch h.Scope {
	case ScopeLot, ScopeShipment, ScopeCrop, ScopeHouse, ScopeSite:
	default:
		f.Add("/scope", "unknown_scope", "%q is not what a hold is laid on", h.Scope)
	}
	f.Need(!h.ScopeID.IsZero(), "/scope_id")
	switch h.Kind {
	case InternalHold, SupplierHold, OfficialHold:
	default:
		f.Add("/kind", "unknown_kind", "%q is not a kind of hold", h.Kind)
	}
	f.Need(!h.From.IsZero(), "/from_at")
	f.Need(h.Reason != "", "/reason")
	if !h.To.IsZero() && !h.From.Before(h.To) {
		f.Add("/to_at", "before_start", "it is lifted at %s, not after it begins at %s", h.To.Format(time.RFC3339), h.From.Format(time.RFC3339))
	}
	return f.Err()
}

// At reports whether the hold is in force at the moment.
func (h Hold) At(at time.Time) bool {
	return !at.Before(h.From) && (h.To.IsZero() || at.Before(h.To))
}

// Spot is where a block lies, as far as holds ask.
type Spot struct {
	HouseID    domain.ID
	SiteID     domain.ID
	Quarantine bool // plants may be brought here while they are held
}

// Breach is a movement that was made although its plants were held. It is kept.
type Breach struct {
	Movement Movement
	Holds    []Hold
}

// Holding is a book with holds laid over it.
type Holding struct {
	book  Book
	holds []Hold
	spots map[domain.ID]Spot
	reach map[domain.ID][]int // by lot, the holds that reach it by descent
}
