package store_test

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/stock"
)

func putLot(t *testing.T, st *store.Store, f storetest.Filled, expected int, x stock.Lot) (stock.Lot, error) {
	t.Helper()
	put := store.Put{ID: x.ID, Expected: expected, Content: fmt.Appendf(nil, `{"n":%d}`, expected)}
	saved, err := st.PutLot(t.Context(), f.Owner, put, x)
	return saved.Value, err
}

func TestLotsOfOneWeekAreNumberedAndKeepTheirCodes(t *testing.T) {
	t.Parallel()
	st, _ := cluster.New(t)
	f := storetest.Fill(t, st, "Fernhollow")
	next := func(code string) stock.Lot {
		return stock.Lot{ID: storetest.NewID(t), ShipmentID: f.Shipment, CultivarID: f.Cultivar, Plants: 10, Code: code}
	}
	a := next("")
	stored, err := putLot(t, st, f, 0, a)
	require.NoError(t, err)
	require.Equal(t, "32-03", stored.Code, "the third lot of ISO week 32") // 3 August 2026 is its Monday
	_, err = putLot(t, st, f, 0, next("32-07"))
	require.NoError(t, err)
	stored, err = putLot(t, st, f, 0, next(""))
	require.NoError(t, err)
	require.Equal(t, "32-08", stored.Code)
	a.Plants = 20
	stored, err = putLot(t, st, f, 1, a)
	require.NoError(t, err)
	require.Equal(t, "32-03", stored.Code, "a correction keeps the code it was given")
}

func TestLotsPutAtOnceGetCodesOfTheirOwn(t *testing.T) {
	t.Parallel()
	st, _ := cluster.New(t)
	f := storetest.Fill(t, st, "Fernhollow")
	codes := make([]string, 20)
	errs := make([]error, 20)
	var all sync.WaitGroup
	for i := range codes {
		all.Go(func() {
			x := stock.Lot{ID: storetest.NewID(t), ShipmentID: f.Shipment, CultivarID: f.Cultivar, Plants: 10}
			saved, err := st.PutLot(t.Context(), f.Owner, store.Put{ID: x.ID, Content: []byte(`{}`)}, x)
			codes[i], errs[i] = saved.Value.Code, err
		})
	}
	all.Wait()
	seen := map[string]bool{}
	for i, err := range errs {
		require.NoError(t, err)
		require.False(t, seen[codes[i]], codes[i])
		seen[codes[i]] = true
	}
}

func TestALotThatArrivesOutOfSeasonIsNeverRefused(t *testing.T) {
	t.Parallel()
	st, _ := cluster.New(t)
	f := storetest.Fill(t, st, "Fernhollow") // its season of 2026 begins in June
	arrive := func(on domain.Date) stock.Lot {
		shipment := stock.Shipment{ID: storetest.NewID(t), SiteID: f.Site, SupplierID: f.Supplier, ExpectedOn: on}
		_, err := st.PutShipment(t.Context(), f.Owner, store.Put{ID: shipment.ID, Content: []byte(`{}`)}, shipment)
		require.NoError(t, err)
		lot, err := putLot(t, st, f, 0, stock.Lot{ID: storetest.NewID(t), ShipmentID: shipment.ID, CultivarID: f.Cultivar, Plants: 10})
		require.NoError(t, err)
		return lot
	}
	require.Equal(t, f.Season, arrive(domain.NewDate(2026, 8, 1)).SeasonID)
	require.Equal(t, f.Season, arrive(domain.NewDate(2026, 3, 1)).SeasonID, "the season of its year")
	later := arrive(domain.NewDate(2027, 3, 1)).SeasonID
	require.NotEqual(t, f.Season, later, "a year of its own")
	require.Equal(t, later, arrive(domain.NewDate(2027, 11, 1)).SeasonID)
}

