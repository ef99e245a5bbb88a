package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// GetTrends implements GET /trends.
func (s *server) GetTrends(c echo.Context, p wire.GetTrendsParams) error {
	found, err := s.Store.Trends(c.Request().Context(), actorOf(c), store.TrendQuery{
		By: trend.By(p.By), OrganismID: p.OrganismID, OrganismEPPO: p.Organism, SeasonID: p.SeasonID,
		SiteID: p.SiteID, HouseID: p.HouseID, CultivarID: p.CultivarID, LotID: p.LotID,
		Foliage: stock.Foliage(p.Foliage), ArrivalWeek: p.ArrivalWeek, Shared: p.Mixed == "shared",
	})
	if err != nil {
		return err
	}
	var forecastOn domain.Date
	if p.ForecastOn != "" {
		if forecastOn, err = domain.ParseDate(p.ForecastOn); err != nil {
			return err
		}
	}
	samples := make([][]trend.Sample, len(found.Groups))
	for i, g := range found.Groups {
		samples[i] = g.Weeks
	}
	plain := p.Interval == wire.GetTrendsParamsIntervalWilson
	shared, err := trend.WhatTheyShare(found.All)
	if err != nil {
		return err
	}
	read, err := trend.ReadWith(samples, shared)
	if err != nil {
		return err
	}
	out := wire.Trends{
		By: p.By, Interval: wire.TrendsIntervalDesign, ConfidencePercent: 100 * trend.Confidence,
		Mixed: wire.TrendsMixed(orDefault(p.Mixed, "apart")), MixedPlants: found.MixedPlants,
		AsOf: found.Today, Groups: make([]wire.TrendGroup, len(found.Groups)), SeasonYear: found.Season.Year,
		BlockCorrelation: correlationToWire(read.Correlation),
	}
	if plain {
		out.Interval = wire.TrendsIntervalWilson
	}
	if !found.Season.ID.IsZero() {
		out.SeasonID, out.OrganismID = &found.Season.ID, &found.OrganismID
	}
	out.LeftOut.OnPurpose, out.LeftOut.Withdrawn = found.OnPurpose, found.Withdrawn
	contenders := make([]trend.Contender, len(found.Groups))
	for i, g := range found.Groups {
		contenders[i] = trend.Contender{Key: g.Key, Points: read.Groups[i].Points}
		shown := read.Groups[i]
		if plain {
			if shown.Points, err = trend.Plainly(g.Weeks); err != nil {
				return err
			}
		}
		out.Groups[i] = groupToWire(g, shown, limitsOf(g, found.Limits), found.Today, forecastOn)
	}
	compared, err := trend.Compare(contenders)
	if err != nil {
		return err
	}
	if compared.Foliage, err = foliageContrast(found.Groups, read.Correlation); err != nil {
		return err
	}
	out.Comparison = comparisonToWire(compared)
	return c.JSON(http.StatusOK, out)
}

// limitsOf gives the limits that speak of all that the group holds.
func limitsOf(g store.TrendGroup, limits []advice.Threshold) []advice.Threshold {
	var of []advice.Threshold
	for _, t := range limits {
		if (t.CultivarID.IsZero() || t.CultivarID == g.CultivarID) && (t.HouseID.IsZero() || t.HouseID == g.HouseID) {
			of = append(of, t)
		}
	}
	return of
}

func groupToWire(g store.TrendGroup, r trend.Reading, limits []advice.Threshold, today, forecastOn domain.Date) wire.TrendGroup {
	return wire.TrendGroup{
		Key: g.Key, Label: g.Label, SubLabel: g.SubLabel, Foliage: g.Foliage, Lots: g.Lots,
		Points: each(r.Points, pointToWire), Limits: each(limits, limitToWire), Answer: answerToWire(advice.Judge(r.Points, limits, today)),
		Growth: growthToWire(r.Course.Growth()), Forecast: forecastToWire(r, limits, today, forecastOn),
	}
}

func growthToWire(g trend.Growth) wire.Growth {
	out := wire.Growth{Code: wire.GrowthCodeCannotSay, Weeks: g.Weeks, PlantsLookedAt: g.Plants}
	if g.Known {
		out.Code, out.OddsRatio, out.Lower, out.Upper = wire.GrowthCodeKnown, g.OddsRatio, g.Lower, g.Upper
	}
	return out
}

// mostAhead is the most weeks a forecast shows one by one.
const mostAhead = 26

// forecastToWire looks ahead week by week from the latest look to the day asked
// for, or to the next limit's.
func forecastToWire(r trend.Reading, limits []advice.Threshold, today, on domain.Date) wire.Forecast {
	out := wire.Forecast{Code: wire.ForecastCodeCannotSay, Weeks: r.Course.Weeks(), PlantsLookedAt: r.Course.Plants()}
	day, limit := advice.Horizon(limits, today)
	if !on.IsZero() {
		day = on
		limit = advice.Reaching(limits, on)
	}
	if !limit.ID.IsZero() {
		out.Limit = limitToWire(limit)
	}
	if !r.Course.Known() {
		return out
	}
	latest := r.Course.LatestOn()
	if day.Before(latest) {
		day = latest
	}
	out.Code = wire.ForecastCodeKnown
	for step := latest; step.Before(day) && len(out.Points) < mostAhead; step = step.AddDays(7) {
		out.Points = append(out.Points, aheadToWire(r.Course.At(step)))
	}
	out.Points = append(out.Points, aheadToWire(r.Course.At(day)))
	if !limit.ID.IsZero() {
		chance := 100 * r.Course.ChanceOver(limit.Percent, day)
		out.OverLimitPercent = &chance
	}
	return out
}

func aheadToWire(a trend.Ahead) wire.ForecastPoint {
	return wire.ForecastPoint{
		On: a.On, Percent: a.Percent, Lower50Percent: a.Lower50, Upper50Percent: a.Upper50, Lower90Percent: a.Lower90, Upper90Percent: a.Upper90,
	}
}

func pointToWire(p trend.Point) wire.TrendPoint {
	interval := wire.TrendPointIntervalWilson
	if p.Design {
		interval = wire.TrendPointIntervalDesign
	}
	return wire.TrendPoint{
		Week: p.WeekStart.Week().String(), StartsOn: p.WeekStart, Looks: p.Looks, Blocks: p.Blocks, PlantsLookedAt: p.Plants,
		InfestedPlants: p.Infested, InfestedPercent: p.Percent, LowerPercent: p.LowerPercent, UpperPercent: p.UpperPercent,
		LooksInDoubt: p.InDoubt, Interval: interval, Weighted: p.Weighted, DesignEffect: p.DesignEffect,
		StandingPlants: p.StandingPlants, StandingBlocks: p.StandingBlocks,
	}
}

func limitToWire(t advice.Threshold) wire.TrendLimit {
	return wire.TrendLimit{
		ThresholdID: t.ID, FromOn: t.FromOn, ToOn: t.ToOn, Percent: t.Percent, SmallestPlants: t.SmallestPlants,
		Effect: wire.TrendLimitEffect(t.Effect), Source: t.Source,
	}
}

func answerToWire(a advice.Answer) wire.TrendAnswer {
	out := wire.TrendAnswer{Code: wire.TrendAnswerCode(a.Standing), MorePlants: a.MorePlants, ChangePercentPoints: a.Change}
	if a.Standing != advice.NoLooks {
		out.Point = pointToWire(a.Point)
	}
	if !a.Limit.ID.IsZero() {
		out.Limit = limitToWire(a.Limit)
	}
	return out
}
