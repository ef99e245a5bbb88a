package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/arrival"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stats"
	"benchtrail/domain/trend"
)

// GetHouseComparison implements GET /house-comparison.
func (s *server) GetHouseComparison(c echo.Context, p wire.GetHouseComparisonParams) error {
	q := store.HousesQuery{OrganismID: p.OrganismID, SeasonID: p.SeasonID, SiteID: p.SiteID}
	if q.Latest = p.Week == "latest"; !q.Latest && p.Week != "" {
		var err error
		if q.Week, err = domain.ParseWeek(p.Week); err != nil {
			return domain.Faults{{Path: "#query/week", Code: "not_a_week", Detail: p.Week + " is no week of the calendar"}}
		}
	}
	found, err := s.Store.HouseComparison(c.Request().Context(), actorOf(c), q)
	if err != nil {
		return err
	}
	out, err := houseComparisonToWire(found)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, out)
}

func houseComparisonToWire(found store.HousesFound) (wire.HouseComparison, error) {
	out := wire.HouseComparison{
		ConfidencePercent: 100 * trend.Confidence, FalseDiscoveryPercent: 100 * trend.FalseDiscovery, FewestEffective: trend.FewestEffective,
		AsOf: found.Today, Weeks: each(found.Weeks, weekOrEmpty), Houses: []wire.ComparedHouse{},
	}
	if found.Season.ID.IsZero() {
		return out, nil
	}
	out.SeasonID, out.OrganismID, out.SeasonYear = &found.Season.ID, &found.OrganismID, found.Season.Year
	out.FromWeek, out.ToWeek = weekOrEmpty(found.Period.From), weekOrEmpty(found.Period.To)
	compared, err := compareFound(found)
	if err != nil {
		return out, err
	}
	out.BlockCorrelation, out.StratumCorrelation = correlationToWire(compared.alike), correlationToWire(compared.within)
	out.OverallPercent, out.Compared = compared.OverallPercent, compared.Compared
	facts := map[string]wire.ComparedHouse{}
	for i, h := range found.Houses {
		facts[h.ID.String()] = wire.ComparedHouse{
			HouseID: h.ID, Name: h.Name, SiteID: h.SiteID, Site: h.Site, Walked: walkedToWire(h, found, compared),
			Observers: each(h.Observers, func(o store.Observer) wire.HouseObserver { return wire.HouseObserver{Name: o.Name, Looks: o.Looks} }),
			Discarded: rateOfLots(compared.discards[i]),
		}
	}
	for _, h := range compared.Houses {
		one := facts[h.Key]
		one.Verdict, one.Rank, one.EffectivePlants = wire.ComparedHouseVerdict(h.Verdict), h.Rank, h.Point.Effective
		if h.Point.Plants > 0 {
			one.Share = shareToWire(h.Point)
		}
		one.Like = wire.LikeCrops{
			Strata: h.Strata, PlantsLookedAt: h.ComparedPlants, InfestedPercent: h.LikePercent, OthersPercent: h.OthersPercent,
			DifferencePercent: h.Difference, LowerPercent: h.LowerDifference, UpperPercent: h.UpperDifference, AdjustedP: h.AdjustedP,
		}
		one.Funnel = wire.HouseFunnel{Plants: h.Size, Percent: h.AsAllPercent, LowerPercent: h.FunnelLowerPercent, UpperPercent: h.FunnelUpperPercent}
		if one.Lots, err = lotsToWire(compared.lots[one.HouseID]); err != nil {
			return out, err
		}
		out.Houses = append(out.Houses, one)
	}
	return out, nil
}

func correlationToWire(c trend.BlockCorrelation) wire.BlockCorrelation {
	return wire.BlockCorrelation{Correlation: c.Correlation, Known: c.Known, Blocks: c.Blocks}
}

func shareToWire(p trend.Point) *wire.HouseShare {
	return &wire.HouseShare{
		Looks: p.Looks, Blocks: p.Blocks, PlantsLookedAt: p.Plants, InfestedPlants: p.Infested, InfestedPercent: p.Percent,
		LowerPercent: p.LowerPercent, UpperPercent: p.UpperPercent, LooksInDoubt: p.InDoubt, Weighted: p.Weighted,
	}
}