func TestWhatAMovementTakesMustBeThere(t *testing.T) {
	t.Parallel()
	st, _ := cluster.New(t)
	f := storetest.Fill(t, st, "Fernhollow") // 1,000 plants stand in Block
	move := func(plants int) error {
		x := stock.Movement{
			ID: storetest.NewID(t), LotID: f.Lot, Kind: stock.Move, MovedAt: f.LookAt, Plants: plants, FromBlockID: f.Block, ToBlockID: f.OtherBlock,
		}
		_, err := st.PutMovement(t.Context(), f.Owner, store.Put{ID: x.ID, Content: []byte(`{}`)}, x)
		return err
	}
	// Ten at once want 300 each: three can have them.
	errs := make([]error, 10)
	var all sync.WaitGroup
	for i := range errs {
		all.Go(func() { errs[i] = move(300) })
	}
	all.Wait()
	moved := 0
	for _, err := range errs {
		var faults domain.Faults
		if err == nil {
			moved++
		} else {
			require.ErrorAs(t, err, &faults)
			// All are of one moment, so that one may stand before another in the book.
			require.Contains(t, []string{"more_than_there", "makes_impossible"}, faults[0].Code)
		}
	}
	require.Equal(t, 3, moved)
	lot, err := st.Lot(t.Context(), f.Owner, f.Lot)
	require.NoError(t, err)
	require.Equal(t, 1000, lot.Value.PlantsOnHand)
	fewer := lot.Value
	fewer.Plants = 899
	_, err = putLot(t, st, f, 1, fewer)
	var faults domain.Faults
	require.ErrorAs(t, err, &faults, "a correction of the lot may not unmake what was moved")
}

func TestAMovementOfAHeldLotIsKeptAndMarked(t *testing.T) {
	t.Parallel()
	st, clock := cluster.New(t)
	f := storetest.Fill(t, st, "Fernhollow")
	verdict := storetest.NewID(t)
	_, err := st.PutVerdict(t.Context(), f.Owner, store.Put{ID: verdict, Content: []byte(`{}`)}, arrivalHold(f, verdict))
	require.NoError(t, err)
	x := stock.Movement{
		ID: storetest.NewID(t), LotID: f.Lot, Kind: stock.Move, MovedAt: storetest.Now(), Plants: 10, FromBlockID: f.Block, ToBlockID: f.OtherBlock,
	}
	_, err = st.PutMovement(t.Context(), f.Owner, store.Put{ID: x.ID, Content: []byte(`{}`)}, x)
	var faults domain.Faults
	require.ErrorAs(t, err, &faults, "who asks is told that it is held")
	require.Equal(t, "held", faults[0].Code)
	x.AlthoughHeld = true
	saved, err := st.PutMovement(t.Context(), f.Owner, store.Put{ID: x.ID, Content: []byte(`{}`)}, x)
	require.NoError(t, err)
	require.Equal(t, []domain.ID{verdict}, saved.Value.HeldBy)

	// Accepted later, the lot was still on hold then; and a hold whose words are
	// corrected afterwards does not come back.
	clock.Set(storetest.Now().Add(time.Hour))
	accept := arrivalHold(f, storetest.NewID(t))
	accept.Decision = arrival.Accept
	_, err = st.PutVerdict(t.Context(), f.Owner, store.Put{ID: accept.ID, Content: []byte(`{}`)}, accept)
	require.NoError(t, err)
	clock.Set(storetest.Now().Add(2 * time.Hour))
	hold := arrivalHold(f, verdict)
	hold.Because = "to look again on Friday"
	_, err = st.PutVerdict(t.Context(), f.Owner, store.Put{ID: verdict, Expected: 1, Content: []byte(`{"because":1}`)}, hold)
	require.NoError(t, err)
	x.Note = "to the end of the bench"
	saved, err = st.PutMovement(t.Context(), f.Owner, store.Put{ID: x.ID, Expected: 1, Content: []byte(`{"note":1}`)}, x)
	require.NoError(t, err)
	require.Equal(t, []domain.ID{verdict}, saved.Value.HeldBy)
	lot, err := st.Lot(t.Context(), f.Owner, f.Lot)
	require.NoError(t, err)
	require.Equal(t, string(arrival.Accept), lot.Value.Verdict)
}

func arrivalHold(f storetest.Filled, id domain.ID) arrival.Verdict {
	return arrival.Verdict{ID: id, InspectionID: f.Inspection, Decision: arrival.Hold, Because: "to look again"}
}
