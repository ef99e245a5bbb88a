package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/stats"
	"benchtrail/domain/trend"
)

// GetTrends implements GET /trends.
func (s *server) GetTrends(c echo.Context, p wire.GetTrendsParams) error {
	found, err := s.Store.Trends(c.Request().Context(), actorOf(c), store.TrendQuery{
		By: trend.By(p.By), OrganismID: p.OrganismID, OrganismEPPO: p.Organism, SeasonID: p.SeasonID,
		SiteID: p.SiteID, HouseID: p.HouseID, CultivarID: p.CultivarID, LotID: p.LotID,
	})
	if err != nil {
		return err
	}
	out := wire.Trends{
		By: p.By, Interval: wire.TrendsInterval(stats.MethodWilson), ConfidencePercent: 100 * trend.Confidence,
		AsOf: found.Today, Groups: make([]wire.TrendGroup, 0, len(found.Groups)), SeasonYear: found.Season.Year,
	}
	if !found.Season.ID.IsZero() {
		out.SeasonID, out.OrganismID = &found.Season.ID, &found.OrganismID
	}
	out.LeftOut.OnPurpose, out.LeftOut.Withdrawn = found.OnPurpose, found.Withdrawn
	for _, g := range found.Groups {
		group, err := groupToWire(g, limitsOf(g, found.Limits), found.Today)
		if err != nil {
			return err
		}
		out.Groups = append(out.Groups, group)
	}
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

func groupToWire(g store.TrendGroup, limits []advice.Threshold, today domain.Date) (wire.TrendGroup, error) {
	points := make([]trend.Point, len(g.Weeks))
	for i, week := range g.Weeks {
		var err error
		if points[i], err = trend.PointOf(week); err != nil {
			return wire.TrendGroup{}, err
		}
	}
	return wire.TrendGroup{
		Key: g.Key, Label: g.Label, SubLabel: g.SubLabel, Foliage: g.Foliage, Lots: g.Lots,
		Points: each(points, pointToWire), Limits: each(limits, limitToWire), Answer: answerToWire(advice.Judge(points, limits, today)),
	}, nil
}

func pointToWire(p trend.Point) wire.TrendPoint {
	return wire.TrendPoint{
		Week: p.WeekStart.Week().String(), StartsOn: p.WeekStart, Looks: p.Looks, Blocks: p.Blocks, PlantsLookedAt: p.Plants,
		InfestedPlants: p.Infested, InfestedPercent: p.Percent, LowerPercent: p.LowerPercent, UpperPercent: p.UpperPercent,
		LooksInDoubt: p.InDoubt,
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
