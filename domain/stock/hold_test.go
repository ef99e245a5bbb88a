package stock_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

var (
	quarantine   = block(8)
	house7, site = domain.ID{0: 6, 15: 7}, domain.ID{0: 7, 15: 1}
	spots        = map[domain.ID]stock.Spot{
		east: {HouseID: house7, SiteID: site}, west: {HouseID: domain.ID{0: 6, 15: 8}, SiteID: site},
		quarantine: {HouseID: domain.ID{0: 6, 15: 9}, SiteID: site, Quarantine: true},
	}
)

func held(scope stock.Scope, of domain.ID, fromDay, toDay int) stock.Hold {
	h := stock.Hold{ID: domain.ID{0: 5, 15: 1}, Scope: scope, ScopeID: of, Kind: stock.OfficialHold, From: day(fromDay), Reason: "whitefly"}
	if toDay > 0 {
		h.To = day(toDay)
	}
	return h
}

// Lot a in two blocks; c split off on day 5; d, on day 15, of c and b.
func family(t *testing.T) (stock.Book, []stock.Movement) {
	movements := []stock.Movement{
		of(a, 1, stock.Stick, 1, 600, noBlock, east), of(b, 2, stock.Stick, 1, 500, noBlock, west),
		parted(a, 3, stock.Split, 5, stock.Part{LotID: c, Plants: 200, FromBlockID: east, ToBlockID: west}),
		parted(d, 4, stock.Merge, 15, stock.Part{LotID: c, Plants: 100, FromBlockID: west}, stock.Part{LotID: b, Plants: 100, FromBlockID: west}),
	}
	return folded(t, movements...), movements
}

func TestAHoldReachesWhatItIsLaidOn(t *testing.T) {
	t.Parallel()
	book, _ := family(t)
	for i := range book.Accounts {
		book.Accounts[i].Lot.SiteID = site
	}
	shipmentOfA := domain.ID{0: 3, 15: 1}
	for name, x := range map[string]struct {
		hold  stock.Hold
		lot   domain.ID
		block domain.ID
		day   int
		want  bool
	}{
		"a lot":                                 {held(stock.ScopeLot, a, 10, 0), a, east, 10, true},
		"before it begins":                      {held(stock.ScopeLot, a, 10, 0), a, east, 9, false},
		"when it is lifted":                     {held(stock.ScopeLot, a, 10, 20), a, east, 20, false},
		"no other lot":                          {held(stock.ScopeLot, a, 10, 0), b, west, 12, false},
		"a child that left under it":            {held(stock.ScopeLot, a, 2, 0), c, west, 12, true},
		"not a child that left before":          {held(stock.ScopeLot, a, 10, 0), c, west, 12, false},
		"a merged lot, through one parent":      {held(stock.ScopeLot, c, 12, 0), d, west, 16, true},
		"lifted for the children too":           {held(stock.ScopeLot, a, 2, 12), c, west, 12, false},
		"a shipment":                            {held(stock.ScopeShipment, shipmentOfA, 10, 0), a, noBlock, 10, true},
		"a shipment, split off before":          {held(stock.ScopeShipment, shipmentOfA, 10, 0), c, west, 10, true},
		"a shipment, merged before":             {held(stock.ScopeShipment, shipmentOfA, 20, 0), d, west, 20, true},
		"no other shipment":                     {held(stock.ScopeShipment, shipmentOfA, 10, 0), b, west, 10, false},
		"a house":                               {held(stock.ScopeHouse, house7, 10, 0), a, east, 10, true},
		"not what stands elsewhere":             {held(stock.ScopeHouse, house7, 10, 0), c, west, 10, false},
		"a house holds nothing not yet placed":  {held(stock.ScopeHouse, house7, 10, 0), a, noBlock, 10, false},
		"a site":                                {held(stock.ScopeSite, site, 10, 0), b, west, 10, true},
		"a site, not yet placed":                {held(stock.ScopeSite, site, 10, 0), a, noBlock, 10, true},
		"a site, in a block nobody drew":        {held(stock.ScopeSite, site, 10, 0), a, block(99), 10, true},
		"another site":                          {held(stock.ScopeSite, someone, 10, 0), b, west, 10, false},
		"nothing named holds nothing":           {held(stock.ScopeShipment, domain.ID{}, 1, 0), c, west, 10, false},
		"nothing named holds nothing, by house": {held(stock.ScopeHouse, domain.ID{}, 1, 0), a, noBlock, 10, false},
	} {
		require.Equal(t, x.want, len(book.Under([]stock.Hold{x.hold}, spots).HeldAt(x.lot, x.block, day(x.day))) == 1, name)
	}
}