// comparedHouses is what the domain makes of what was found.
type comparedHouses struct {
	trend.HouseComparison
	alike    trend.BlockCorrelation // of a house
	within   trend.BlockCorrelation // of its strata
	effort   map[domain.ID]trend.HouseEffort
	lots     map[domain.ID]advice.LotCount
	discards []arrival.Rate // in the order of the houses found
}

func compareFound(found store.HousesFound) (comparedHouses, error) {
	c := comparedHouses{}
	c.alike, c.within = trend.AlikeInHouses(found.Placed, found.Period)
	read := trend.HousesIn(found.Placed, found.Period)
	looks := make([]trend.HouseLooks, len(found.Houses))
	discards := make([][]stats.Proportion, len(found.Houses))
	rules := map[domain.ID]scouting.Rules{}
	for i, h := range found.Houses {
		looks[i], discards[i] = read[h.ID], h.Discards
		looks[i].Key = h.ID.String()
		rules[h.ID] = roundRulesOf(h.Rules)
	}
	var err error
	if c.HouseComparison, err = trend.CompareHouses(looks, found.Period.Week(), c.alike, c.within); err != nil {
		return c, err
	}
	if c.discards, err = arrival.RatesOf(discards, trend.Confidence); err != nil {
		return c, err
	}
	c.effort = trend.EffortIn(found.Placed, found.Period, found.Today.Week().Monday(), rules)
	c.lots, err = lotsUnderLimit(found)
	return c, err
}

// lotsUnderLimit judges each lot by the limits of the last day looked at, with the
// likeness of the cultivars in houses, as advice and trends do.
func lotsUnderLimit(found store.HousesFound) (map[domain.ID]advice.LotCount, error) {
	alike := trend.AlikeIn(found.Placed, func(p trend.Placed) ([2]domain.ID, bool) {
		return [2]domain.ID{p.CultivarID, p.HouseID}, !p.CultivarID.IsZero()
	})
	lots, err := trend.LotsIn(found.Placed, found.Period, alike)
	if err != nil {
		return nil, err
	}
	on := found.Period.To.AddDays(6)
	if found.Today.Before(on) {
		on = found.Today
	}
	answers := map[domain.ID][]advice.Answer{}
	for _, l := range lots {
		limits := limitsOf(store.TrendGroup{CultivarID: l.CultivarID, HouseID: l.HouseID}, found.Limits)
		answers[l.HouseID] = append(answers[l.HouseID], advice.Judge([]trend.Point{l.Point}, limits, on))
	}
	counts := map[domain.ID]advice.LotCount{}
	for house, of := range answers {
		counts[house] = advice.CountLots(of)
	}
	return counts, nil
}

func lotsToWire(n advice.LotCount) (wire.LotsUnderLimit, error) {
	under, err := rateToWire(n.Under, n.Under+n.Over+n.CannotSay)
	return wire.LotsUnderLimit{Under: under, Over: n.Over, CannotSay: n.CannotSay, NoLimit: n.NoLimit}, err
}

func walkedToWire(h store.HouseFound, found store.HousesFound, c comparedHouses) wire.HouseWalked {
	e := c.effort[h.ID]
	out := wire.HouseWalked{
		Looks: e.Looks, PlantsLookedAt: e.Plants, PlantWeeks: e.PlantWeeks, Weeks: e.Weeks, WeeksWalked: e.Walked, WeeksMet: e.Met,
		CropShareWeeks: e.CropShare, BlockShareWeeks: e.BlockShare, PlantsPerBlockWeeks: e.PlantsPerBlock, TimedLooks: h.Timed, Seconds: h.Seconds,
	}
	if found.Period.OneWeek() {
		out.PlantsAsked, out.BlocksAsked, out.BlocksWalked = e.PlantsAsked, e.BlocksAsked, e.BlocksWalked
	}
	return out
}
