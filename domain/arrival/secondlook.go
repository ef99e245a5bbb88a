package arrival

import (
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// DueState says where a second look stands on a day.
type DueState string

// The states of a second look that has not been made.
const (
	NotYet DueState = "waiting"
	Due    DueState = "due"
	Late   DueState = "late"
)

// DueLook is the second look of a lot that is still to be made: the days it
// should fall on.
type DueLook struct {
	LotID         domain.ID
	LotCode       string
	CultivarID    domain.ID
	From, To      domain.Date
	FromSticking  bool // else counted from arrival
	StateOnTheDay DueState
}

// SecondLookOf gives the days for the second look of a lot: the crop's window
// counted from sticking or, for rooted plants and for cuttings nobody has
// recorded as stuck, from arrival. stuckOn is zero when not stuck.
func SecondLookOf(lot stock.Lot, crop stock.Crop, stuckOn, today domain.Date) DueLook {
	look := DueLook{LotID: lot.ID, LotCode: lot.Code, CultivarID: lot.CultivarID}
	start := lot.ArrivedOn
	if lot.Form != stock.Rooted && !stuckOn.IsZero() {
		start, look.FromSticking = stuckOn, true
	}
	look.From, look.To = start.AddDays(crop.SecondLookFromDays), start.AddDays(crop.SecondLookToDays)
	switch {
	case today.Before(look.From):
		look.StateOnTheDay = NotYet
	case today.After(look.To):
		look.StateOnTheDay = Late
	default:
		look.StateOnTheDay = Due
	}
	return look
}
