package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func holdFromWire(id domain.ID, b wire.HoldBody) stock.Hold {
	return stock.Hold{
		ID: id, Scope: stock.Scope(b.Scope), ScopeID: b.ScopeID, Kind: stock.HoldKind(b.Kind), From: b.FromAt, To: b.ToAt,
		Reason: b.Reason, PaperNumber: b.PaperNumber, Withdrawn: b.WithdrawnBecause,
	}
}

func holdToWire(r store.Record[stock.Hold]) wire.Hold {
	x := r.Value
	return wire.Hold{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		Scope: wire.HoldScope(x.Scope), ScopeID: x.ScopeID, Kind: wire.HoldKind(x.Kind), FromAt: x.From, ToAt: x.To,
		Reason: x.Reason, PaperNumber: x.PaperNumber, WithdrawnBecause: x.Withdrawn, SiteID: x.SiteID,
	}
}

func (s *server) holds() writer { return writerOf(s, daily, holdFromWire, s.Store.PutHold, holdToWire) }

// PutHold implements PUT /holds/{id}.
func (s *server) PutHold(c echo.Context, id domain.ID, p wire.PutHoldParams) error {
	return s.put(c, s.holds(), id, p.IfMatch)
}

// GetHold implements GET /holds/{id}.
func (s *server) GetHold(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Hold, holdToWire)
}

// ListHolds implements GET /holds.
func (s *server) ListHolds(c echo.Context, p wire.ListHoldsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[stock.Hold], error) {
		return s.Store.Holds(ctx, a, page, store.HoldFilter{SiteID: p.SiteID, LotID: p.LotID, State: string(p.State)})
	}
	return list(c, p.Limit, p.After, read, holdToWire)
}