func TestAHoldOnACropHoldsAllItsLots(t *testing.T) {
	t.Parallel()
	crop := domain.ID{0: 4, 15: 9}
	lots := []stock.Lot{{ID: a, ShipmentID: someone, Plants: 100, CropID: crop}, {ID: b, ShipmentID: someone, Plants: 100}, {ID: c}}
	h := stock.FoldBook(lots, []stock.Movement{split(1, 1, a, c, 50)}).Under([]stock.Hold{held(stock.ScopeCrop, crop, 5, 0)}, nil)
	require.Len(t, h.HeldAt(a, noBlock, day(5)), 1)
	require.Len(t, h.HeldAt(c, noBlock, day(5)), 1, "by descent")
	require.Empty(t, h.HeldAt(b, noBlock, day(5)))
}

func TestAHoldForbidsWhatSpreadsPlants(t *testing.T) {
	t.Parallel()
	book, _ := family(t)
	h := book.Under([]stock.Hold{held(stock.ScopeLot, a, 10, 0)}, spots)
	for name, x := range map[string]struct {
		movement stock.Movement
		want     bool
	}{
		"move":                            {of(a, 9, stock.Move, 12, 10, east, west), true},
		"move within quarantine":          {of(a, 9, stock.Move, 12, 10, quarantine, east), true},
		"move into quarantine":            {of(a, 9, stock.Move, 12, 10, east, quarantine), false},
		"move before the hold":            {of(a, 9, stock.Move, 9, 10, east, west), false},
		"move of another lot":             {of(b, 9, stock.Move, 12, 10, west, east), false},
		"dispatch":                        {of(a, 9, stock.Dispatch, 12, 10, east, noBlock), true},
		"discard":                         {of(a, 9, stock.Discard, 12, 10, east, noBlock), true},
		"split where they stand":          {parted(a, 9, stock.Split, 12, stock.Part{LotID: e, Plants: 1, FromBlockID: east}), true},
		"split into quarantine":           {parted(a, 9, stock.Split, 12, stock.Part{LotID: e, Plants: 1, FromBlockID: east, ToBlockID: quarantine}), false},
		"split, one child not quarantine": {parted(a, 9, stock.Split, 12, stock.Part{LotID: e, Plants: 1, FromBlockID: east, ToBlockID: quarantine}, stock.Part{LotID: d, Plants: 1, FromBlockID: east, ToBlockID: west}), true},
		"merge with a held parent":        {merge(9, 12, e, b, a, 10), true},
		"merge of others":                 {merge(9, 12, e, b, c, 10), false},
		"first sticking":                  {of(a, 9, stock.Stick, 12, 10, noBlock, west), false},
		"first placing in a pot":          {of(a, 9, stock.Pot, 12, 10, noBlock, west), false},
		"potting where they stand":        {of(a, 9, stock.Pot, 12, 10, east, east), false},
		"potting elsewhere":               {of(a, 9, stock.Pot, 12, 10, east, west), true},
		"spacing where they stand":        {of(a, 9, stock.Space, 12, 10, east, east), false},
		"spacing elsewhere":               {of(a, 9, stock.Space, 12, 10, east, west), true},
		"receive":                         {of(a, 9, stock.Receive, 12, 10, noBlock, west), false},
		"count":                           {of(a, 9, stock.Count, 12, 10, east, noBlock), false},
		"root":                            {of(a, 9, stock.Root, 12, 10, east, noBlock), false},
		"pinch":                           {of(a, 9, stock.Pinch, 12, 10, east, noBlock), false},
	} {
		require.Equal(t, x.want, len(h.Forbids(x.movement)) == 1, name)
	}
}

