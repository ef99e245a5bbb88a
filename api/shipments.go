package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func shipmentFromWire(id domain.ID, b wire.ShipmentBody) stock.Shipment {
	return stock.Shipment{
		ID: id, SiteID: b.SiteID, SupplierID: b.SupplierID, ExpectedOn: b.ExpectedOn,
		LeftAt: b.LeftAt, LandedAt: b.LandedAt, DockedAt: b.DockedAt, OpenedAt: b.OpenedAt,
		Papers: each(b.Papers, func(p wire.Paper) stock.Paper { return stock.Paper{Kind: string(p.Kind), Number: p.Number} }),
		OrderLines: each(b.OrderLines, func(l wire.OrderLine) stock.OrderLine {
			return stock.OrderLine{
				CultivarID: l.CultivarID, Form: stock.Form(l.Form), Ordered: l.Ordered, Invoiced: l.Invoiced, SubstituteForID: l.SubstituteForID,
			}
		}),
		Boxes: each(b.Boxes, func(x wire.Box) stock.Box {
			return stock.Box{Label: x.Label, TemperatureC: x.TemperatureC, OpenedAt: x.OpenedAt, CultivarIDs: x.CultivarIds}
		}),
		Note: b.Note, Withdrawn: b.WithdrawnBecause,
	}
}

func shipmentToWire(r store.Record[stock.Shipment]) wire.Shipment {
	x := r.Value
	return wire.Shipment{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		SiteID: x.SiteID, SupplierID: x.SupplierID, ExpectedOn: x.ExpectedOn,
		LeftAt: x.LeftAt, LandedAt: x.LandedAt, DockedAt: x.DockedAt, OpenedAt: x.OpenedAt,
		Papers: each(x.Papers, func(p stock.Paper) wire.Paper { return wire.Paper{Kind: wire.PaperKind(p.Kind), Number: p.Number} }),
		OrderLines: each(x.OrderLines, func(l stock.OrderLine) wire.OrderLine {
			return wire.OrderLine{
				CultivarID: l.CultivarID, Form: wire.Form(l.Form), Ordered: l.Ordered, Invoiced: l.Invoiced, SubstituteForID: l.SubstituteForID,
			}
		}),
		Boxes: each(x.Boxes, func(b stock.Box) wire.Box {
			return wire.Box{Label: b.Label, TemperatureC: b.TemperatureC, OpenedAt: b.OpenedAt, CultivarIds: b.CultivarIDs}
		}),
		Note: x.Note, WithdrawnBecause: x.Withdrawn,
		ArrivedOn: x.ArrivedOn, ClaimClosesAt: x.ClaimClosesAt, Lots: x.Lots, LotsInspected: x.LotsInspected,
	}
}

func (s *server) shipments() writer {
	return writerOf(s, daily, shipmentFromWire, s.Store.PutShipment, shipmentToWire)
}

// PutShipment implements PUT /shipments/{id}.
func (s *server) PutShipment(c echo.Context, id domain.ID, p wire.PutShipmentParams) error {
	return s.put(c, s.shipments(), id, p.IfMatch)
}

// GetShipment implements GET /shipments/{id}.
func (s *server) GetShipment(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Shipment, shipmentToWire)
}

// ListShipments implements GET /shipments.
func (s *server) ListShipments(c echo.Context, p wire.ListShipmentsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[stock.Shipment], error) {
		return s.Store.Shipments(ctx, a, page, store.ShipmentFilter{SiteID: p.SiteID, State: string(p.State)})
	}
	return list(c, p.Limit, p.After, read, shipmentToWire)
}
