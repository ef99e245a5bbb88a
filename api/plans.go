package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/place"
	"benchtrail/domain/scouting"
)

// GetPlans implements GET /plans. A plan is worked out anew for everybody who
// asks, and is the same for all.
func (s *server) GetPlans(c echo.Context, p wire.GetPlansParams) error {
	q := store.RoundQuery{SiteID: p.SiteID, HouseID: p.HouseID, OrganismID: p.OrganismID}
	if p.Week != "" {
		var err error
		if q.Week, err = domain.ParseWeek(p.Week); err != nil {
			return domain.Faults{{Path: "#query/week", Code: "not_a_week", Detail: p.Week + " is no week of the calendar"}}
		}
	}
	found, err := s.Store.Rounds(c.Request().Context(), actorOf(c), q)
	if err != nil {
		return err
	}
	rules := roundRulesOf(found.Rules)
	out := wire.Plans{SiteID: p.SiteID, Week: found.Week.String(), Rules: rulesToWire(rules), Plans: make([]wire.Plan, 0, len(found.Houses))}
	if !found.OrganismID.IsZero() {
		out.OrganismID = &found.OrganismID
	}
	for _, h := range found.Houses {
		plan, limits, err := planOf(h, found, rules, p.Minutes)
		if err != nil {
			return err
		}
		out.Plans = append(out.Plans, planToWire(plan, h.ID, found.Week, limits))
	}
	return c.JSON(http.StatusOK, out)
}

// planOf works out the round of a house, and gives the limits it goes by.
func planOf(h store.HouseRound, found store.Rounds, rules scouting.Rules, minutes float64) (scouting.Plan, map[domain.ID]advice.Threshold, error) {
	limits := limitsInHouse(h, found)
	house := scouting.House{Limits: map[domain.ID]float64{}, Smallest: map[domain.ID]int{}}
	standing := map[domain.ID]int{}
	for _, stand := range h.Stands {
		house.Stands = append(house.Stands, *stand)
		standing[stand.CultivarID] += stand.Plants
	}
	for cultivar, limit := range limits {
		house.Limits[cultivar], house.Smallest[cultivar] = limit.Percent, limit.Smallest(standing[cultivar])
	}
	plan, err := scouting.PlanRound(house, rules, minutes, scouting.SeedOf(h.ID, h.SeasonID, found.Week))
	return plan, limits, err
}

// roundRulesOf lets common practice stand in for what the site left out. Where
// one end of the plants per block was said and lies beyond the usual other end,
// that one moves along.
func roundRulesOf(x place.RoundRules) scouting.Rules {
	r := scouting.UsualRules()
	r.CropPercent = orDefault(x.CropPercent, r.CropPercent)
	r.BlocksPercent = orDefault(x.BlocksPercent, r.BlocksPercent)
	r.SecondsPerPlant = orDefault(x.SecondsPerPlant, r.SecondsPerPlant)
	if x.MinutesPerBlock != nil {
		r.MinutesPerBlock = *x.MinutesPerBlock
	}
	least, most := x.PlantsPerBlockLeast, x.PlantsPerBlockMost
	r.PlantsLeast = orDefault(least, min(r.PlantsLeast, orDefault(most, r.PlantsLeast)))
	r.PlantsMost = orDefault(most, max(r.PlantsMost, r.PlantsLeast))
	return r
}

func rulesToWire(r scouting.Rules) wire.RoundRules {
	return wire.RoundRules{
		CropPercent: r.CropPercent, BlocksPercent: r.BlocksPercent, PlantsPerBlockLeast: r.PlantsLeast, PlantsPerBlockMost: r.PlantsMost,
		SecondsPerPlant: r.SecondsPerPlant, MinutesPerBlock: &r.MinutesPerBlock,
	}
}

// limitsInHouse gives for every cultivar that stands in the house the limit to
// act on that is in force or comes next.
func limitsInHouse(h store.HouseRound, found store.Rounds) map[domain.ID]advice.Threshold {
	limits := map[domain.ID]advice.Threshold{}
	for _, stand := range h.Stands {
		if _, known := limits[stand.CultivarID]; known || stand.Plants == 0 {
			continue
		}
		var of []advice.Threshold
		for _, t := range found.Limits {
			if t.CropID == found.CropOf[stand.CultivarID] &&
				(t.CultivarID.IsZero() || t.CultivarID == stand.CultivarID) && (t.HouseID.IsZero() || t.HouseID == h.ID) {
				of = append(of, t)
			}
		}
		if limit := advice.Reaching(of, found.On); !limit.ID.IsZero() {
			limits[stand.CultivarID] = limit
		}
	}
	return limits
}

func planToWire(p scouting.Plan, house domain.ID, week domain.Week, limits map[domain.ID]advice.Threshold) wire.Plan {
	return wire.Plan{
		HouseID: house, Week: week.String(), Seed: p.Seed.String(), Minutes: p.Minutes, MinutesGiven: p.MinutesGiven,
		Plants: p.Plants, Standing: p.Standing, BlocksWithPlants: p.BlocksWithPlants,
		Rules: each(p.Rules, func(r scouting.RuleKept) wire.PlanRule {
			return wire.PlanRule{
				Rule: wire.PlanRuleRule(r.Rule), Asked: r.Asked, Planned: r.Planned, Done: r.Done, Kept: r.Kept, Met: r.Met, MinutesMore: r.MinutesMore,
			}
		}),
		Blocks: each(p.Blocks, func(b scouting.PlannedBlock) wire.PlanBlock {
			return wire.PlanBlock{BlockID: b.BlockID, Panel: b.Panel, Minutes: b.Minutes, Looks: each(b.Looks, planLookToWire)}
		}),
		Stops: each(p.Stops, func(x scouting.Stop) wire.PlanStop { return stopToWire(x, limits[x.CultivarID]) }),
	}
}

func planLookToWire(l scouting.PlannedLook) wire.PlanLook {
	return wire.PlanLook{
		LotID: l.LotID, CultivarID: l.CultivarID, Standing: l.Standing, Plants: l.Plants, DonePlants: l.Done, Positions: l.Positions,
		Reasons: each(l.Reasons, func(r scouting.Reason) wire.PlanLookReasons { return wire.PlanLookReasons(r) }),
	}
}

func stopToWire(x scouting.Stop, limit advice.Threshold) wire.PlanStop {
	call, more := x.At(x.Done.Plants, x.Done.Infested, x.DoneBlocks)
	out := wire.PlanStop{
		CultivarID: x.CultivarID, PlantsLeast: x.PlantsLeast, AcceptablePercent: x.AcceptablePercent, ActionPercent: x.ActionPercent,
		Alpha: x.Alpha, Beta: x.Beta, Lines: each(x.Usable(), stopLineToWire),
		DonePlants: x.Done.Plants, DoneInfested: x.Done.Infested, Code: wire.PlanStopCode(call), MorePlants: more,
	}
	if x.Limited {
		out.Limit, out.BelowAtMaximum = limitToWire(limit), &x.Lines.BelowAtMaximum
	}
	return out
}
