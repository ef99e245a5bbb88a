package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/arrival"
)

func claimFromWire(id domain.ID, b wire.ClaimBody) arrival.Claim {
	return arrival.Claim{
		ID: id, ShipmentID: b.ShipmentID,
		Items: each(b.Items, func(x wire.ClaimItem) arrival.ClaimItem {
			return arrival.ClaimItem{LotID: x.LotID, What: string(x.What), Plants: x.Plants, Note: x.Note}
		}),
		Text: b.Text, SentAt: b.SentAt, SentBy: b.SentBy, AnsweredAt: b.AnsweredAt, Answer: b.Answer,
		Credit: arrival.Credit{Amount: b.Credit.Amount, Currency: b.Credit.Currency}, Withdrawn: b.WithdrawnBecause,
	}
}

func claimToWire(r store.Record[arrival.Claim]) wire.Claim {
	x := r.Value
	return wire.Claim{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy), ShipmentID: x.ShipmentID,
		Items: each(x.Items, func(x arrival.ClaimItem) wire.ClaimItem {
			return wire.ClaimItem{LotID: x.LotID, What: wire.ClaimItemWhat(x.What), Plants: x.Plants, Note: x.Note}
		}),
		Text: x.Text, SentAt: x.SentAt, SentBy: x.SentBy, AnsweredAt: x.AnsweredAt, Answer: x.Answer,
		Credit: wire.Credit{Amount: x.Credit.Amount, Currency: x.Credit.Currency}, WithdrawnBecause: x.Withdrawn,
		SiteID: x.SiteID, ClosesAt: x.ClosesAt(), InTime: x.InTime(),
	}
}

func (s *server) claims() writer {
	return writerOf(s, daily, claimFromWire, s.Store.PutClaim, claimToWire)
}

// PutClaim implements PUT /claims/{id}.
func (s *server) PutClaim(c echo.Context, id domain.ID, p wire.PutClaimParams) error {
	return s.put(c, s.claims(), id, p.IfMatch)
}

// GetClaim implements GET /claims/{id}.
func (s *server) GetClaim(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Claim, claimToWire)
}

// ListClaims implements GET /claims.
func (s *server) ListClaims(c echo.Context, p wire.ListClaimsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[arrival.Claim], error) {
		return s.Store.Claims(ctx, a, page, p.SiteID, p.ShipmentID)
	}
	return list(c, p.Limit, p.After, read, claimToWire)
}
