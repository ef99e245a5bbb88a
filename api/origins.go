package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/trend"
)

// GetOrigins implements GET /origins.
func (s *server) GetOrigins(c echo.Context, p wire.GetOriginsParams) error {
	found, err := s.Store.Origins(c.Request().Context(), actorOf(c), store.OriginQuery{
		OrganismID: p.OrganismID, SeasonID: p.SeasonID,
		SiteID: p.SiteID, HouseID: p.HouseID, CultivarID: p.CultivarID, LotID: p.LotID,
	})
	if err != nil {
		return err
	}
	origin, err := trend.OriginOf(found.Traced)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, originToWire(origin, found.Facts))
}

func originToWire(o trend.Origin, facts []trend.OriginFact) wire.Origin {
	out := wire.Origin{
		Code: wire.OriginCode(o.Code), Strength: wire.OriginStrength(o.Strength), Because: wire.OriginBecause(o.Because),
		PlantsLookedAt: o.Plants, InfestedPlants: o.Infested, Arrivals: o.Arrivals, Houses: o.Houses, Weeks: o.Weeks,
		Terms: []wire.OriginTerm{}, Facts: each(facts, originFactToWire),
	}
	if o.Analysed {
		out.Dispersion = &o.Dispersion
		out.Terms = append(out.Terms, originTermToWire(wire.OriginTermTermArrival, o.Arrival), originTermToWire(wire.OriginTermTermHouse, o.House))
	}
	return out
}

func originTermToWire(name wire.OriginTermTerm, t trend.OriginTerm) wire.OriginTerm {
	p := func(d trend.TermDeviance) *float64 {
		if d.DF == 0 {
			return nil
		}
		return &d.P
	}
	return wire.OriginTerm{
		Term: name, Levels: t.Levels,
		DfFirst: t.First.DF, DevianceFirst: t.First.Deviance, PFirst: p(t.First),
		DfLast: t.Last.DF, DevianceLast: t.Last.Deviance, PLast: p(t.Last),
	}
}

func originFactToWire(f trend.OriginFact) wire.OriginFact {
	return wire.OriginFact{
		LotID: f.LotID, LotCode: f.LotCode, Cultivar: f.Cultivar, ArrivedOn: f.ArrivedOn,
		DockPlantsLookedAt: f.Dock.Plants, DockInfestedPlants: f.Dock.Infested,
		SecondPlantsLookedAt: f.Second.Plants, SecondInfestedPlants: f.Second.Infested,
		FirstLookWeek: weekOrEmpty(f.FirstLook), FirstSeenWeek: weekOrEmpty(f.FirstSeen),
		OldGrowthPlants: f.OldGrowth, NewGrowthPlants: f.NewGrowth,
		NeighboursPlantsLookedAt: f.Neighbours.Plants, NeighboursInfestedPlants: f.Neighbours.Infested,
		PointsTo: wire.OriginFactPointsTo(f.PointsTo()),
	}
}

func weekOrEmpty(monday domain.Date) string {
	if monday.IsZero() {
		return ""
	}
	return monday.Week().String()
}
