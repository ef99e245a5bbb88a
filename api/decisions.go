package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
)

func decisionFromWire(id domain.ID, b wire.DecisionBody) advice.Decision {
	f := b.Figures
	return advice.Decision{
		ID: id, HouseID: b.HouseID, CultivarID: b.CultivarID, OrganismID: b.OrganismID, SeasonID: b.SeasonID,
		Choice: advice.Choice(b.Choice), Because: b.Because, DecidedAt: b.DecidedAt,
		Figures: advice.Figures{
			Week: f.Week, Plants: f.PlantsLookedAt, Infested: f.InfestedPlants, Percent: f.Percent, LowerPercent: f.LowerPercent,
			UpperPercent: f.UpperPercent, LimitPercent: f.LimitPercent, LimitOn: f.LimitOn, OverPercent: f.OverLimitPercent, Suggested: f.Suggested,
		},
		DoneOn: b.DoneOn, DoneNote: b.DoneNote, Withdrawn: b.WithdrawnBecause,
	}
}

func decisionToWire(r store.Record[advice.Decision]) wire.Decision {
	x, f := r.Value, r.Value.Figures
	return wire.Decision{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		HouseID: x.HouseID, CultivarID: x.CultivarID, OrganismID: x.OrganismID, SeasonID: x.SeasonID, SiteID: x.SiteID,
		Choice: wire.DecisionChoice(x.Choice), Because: x.Because, DecidedAt: x.DecidedAt,
		DecidedBy: wire.Author{ID: x.DecidedBy, Name: x.DecidedByName},
		Figures: wire.DecisionFigures{
			Week: f.Week, PlantsLookedAt: f.Plants, InfestedPlants: f.Infested, Percent: f.Percent, LowerPercent: f.LowerPercent,
			UpperPercent: f.UpperPercent, LimitPercent: f.LimitPercent, LimitOn: f.LimitOn, OverLimitPercent: f.OverPercent, Suggested: f.Suggested,
		},
		DoneOn: x.DoneOn, DoneNote: x.DoneNote, WithdrawnBecause: x.Withdrawn,
	}
}

// PutDecision implements PUT /decisions/{id}.
func (s *server) PutDecision(c echo.Context, id domain.ID, p wire.PutDecisionParams) error {
	return s.put(c, writerOf(s, limits, decisionFromWire, s.Store.PutDecision, decisionToWire), id, p.IfMatch)
}

// GetDecision implements GET /decisions/{id}.
func (s *server) GetDecision(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Decision, decisionToWire)
}

// ListDecisions implements GET /decisions.
func (s *server) ListDecisions(c echo.Context, p wire.ListDecisionsParams) error {
	f := store.DecisionFilter{SiteID: p.SiteID, HouseID: p.HouseID, CultivarID: p.CultivarID, SeasonID: p.SeasonID}
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[advice.Decision], error) {
		return s.Store.Decisions(ctx, a, page, f)
	}
	return list(c, p.Limit, p.After, read, decisionToWire)
}
