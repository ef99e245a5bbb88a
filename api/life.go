package api

import (
	"math/big"
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/domain"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

func tallyToWire(t stock.Tally) wire.LotTally {
	return wire.LotTally{
		Received: t.In, Unplaced: t.Unplaced, Placed: t.Placed, Discarded: t.Discarded, Dispatched: t.Dispatched,
		SplitOff: t.SplitOff, MergedAway: t.MergedAway, Gained: t.Gained, Lost: t.Lost,
	}
}

// rateToWire gives a share with Wilson's interval; of nothing it has none.
func rateToWire(count, of int) (wire.Rate, error) {
	r := wire.Rate{Count: count, Of: of}
	if of == 0 {
		return r, nil
	}
	interval, err := stats.Wilson(stats.Proportion{Examined: of, Infested: count}, trend.Confidence)
	if err != nil {
		return r, err
	}
	percent, lower, upper := 100*float64(count)/float64(of), 100*interval.Lower, 100*interval.Upper
	r.Percent, r.LowerPercent, r.UpperPercent = &percent, &lower, &upper
	return r, nil
}

func percentOf(part *big.Rat) float64 {
	percent, _ := new(big.Rat).Mul(part, big.NewRat(100, 1)).Float64()
	return percent
}

func reachToWire(r stock.Reach) wire.LotHold {
	by := wire.LotHoldBy("hold")
	if r.Hold.ByVerdict {
		by = "verdict"
	}
	return wire.LotHold{
		ID: r.Hold.ID, By: by, Scope: wire.HoldScope(r.Hold.Scope), ScopeID: r.Hold.ScopeID, Kind: wire.HoldKind(r.Hold.Kind),
		FromAt: r.From, ToAt: r.To, Reason: r.Hold.Reason,
	}
}

// GetLotLife implements GET /lots/{id}/life.
func (s *server) GetLotLife(c echo.Context, id domain.ID) error {
	life, err := s.Store.LotLife(c.Request().Context(), actorOf(c), id)
	if err != nil {
		return err
	}
	a := life.Account
	strike, err := rateToWire(a.Strike.Rooted, a.Strike.Stuck)
	if err != nil {
		return err
	}
	out := wire.LotLife{
		LotID: id, State: wire.LotState(a.State), BornAt: a.Birth.At, BornBy: a.Birth.MovementID, StuckAt: a.Steps.StuckAt, RootedAt: a.Steps.RootedAt,
		PottedAt: a.Steps.PottedAt, PinchedAt: a.Steps.PinchedAt, SpacedAt: a.Steps.SpacedAt,
		Tally: tallyToWire(a.Tally), Strike: strike, Children: each(a.Children, func(id domain.ID) domain.ID { return id }),
		Placements: each(a.Placements, placementToWire), Holds: each(life.Holds, reachToWire),
		Composition: each(a.Composition, func(x stock.Share) wire.LotShare {
			return wire.LotShare{LotID: x.LotID, Numerator: x.Part.Num().String(), Denominator: x.Part.Denom().String(), Percent: percentOf(x.Part)}
		}),
		Ancestors: each(life.Ancestry, func(x stock.Ancestor) wire.LotAncestor {
			return wire.LotAncestor{LotID: x.LotID, Arrival: x.Arrival, From: x.From, Until: x.Until, Percent: percentOf(x.Share)}
		}),
		Recounts: each(a.Recounts, func(x stock.Recount) wire.Recount {
			return wire.Recount{MovementID: x.MovementID, BlockID: x.BlockID, At: x.At, Booked: x.Booked, Found: x.Found}
		}),
	}
	return c.JSON(http.StatusOK, out)
}

// GetConflicts implements GET /conflicts.
func (s *server) GetConflicts(c echo.Context, p wire.GetConflictsParams) error {
	found, err := s.Store.Unsettled(c.Request().Context(), actorOf(c), p.SiteID)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, wire.ConflictList{Items: each(found, movementToWire)})
}
