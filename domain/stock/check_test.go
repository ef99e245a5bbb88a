package stock_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

var someone = domain.ID{15: 77}

func sentence(format string, args ...any) string { return fmt.Sprintf(format, args...) }

func TestEveryKindOfMovementNeedsItsBlocks(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		movement stock.Movement
		want     []string
	}{
		"receive at the dock":      {moved(1, stock.Receive, 0, 10, noBlock, noBlock), nil},
		"receive into a block":     {moved(1, stock.Receive, 0, 10, noBlock, east), nil},
		"receive from a block":     {moved(1, stock.Receive, 0, 10, east, noBlock), []string{"/from_block_id not_wanted"}},
		"stick":                    {moved(1, stock.Stick, 0, 10, noBlock, east), nil},
		"stick nowhere":            {moved(1, stock.Stick, 0, 10, noBlock, noBlock), []string{"/to_block_id missing"}},
		"stick from a block":       {moved(1, stock.Stick, 0, 10, west, east), []string{"/from_block_id not_wanted"}},
		"pot where they stand":     {moved(1, stock.Pot, 0, 10, east, east), nil},
		"pot nowhere":              {moved(1, stock.Pot, 0, 10, east, noBlock), []string{"/to_block_id missing"}},
		"move":                     {moved(1, stock.Move, 0, 10, east, west), nil},
		"move from nowhere":        {moved(1, stock.Move, 0, 10, noBlock, west), []string{"/from_block_id missing"}},
		"move to the same block":   {moved(1, stock.Move, 0, 10, east, east), []string{"/to_block_id same_block"}},
		"discard from the dock":    {moved(1, stock.Discard, 0, 10, noBlock, noBlock), nil},
		"discard into a block":     {moved(1, stock.Discard, 0, 10, east, west), []string{"/to_block_id not_wanted"}},
		"discard without a reason": {stock.Movement{LotID: lotID, Kind: stock.Discard, MovedAt: day(0), Plants: 1}, []string{"/reason missing"}},
		"no plants":                {moved(1, stock.Receive, 0, 0, noBlock, noBlock), []string{"/plants too_small"}},
		"a kind nobody knows":      {moved(1, "teleport", 0, 1, noBlock, noBlock), []string{"/kind unknown_kind"}},
		"nothing filled in at all": {stock.Movement{Kind: stock.Move}, []string{"/lot_id missing", "/moved_at missing", "/plants too_small", "/from_block_id missing", "/to_block_id missing"}},
	} {
		require.Equal(t, c.want, codes(t, c.movement.Check()), name)
	}
}

func TestALotIsOfACultivarAndHasPlants(t *testing.T) {
	t.Parallel()
	good := stock.Lot{ShipmentID: someone, CultivarID: someone, Plants: 1, FarmIDs: []domain.ID{east, west}}
	require.NoError(t, good.Check())
	require.Equal(t, []string{"/cultivar_id missing", "/plants too_small"}, codes(t, stock.Lot{}.Check()))
	good.FarmIDs = []domain.ID{east, west, east}
	require.Equal(t, []string{"/farm_ids/2 twice"}, codes(t, good.Check()))
}

// 31 December 2026 lies in week 53, 4 January 2027 in week 1 (ISO 8601).
func TestALotCodeIsItsWeekAndNumber(t *testing.T) {
	t.Parallel()
	for want, on := range map[string]domain.Date{
		"31-07": domain.NewDate(2026, time.July, 27), "53-07": domain.NewDate(2026, time.December, 31), "01-07": domain.NewDate(2027, time.January, 4),
	} {
		require.Equal(t, want, stock.LotCode(on, 7))
	}
	require.Equal(t, "31-123", stock.LotCode(domain.NewDate(2026, time.July, 27), 123))
}

func TestAShipmentGoesForwardInTime(t *testing.T) {
	t.Parallel()
	good := stock.Shipment{SiteID: someone, SupplierID: someone, ExpectedOn: domain.NewDate(2026, time.July, 27)}
	require.NoError(t, good.Check())
	require.Equal(t, []string{"/site_id missing", "/supplier_id missing", "/expected_on missing"}, codes(t, stock.Shipment{}.Check()))

	good.LeftAt, good.DockedAt, good.OpenedAt = day(0), day(2), day(2)
	require.NoError(t, good.Check(), "steps that are not known are passed over")

	good.DockedAt = day(-1)
	require.Equal(t, []string{"/docked_at out_of_order"}, codes(t, good.Check()))
	require.ErrorContains(t, good.Check(), "it reached the dock at 2026-07-26T08:00:00Z, before it left at 2026-07-27T08:00:00Z")

	good.DockedAt = day(2)
	good.OrderLines = []stock.OrderLine{{CultivarID: someone}, {}}
	require.Equal(t, []string{"/order_lines/1/cultivar_id missing"}, codes(t, good.Check()))
}

