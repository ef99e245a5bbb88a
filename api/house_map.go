package api

import (
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/trend"
)

// GetHouseMap implements GET /house-map.
func (s *server) GetHouseMap(c echo.Context, p wire.GetHouseMapParams) error {
	found, err := s.Store.HouseMap(c.Request().Context(), actorOf(c), store.TrendQuery{
		HouseID: p.HouseID, OrganismID: p.OrganismID, OrganismEPPO: p.Organism, SeasonID: p.SeasonID,
	})
	if err != nil {
		return err
	}
	alike := trend.CorrelationOf(slices.Concat(found.All...))
	out := wire.HouseMap{
		HouseID: found.House.ID, House: found.House.Name, SiteID: found.House.SiteID,
		AsOf: found.Today, SeasonYear: found.Season.Year, ConfidencePercent: 100 * trend.Confidence, BlockCorrelation: correlationToWire(alike),
		Points: []wire.TrendPoint{}, Blocks: []wire.MapBlock{}, LeftOut: wire.LeftOut{OnPurpose: found.OnPurpose, Withdrawn: found.Withdrawn},
	}
	if !found.Season.ID.IsZero() {
		out.SeasonID, out.OrganismID = &found.Season.ID, &found.OrganismID
	}
	for _, g := range found.Groups {
		for _, w := range g.Weeks {
			point, err := trend.Estimate(w, alike)
			if err != nil {
				return err
			}
			out.Points = append(out.Points, pointToWire(point))
		}
	}
	for _, b := range found.Blocks {
		one, err := mapBlockToWire(b, found)
		if err != nil {
			return err
		}
		out.Blocks = append(out.Blocks, one)
	}
	return c.JSON(http.StatusOK, out)
}

func mapBlockToWire(b store.MapBlock, found store.HouseMap) (wire.MapBlock, error) {
	out := wire.MapBlock{
		BlockID: b.ID, Name: b.Name, Position: b.Position, Section: b.Section, Beside: []domain.ID{}, Weeks: []wire.MapBlockWeek{},
		HotSpots: each(b.Spots, func(h store.HotSpot) wire.MapHotSpot {
			return wire.MapHotSpot{
				Week: h.Week.Week().String(), LookID: h.LookID, Where: h.Where, OnPurpose: h.OnPurpose,
				PlantsLookedAt: h.Plants, InfestedPlants: h.Infested,
			}
		}),
	}
	for _, other := range found.Blocks {
		if b.Beside(other.Block) {
			out.Beside = append(out.Beside, other.ID)
		}
	}
	for _, w := range b.Weeks {
		week := wire.MapBlockWeek{Week: w.Week.Week().String(), StandingPlants: w.Standing, Code: wire.MapBlockWeekCodeNoLooks}
		if w.Looked.Plants > 0 {
			// A block by itself is one cluster, for which it makes no difference how alike blocks are.
			point, err := trend.Estimate(w.Looked, trend.BlockCorrelation{})
			if err != nil {
				return out, err
			}
			limits := limitsOf(store.TrendGroup{CultivarID: w.CultivarID, HouseID: b.HouseID}, found.Limits)
			answer := advice.Judge([]trend.Point{point}, limits, dayOf(w.Week, found.Today))
			week.Share, week.Code, week.LimitPercent = shareToWire(point), wire.MapBlockWeekCode(answer.Standing), answer.Limit.Percent
		}
		out.Weeks = append(out.Weeks, week)
	}
	return out, nil
}

// dayOf gives the day on which a week is judged: today, or its last when it is over.
func dayOf(monday, today domain.Date) domain.Date {
	if sunday := monday.AddDays(6); sunday.Before(today) {
		return sunday
	}
	return today
}
