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

func movementFromWire(id domain.ID, b wire.MovementBody) stock.Movement {
	return stock.Movement{
		ID: id, LotID: b.LotID, Kind: stock.Kind(b.Kind), MovedAt: b.MovedAt, Plants: b.Plants,
		FromBlockID: b.FromBlockID, ToBlockID: b.ToBlockID, Reason: b.Reason, Note: b.Note, Withdrawn: b.WithdrawnBecause,
		Rooted: b.Rooted, CustomerID: b.CustomerID, PaperNumber: b.PaperNumber, Code: b.Code, AlthoughHeld: b.AlthoughHeld,
		Parts: partsFromWire(b.Parts),
	}
}

func partsFromWire(parts []wire.MovementPart) []stock.Part {
	var out []stock.Part
	for _, p := range parts {
		out = append(out, stock.Part{LotID: p.LotID, Plants: p.Plants, FromBlockID: p.FromBlockID, ToBlockID: p.ToBlockID, Code: p.Code})
	}
	return out
}

func partToWire(p stock.Part) wire.MovementPart {
	return wire.MovementPart{LotID: p.LotID, Plants: p.Plants, FromBlockID: p.FromBlockID, ToBlockID: p.ToBlockID, Code: p.Code}
}

func movementToWire(r store.Record[stock.Movement]) wire.Movement {
	x := r.Value
	out := wire.Movement{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		LotID: x.LotID, Kind: wire.MovementKind(x.Kind), MovedAt: x.MovedAt, Plants: x.Plants,
		FromBlockID: x.FromBlockID, ToBlockID: x.ToBlockID, Reason: x.Reason, Note: x.Note, WithdrawnBecause: x.Withdrawn,
		Rooted: x.Rooted, CustomerID: x.CustomerID, PaperNumber: x.PaperNumber, Code: x.Code, AlthoughHeld: x.AlthoughHeld,
		SiteID: x.SiteID, WhileHeld: len(x.HeldBy) > 0, HeldBy: x.HeldBy,
	}
	if len(x.Parts) > 0 {
		out.Parts = each(x.Parts, partToWire)
	}
	if c := x.Aside; c != nil {
		out.Conflict = wire.MovementConflict{
			Code: string(c.Code), LotID: c.LotID, BlockID: c.BlockID, Have: c.Have, Asked: c.Asked, Detail: c.Detail,
			With: each(c.With, func(id domain.ID) domain.ID { return id }),
		}
	}
	return out
}

func (s *server) movements() writer {
	return writerOf(s, daily, movementFromWire, s.Store.PutMovement, movementToWire)
}

// movementsThatHappened is how movements come in from an outbox.
func (s *server) movementsThatHappened() writer {
	return writerOf(s, daily, movementFromWire, s.Store.KeepMovement, movementToWire)
}

// PutMovement implements PUT /movements/{id}.
func (s *server) PutMovement(c echo.Context, id domain.ID, p wire.PutMovementParams) error {
	return s.put(c, s.movements(), id, p.IfMatch)
}

// GetMovement implements GET /movements/{id}.
func (s *server) GetMovement(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Movement, movementToWire)
}

// ListMovements implements GET /movements.
func (s *server) ListMovements(c echo.Context, p wire.ListMovementsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[stock.Movement], error) {
		return s.Store.Movements(ctx, a, page, store.MovementFilter{SiteID: p.SiteID, LotID: p.LotID, ShipmentID: p.ShipmentID})
	}
	return list(c, p.Limit, p.After, read, movementToWire)
}

func placementToWire(p stock.Placement) wire.Placement {
	return wire.Placement{LotID: p.LotID, BlockID: p.BlockID, From: p.From, To: p.To, Plants: p.Plants}
}

// ListPlacements implements GET /placements.
func (s *server) ListPlacements(c echo.Context, p wire.ListPlacementsParams) error {
	found, next, err := s.Store.Placements(c.Request().Context(), actorOf(c), p.After, orDefault(p.Limit, 50), store.PlacementFilter{
		SiteID: p.SiteID, BlockID: p.BlockID, LotID: p.LotID, At: p.At,
	})
	if err != nil {
		return err
	}
	out := listOf[wire.Placement]{Items: each(found, placementToWire)}
	if next != "" {
		out.Next = &next
	}
	return c.JSON(http.StatusOK, out)
}