func TestAShipmentArrivesOnTheDateOfItsDock(t *testing.T) {
	t.Parallel()
	chicago, err := time.LoadLocation("America/Chicago")
	require.NoError(t, err)
	s := stock.Shipment{ExpectedOn: domain.NewDate(2026, time.July, 27)}
	require.Equal(t, "2026-07-27", s.DateAtSite(chicago).String(), "expected")
	s.DockedAt = time.Date(2026, time.July, 29, 2, 0, 0, 0, time.UTC) // nine in the evening before
	require.Equal(t, "2026-07-28", s.DateAtSite(chicago).String())
	require.Equal(t, "2026-07-29", s.DateAtSite(time.UTC).String())
}

// Published claim terms of young-plant sellers run from 24 to 48 hours after receipt.
func TestTheClaimClockRunsFromReceipt(t *testing.T) {
	t.Parallel()
	require.True(t, stock.Shipment{OpenedAt: day(0)}.ClaimEnd(24).IsZero(), "nothing was received")
	s := stock.Shipment{DockedAt: day(0), OpenedAt: day(1)}
	require.Equal(t, day(1), s.ClaimEnd(stock.DefaultClaimHours))
	require.Equal(t, day(2), s.ClaimEnd(48))
}

func TestTheClaimClockCountsHoursAlsoWhenClocksChange(t *testing.T) {
	t.Parallel()
	chicago, err := time.LoadLocation("America/Chicago")
	require.NoError(t, err)
	// Clocks go back on 1 November 2026 (first Sunday of November).
	s := stock.Shipment{DockedAt: time.Date(2026, time.October, 31, 12, 0, 0, 0, chicago)}
	require.Equal(t, "2026-11-01T11:00:00-06:00", s.ClaimEnd(24).Format(time.RFC3339))
}

func TestNamesNeedWhatTheyBelongTo(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		err  error
		want []string
	}{
		"supplier":              {stock.Supplier{Name: "S", ClaimHours: 24}.Check(), nil},
		"supplier, empty":       {stock.Supplier{}.Check(), []string{"/name missing", "/claim_hours too_small"}},
		"farm":                  {stock.Farm{Name: "F", SupplierID: someone}.Check(), nil},
		"farm, empty":           {stock.Farm{}.Check(), []string{"/supplier_id missing", "/name missing"}},
		"crop":                  {stock.Crop{Name: "C", MainOrganismID: someone, SecondLookFromDays: 14, SecondLookToDays: 18}.Check(), nil},
		"crop, one day":         {stock.Crop{Name: "C", MainOrganismID: someone, SecondLookFromDays: 14, SecondLookToDays: 14}.Check(), nil},
		"crop, reversed":        {stock.Crop{Name: "C", MainOrganismID: someone, SecondLookFromDays: 18, SecondLookToDays: 14}.Check(), []string{"/second_look_to_days window_reversed"}},
		"crop, empty":           {stock.Crop{}.Check(), []string{"/name missing", "/main_organism_id missing", "/second_look_to_days window_reversed"}},
		"cultivar":              {stock.Cultivar{CropID: someone, Name: "C"}.Check(), nil},
		"cultivar, empty":       {stock.Cultivar{}.Check(), []string{"/crop_id missing", "/name missing"}},
		"season of a day":       {stock.Season{CropID: someone, StartsOn: domain.NewDate(2026, 6, 1), EndsOn: domain.NewDate(2026, 6, 1)}.Check(), nil},
		"season, reversed":      {stock.Season{CropID: someone, StartsOn: domain.NewDate(2026, 6, 1), EndsOn: domain.NewDate(2026, 5, 1)}.Check(), []string{"/ends_on before_start"}},
		"season without a crop": {stock.Season{}.Check(), []string{"/crop_id missing"}},
	} {
		require.Equal(t, c.want, codes(t, c.err), name)
	}
}