// The phone was offline while the shipment was held; what it brings is kept.
func TestAMovementMadeUnderAHoldIsKeptAndMarked(t *testing.T) {
	t.Parallel()
	_, movements := family(t)
	late := of(c, 9, stock.Dispatch, 21, 100, west, noBlock)
	tooMany := of(d, 10, stock.Move, 20, 5000, west, east)
	withdrawn := of(d, 11, stock.Move, 22, 10, west, east)
	withdrawn.Withdrawn = "written down twice"
	all := append([]stock.Movement{late, tooMany, withdrawn}, movements...)
	book := stock.FoldBook(someLots, all)
	hold := held(stock.ScopeShipment, domain.ID{0: 3, 15: 1}, 18, 0)
	require.Equal(t, 100, account(t, book, c).Tally.Dispatched)
	require.Len(t, book.Conflicts, 1)
	require.Equal(t, []stock.Breach{
		{Movement: tooMany, Holds: []stock.Hold{hold}}, {Movement: late, Holds: []stock.Hold{hold}},
	}, book.Under([]stock.Hold{hold}, spots).Breaches(all), "also what the book set aside")
}

func TestAHoldSaysWhatItIsLaidOnAndFromWhen(t *testing.T) {
	t.Parallel()
	require.NoError(t, held(stock.ScopeHouse, house7, 1, 2).Check())
	require.NoError(t, held(stock.ScopeHouse, house7, 1, 0).Check())
	require.Equal(t, []string{"/scope unknown_scope", "/scope_id missing", "/kind unknown_kind", "/from_at missing", "/reason missing"}, codes(t, stock.Hold{}.Check()))
	require.Equal(t, []string{"/to_at before_start"}, codes(t, held(stock.ScopeSite, site, 3, 2).Check()))
}

func TestAVerdictThatRejectsLetsDiscardOnly(t *testing.T) {
	t.Parallel()
	book, _ := family(t)
	rejected := held(stock.ScopeLot, a, 10, 0)
	rejected.ByVerdict, rejected.Rejects = true, true
	h := book.Under([]stock.Hold{rejected}, spots)
	require.Empty(t, h.Forbids(of(a, 9, stock.Discard, 12, 10, east, noBlock)))
	require.Len(t, h.Forbids(of(a, 9, stock.Move, 12, 10, east, west)), 1)
	require.Len(t, h.Forbids(of(a, 9, stock.Dispatch, 12, 10, east, noBlock)), 1)
}

func TestAHoldOfAHouseIsOnALotWhileItStandsThere(t *testing.T) {
	t.Parallel()
	book := stock.FoldBook(someLots, []stock.Movement{
		of(a, 1, stock.Stick, 1, 300, noBlock, east), of(a, 2, stock.Move, 5, 300, east, west), of(a, 3, stock.Stick, 8, 100, noBlock, east),
		of(a, 4, stock.Discard, 8, 50, east, noBlock),
	})
	spots := map[domain.ID]stock.Spot{east: {HouseID: house7, SiteID: site}, west: {HouseID: domain.ID{0: 6, 15: 9}, SiteID: site}}
	hold := held(stock.ScopeHouse, house7, 3, 0)
	require.Equal(t, []stock.Reach{{hold, day(3), day(5)}, {hold, day(8), stillStands}}, book.Under([]stock.Hold{hold}, spots).Reaching(a))
	require.Empty(t, book.Under([]stock.Hold{hold}, spots).Reaching(b))
	whole := held(stock.ScopeShipment, domain.ID{0: 3, 15: 1}, 3, 4)
	require.Equal(t, []stock.Reach{{whole, day(3), day(4)}}, book.Under([]stock.Hold{whole}, spots).Reaching(a))
}
