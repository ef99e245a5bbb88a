package api

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func lotFromWire(id domain.ID, b wire.LotBody) stock.Lot {
	return stock.Lot{
		ID: id, ShipmentID: b.ShipmentID, CultivarID: b.CultivarID, FarmIDs: b.FarmIds, FarmKnownBy: b.FarmKnownBy,
		SupplierLotCode: b.SupplierLotCode, RootingStation: b.RootingStation, Form: stock.Form(b.Form), Plants: b.Plants, Code: b.Code,
		Note: b.Note, Withdrawn: b.WithdrawnBecause,
	}
}

func lotToWire(r store.Record[stock.Lot]) wire.Lot {
	x := r.Value
	return wire.Lot{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		ShipmentID: x.ShipmentID, CultivarID: x.CultivarID, FarmIds: x.FarmIDs, FarmKnownBy: x.FarmKnownBy,
		SupplierLotCode: x.SupplierLotCode, RootingStation: x.RootingStation, Form: wire.Form(x.Form), Plants: x.Plants, Code: x.Code,
		Note: x.Note, WithdrawnBecause: x.Withdrawn,
		SiteID: x.SiteID, SeasonID: x.SeasonID, CropID: x.CropID, SupplierID: x.SupplierID, ArrivedOn: x.ArrivedOn,
		PlantsOnHand: x.PlantsOnHand, Verdict: wire.VerdictDecision(x.Verdict), Inspected: x.Inspected,
		BornBy: x.BornBy, Mixed: x.Mixed, State: wire.LotState(x.State), Held: x.Held,
	}
}

func (s *server) lots() writer { return writerOf(s, daily, lotFromWire, s.Store.PutLot, lotToWire) }

// PutLot implements PUT /lots/{id}.
func (s *server) PutLot(c echo.Context, id domain.ID, p wire.PutLotParams) error {
	return s.put(c, s.lots(), id, p.IfMatch)
}

// GetLot implements GET /lots/{id}.
func (s *server) GetLot(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Lot, lotToWire)
}

// ListLots implements GET /lots.
func (s *server) ListLots(c echo.Context, p wire.ListLotsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[stock.Lot], error) {
		return s.Store.Lots(ctx, a, page, store.LotFilter{
			SiteID: p.SiteID, ShipmentID: p.ShipmentID, CultivarID: p.CultivarID, SeasonID: p.SeasonID, State: string(p.State),
		})
	}
	return list(c, p.Limit, p.After, read, lotToWire)
}

// ReadPastedLots implements POST /pasted-lots.
func (s *server) ReadPastedLots(c echo.Context) error {
	raw, err := readBody(c, mostBody)
	if err != nil {
		return err
	}
	body, err := decode[wire.PastedLotsRequest](s.contract, raw)
	if err != nil {
		return err
	}
	known, err := s.Store.NamesForPasting(c.Request().Context(), actorOf(c), body.ShipmentID)
	if err != nil {
		return err
	}
	lots := each(stock.ReadPasted(body.Text, known), func(x stock.PastedLot) wire.PastedLot {
		return wire.PastedLot{
			Line: x.Line, Text: x.Text, CultivarID: x.CultivarID, CultivarName: x.CultivarName, Plants: x.Plants,
			FarmID: x.FarmID, FarmName: x.FarmName, SupplierLotCode: x.SupplierLotCode, Form: wire.Form(x.Form),
			Faults: each(x.Faults, func(f domain.Fault) wire.Fault { return wire.Fault{Pointer: f.Path, Code: f.Code, Detail: f.Detail} }),
		}
	})
	return c.JSON(http.StatusOK, wire.PastedLots{Lots: lots})
}
