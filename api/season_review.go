package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/arrival"
	"benchtrail/domain/stats"
	"benchtrail/domain/trend"
)

// GetSeasonReview implements GET /season-review.
func (s *server) GetSeasonReview(c echo.Context, p wire.GetSeasonReviewParams) error {
	out, err := s.seasonReview(c, p.By, p.SeasonID, p.SiteID)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, out)
}

func (s *server) seasonReview(c echo.Context, by wire.ReviewBy, season, site domain.ID) (wire.SeasonReview, error) {
	found, err := s.Store.SeasonReview(c.Request().Context(), actorOf(c), store.ReviewQuery{By: trend.By(by), SeasonID: season, SiteID: site})
	if err != nil {
		return wire.SeasonReview{}, err
	}
	return seasonReviewToWire(by, found)
}

func seasonReviewToWire(by wire.ReviewBy, found store.ReviewFound) (wire.SeasonReview, error) {
	out := wire.SeasonReview{By: by, AsOf: found.Today, Groups: []wire.ReviewGroup{}}
	now, whole, err := figuresOf(found.Season, found.Today)
	if err != nil {
		return out, err
	}
	out.Whole.Now = whole
	if found.Season.ID.IsZero() {
		return out, nil
	}
	out.SeasonID, out.OrganismID, out.SeasonYear = &found.Season.ID, &found.OrganismID, found.Season.Year
	last := map[string]wire.ReviewFigures{}
	if found.Last != nil {
		figures, wholeLast, err := figuresOf(*found.Last, found.Today)
		if err != nil {
			return out, err
		}
		out.LastSeasonID, out.LastSeasonYear, out.Whole.Last = &found.Last.ID, found.Last.Year, &wholeLast
		for i, g := range found.Last.Groups {
			last[g.Key] = figures[i]
		}
	}
	for i, g := range found.Season.Groups {
		one := wire.ReviewGroup{Key: g.Key, Label: g.Label, SubLabel: g.SubLabel, Now: now[i]}
		if before, known := last[g.Key]; known {
			one.Last = &before
		}
		out.Groups = append(out.Groups, one)
	}
	origin, err := trend.OriginOf(found.Traced)
	out.Origin = originToWire(origin, nil)
	return out, err
}

// figuresOf gives the figures of the groups, in their order, and of all together.
func figuresOf(season store.ReviewedSeason, today domain.Date) ([]wire.ReviewFigures, wire.ReviewFigures, error) {
	shared, err := trend.WhatTheyShare(season.All)
	if err != nil {
		return nil, wire.ReviewFigures{}, err
	}
	groups, err := figures(season.Groups, season.Limits, shared.Correlation, today)
	if err != nil {
		return nil, wire.ReviewFigures{}, err
	}
	alike := trend.CorrelationOf(season.Whole.Weeks)
	whole, err := figures([]store.ReviewGroup{season.Whole}, season.Limits, alike, today)
	if err != nil {
		return nil, wire.ReviewFigures{}, err
	}
	return groups, whole[0], nil
}

func figures(groups []store.ReviewGroup, limits []advice.Threshold, alike trend.BlockCorrelation, today domain.Date) ([]wire.ReviewFigures, error) {
	out := make([]wire.ReviewFigures, len(groups))
	for _, rate := range []struct {
		of func(store.ReviewGroup) []stats.Proportion
		to func(*wire.ReviewFigures) *wire.Rate
	}{
		{func(g store.ReviewGroup) []stats.Proportion { return g.Dock }, func(f *wire.ReviewFigures) *wire.Rate { return &f.Dock }},
		{func(g store.ReviewGroup) []stats.Proportion { return g.Second }, func(f *wire.ReviewFigures) *wire.Rate { return &f.SecondLook }},
		{func(g store.ReviewGroup) []stats.Proportion { return g.Strike }, func(f *wire.ReviewFigures) *wire.Rate { return &f.Strike }},
		{func(g store.ReviewGroup) []stats.Proportion { return g.Loss }, func(f *wire.ReviewFigures) *wire.Rate { return &f.Loss }},
	} {
		lots := make([][]stats.Proportion, len(groups))
		for i, g := range groups {
			lots[i] = rate.of(g)
		}
		rates, err := arrival.RatesOf(lots, trend.Confidence)
		if err != nil {
			return nil, err
		}
		for i := range groups {
			*rate.to(&out[i]) = rateOfLots(rates[i])
		}
	}
	for i, g := range groups {
		f := &out[i]
		f.Lots, f.PlantsReceived, f.Dispatched, f.Standing = g.LotsArrived, g.Received, g.Dispatched, g.Standing
		f.Claims = claimedToWire(arrival.Sum(g.Claims))
		points := make([]trend.Point, 0, len(g.Weeks))
		for _, s := range trend.Finished(g.Weeks, today) {
			p, err := trend.Estimate(s, alike)
			if err != nil {
				return nil, err
			}
			points = append(points, p)
		}
		if peak, known := trend.Peak(points); known {
			week := pointToWire(peak)
			f.Peak = &week
		}
		weeks := advice.CountWeeksOver(points, limitsOf(g.TrendGroup, limits))
		f.WeeksLooked, f.WeeksJudged, f.WeeksOver = weeks.Looked, weeks.Judged, weeks.Over
	}
	return out, nil
}

func claimedToWire(c arrival.Claimed) wire.ReviewClaims {
	return wire.ReviewClaims{
		Claims: c.Claims, Answered: c.Answered, Shared: c.Shared, Plants: c.Plants,
		Granted: each(c.Granted, func(x arrival.Credit) wire.ReviewCredit {
			return wire.ReviewCredit{Amount: x.Amount, Currency: x.Currency}
		}),
	}
}
