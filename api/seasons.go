package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/stock"
)

func seasonToWire(r store.Record[stock.Season]) wire.Season {
	return wire.Season{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		CropID: r.Value.CropID, Year: r.Value.Year, StartsOn: r.Value.StartsOn, EndsOn: r.Value.EndsOn,
		Milestones: each(r.Value.Milestones, func(m stock.Milestone) wire.Milestone {
			return wire.Milestone{Kind: wire.MilestoneKind(m.Kind), On: m.On}
		}),
	}
}

// PutSeason implements PUT /seasons/{id}.
func (s *server) PutSeason(c echo.Context, id domain.ID, p wire.PutSeasonParams) error {
	from := func(id domain.ID, b wire.SeasonBody) stock.Season {
		return stock.Season{
			ID: id, CropID: b.CropID, Year: b.Year, StartsOn: b.StartsOn, EndsOn: b.EndsOn,
			Milestones: each(b.Milestones, func(m wire.Milestone) stock.Milestone { return stock.Milestone{Kind: string(m.Kind), On: m.On} }),
		}
	}
	return s.put(c, writerOf(s, whole, from, s.Store.PutSeason, seasonToWire), id, p.IfMatch)
}

// GetSeason implements GET /seasons/{id}.
func (s *server) GetSeason(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Season, seasonToWire)
}

// ListSeasons implements GET /seasons.
func (s *server) ListSeasons(c echo.Context, p wire.ListSeasonsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[stock.Season], error) {
		return s.Store.Seasons(ctx, a, page, p.CropID)
	}
	return list(c, p.Limit, p.After, read, seasonToWire)
}

func thresholdToWire(r store.Record[advice.Threshold]) wire.Threshold {
	x := r.Value
	return wire.Threshold{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		OrganismID: x.OrganismID, CropID: x.CropID, CultivarID: x.CultivarID, HouseID: x.HouseID, FromOn: x.FromOn, ToOn: x.ToOn,
		Percent: x.Percent, SmallestPlants: x.SmallestPlants, Effect: wire.ThresholdEffect(x.Effect), Source: x.Source,
		WithdrawnBecause: x.Withdrawn,
	}
}

// PutThreshold implements PUT /thresholds/{id}.
func (s *server) PutThreshold(c echo.Context, id domain.ID, p wire.PutThresholdParams) error {
	from := func(id domain.ID, b wire.ThresholdBody) advice.Threshold {
		return advice.Threshold{
			ID: id, OrganismID: b.OrganismID, CropID: b.CropID, CultivarID: b.CultivarID, HouseID: b.HouseID, FromOn: b.FromOn, ToOn: b.ToOn,
			Percent: b.Percent, SmallestPlants: b.SmallestPlants, Effect: advice.Effect(b.Effect), Source: b.Source, Withdrawn: b.WithdrawnBecause,
		}
	}
	return s.put(c, writerOf(s, limits, from, s.Store.PutThreshold, thresholdToWire), id, p.IfMatch)
}

// GetThreshold implements GET /thresholds/{id}.
func (s *server) GetThreshold(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Threshold, thresholdToWire)
}

// ListThresholds implements GET /thresholds.
func (s *server) ListThresholds(c echo.Context, p wire.ListThresholdsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[advice.Threshold], error) {
		return s.Store.Thresholds(ctx, a, page, p.CropID, p.OrganismID)
	}
	return list(c, p.Limit, p.After, read, thresholdToWire)
}
