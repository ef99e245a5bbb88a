package api

import (
	"cmp"
	"net/http"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// GetArrivals implements GET /arrivals.
func (s *server) GetArrivals(c echo.Context, p wire.GetArrivalsParams) error {
	found, err := s.Store.Trends(c.Request().Context(), actorOf(c), store.TrendQuery{
		By: trend.ByArrivalWeek, OrganismID: p.OrganismID, OrganismEPPO: p.Organism, SeasonID: p.SeasonID,
		SiteID: p.SiteID, HouseID: p.HouseID, CultivarID: p.CultivarID, Foliage: stock.Foliage(p.Foliage),
	})
	if err != nil {
		return err
	}
	alike := trend.CorrelationOf(slices.Concat(found.All...))
	out := wire.Arrivals{
		AsOf: found.Today, SeasonYear: found.Season.Year, ConfidencePercent: 100 * trend.Confidence,
		FalseDiscoveryPercent: 100 * trend.FalseDiscovery, BlockCorrelation: correlationToWire(alike),
		LeftOut: wire.LeftOut{OnPurpose: found.OnPurpose, Withdrawn: found.Withdrawn}, Weeks: []wire.ArrivalWeek{},
	}
	if !found.Season.ID.IsZero() {
		out.SeasonID, out.OrganismID = &found.Season.ID, &found.OrganismID
	}
	var arrivals []trend.Arrival
	for _, g := range found.Groups {
		if g.Key == "" { // of a lot that is not known, nor is its age
			for _, w := range g.Weeks {
				out.UnknownPlants += w.Plants
			}
			continue
		}
		a, err := arrivalOf(g, alike)
		if err != nil {
			return err
		}
		arrivals = append(arrivals, a)
		out.Weeks = append(out.Weeks, arrivalToWire(a, g.Lots))
	}
	slices.SortStableFunc(out.Weeks, func(a, b wire.ArrivalWeek) int {
		if a.Mixed != b.Mixed {
			return map[bool]int{false: -1, true: 1}[a.Mixed]
		}
		return cmp.Compare(a.Week, b.Week)
	})
	ages, err := trend.CompareAtEachAge(arrivals)
	if err != nil {
		return err
	}
	out.Ages = each(ages, ageToWire)
	return c.JSON(http.StatusOK, out)
}

// arrivalOf reads a group of the trends by week of arrival.
func arrivalOf(g store.TrendGroup, alike trend.BlockCorrelation) (trend.Arrival, error) {
	named, mixed := strings.CutPrefix(g.Key, "mixed ")
	week, err := domain.ParseWeek(named)
	if err != nil {
		return trend.Arrival{}, err
	}
	a := trend.Arrival{Key: g.Key, Week: week.Monday(), Mixed: mixed, Points: make([]trend.Point, len(g.Weeks))}
	for i, w := range g.Weeks {
		if a.Points[i], err = trend.Estimate(w, alike); err != nil {
			return trend.Arrival{}, err
		}
	}
	return a, nil
}

func arrivalToWire(a trend.Arrival, lots int) wire.ArrivalWeek {
	return wire.ArrivalWeek{
		Key: a.Key, Week: a.Week.Week().String(), Mixed: a.Mixed, Lots: lots,
		Cells: each(a.Points, func(p trend.Point) wire.ArrivalCell {
			return wire.ArrivalCell{AgeWeeks: trend.AgeWeeks(a.Week, p.WeekStart), Point: pointToWire(p)}
		}),
	}
}

func ageToWire(a trend.AtAge) wire.AgeComparison {
	out := wire.AgeComparison{
		AgeWeeks: a.Weeks, Code: wire.AgeComparisonCodeCannotSay, OverallPercent: a.OverallPercent, Groups: each(a.Groups, comparedToWire),
	}
	if a.Known {
		out.Code, out.HomogeneityP = wire.AgeComparisonCodeKnown, &a.HomogeneityP
	}
	return out
}
