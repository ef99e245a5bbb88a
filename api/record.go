package api

import (
	"context"
	"encoding/json"
	"fmt"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/arrival"
	"benchtrail/domain/place"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
)

// Record stores a value of the domain as if it had been sent in a PUT, over the
// version expected (0 for a new one). Programs use it that have no body to
// send, such as the one that fills the demo.
func Record(ctx context.Context, st *store.Store, a store.Actor, expected int, value any) error {
	switch x := value.(type) {
	case place.Site:
		return record[wire.SiteBody](ctx, a, x.ID, expected, x, siteToWire, st.PutSite)
	case place.House:
		return record[wire.HouseBody](ctx, a, x.ID, expected, x, houseToWire, st.PutHouse)
	case place.Section:
		return record[wire.SectionBody](ctx, a, x.ID, expected, x, sectionToWire, st.PutSection)
	case place.Block:
		return record[wire.BlockBody](ctx, a, x.ID, expected, x, blockToWire, st.PutBlock)
	case stock.Supplier:
		return record[wire.SupplierBody](ctx, a, x.ID, expected, x, supplierToWire, st.PutSupplier)
	case stock.Farm:
		return record[wire.FarmBody](ctx, a, x.ID, expected, x, farmToWire, st.PutFarm)
	case stock.Crop:
		return record[wire.CropBody](ctx, a, x.ID, expected, x, cropToWire, st.PutCrop)
	case stock.Cultivar:
		return record[wire.CultivarBody](ctx, a, x.ID, expected, x, cultivarToWire, st.PutCultivar)
	case stock.Season:
		return record[wire.SeasonBody](ctx, a, x.ID, expected, x, seasonToWire, st.PutSeason)
	case advice.Threshold:
		return record[wire.ThresholdBody](ctx, a, x.ID, expected, x, thresholdToWire, st.PutThreshold)
	case advice.Decision:
		return record[wire.DecisionBody](ctx, a, x.ID, expected, x, decisionToWire, st.PutDecision)
	case stock.Shipment:
		return record[wire.ShipmentBody](ctx, a, x.ID, expected, x, shipmentToWire, st.PutShipment)
	case stock.Lot:
		return record[wire.LotBody](ctx, a, x.ID, expected, x, lotToWire, st.PutLot)
	case stock.Movement:
		return record[wire.MovementBody](ctx, a, x.ID, expected, x, movementToWire, st.KeepMovement)
	case stock.Customer:
		return record[wire.CustomerBody](ctx, a, x.ID, expected, x, customerToWire, st.PutCustomer)
	case stock.Hold:
		return record[wire.HoldBody](ctx, a, x.ID, expected, x, holdToWire, st.PutHold)
	case stock.LabSample:
		return record[wire.LabSampleBody](ctx, a, x.ID, expected, x, labSampleToWire, st.PutLabSample)
	case stock.Photo:
		return record[wire.PhotoBody](ctx, a, x.ID, expected, x, photoToWire, st.PutPhoto)
	case arrival.Inspection:
		return record[wire.InspectionBody](ctx, a, x.ID, expected, x, inspectionToWire, st.PutInspection)
	case arrival.Claim:
		return record[wire.ClaimBody](ctx, a, x.ID, expected, x, claimToWire, st.PutClaim)
	case arrival.Verdict:
		return record[wire.VerdictBody](ctx, a, x.ID, expected, x, verdictToWire, st.PutVerdict)
	case scouting.Look:
		return record[wire.LookBody](ctx, a, x.ID, expected, x, lookToWire, st.PutLook)
	}
	return fmt.Errorf("no way to record a %T", value)
}

func record[B any, V checked, R any](ctx context.Context, a store.Actor, id domain.ID, expected int, value V,
	to func(store.Record[V]) R, save func(context.Context, store.Actor, store.Put, V) (store.Saved[V], error),
) error {
	if err := value.Check(); err != nil {
		return fmt.Errorf("%T %s: %w", value, id, err)
	}
	content, err := bodyOf[B](to(store.Record[V]{ID: id, Value: value}))
	if err != nil {
		return fmt.Errorf("write %T %s down: %w", value, id, err)
	}
	if _, err := save(ctx, a, store.Put{ID: id, Expected: expected, Content: content}, value); err != nil {
		return fmt.Errorf("%T %s: %w", value, id, err)
	}
	return nil
}

// bodyOf gives the part of a record that a PUT would have sent.
func bodyOf[B any](record any) ([]byte, error) {
	whole, err := json.Marshal(record)
	if err != nil {
		return nil, err
	}
	var body B
	if err := json.Unmarshal(whole, &body); err != nil {
		return nil, err
	}
	return json.Marshal(body)
}
