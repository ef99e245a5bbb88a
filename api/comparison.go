package api

import (
	"math"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// foliageContrast holds dark foliage against light where every group has one
// foliage; otherwise it is empty.
func foliageContrast(groups []store.TrendGroup, alike trend.BlockCorrelation) (trend.FoliageContrast, error) {
	by := map[stock.Foliage][][]trend.Sample{}
	for _, g := range groups {
		if g.Foliage == "" && g.Key != "" { // what is not known has no foliage to tell of
			return trend.FoliageContrast{}, nil
		}
		by[stock.Foliage(g.Foliage)] = append(by[stock.Foliage(g.Foliage)], g.Weeks)
	}
	points := map[stock.Foliage][]trend.Point{}
	for foliage, samples := range by {
		for _, s := range trend.Together(samples) {
			p, err := trend.Estimate(s, alike)
			if err != nil {
				return trend.FoliageContrast{}, err
			}
			points[foliage] = append(points[foliage], p)
		}
	}
	return trend.ContrastFoliage(points)
}

func comparisonToWire(c trend.Comparison) wire.Comparison {
	out := wire.Comparison{
		Code: wire.ComparisonCodeCannotSay, OverallPercent: c.OverallPercent,
		FalseDiscoveryPercent: 100 * trend.FalseDiscovery, Groups: each(c.Groups, comparedToWire),
	}
	if !c.To.IsZero() {
		out.FromWeek, out.ToWeek = c.From.Week().String(), c.To.Week().String()
	}
	if c.Known {
		out.Code, out.HomogeneityP = wire.ComparisonCodeKnown, &c.HomogeneityP
	}
	if c.Foliage.Code != "" {
		out.Foliage = foliageToWire(c.Foliage)
	}
	return out
}

func comparedToWire(g trend.Compared) wire.ComparedGroup {
	return wire.ComparedGroup{
		Key: g.Key, Rank: g.Rank, PlantsLookedAt: g.Plants, InfestedPlants: g.Infested, InfestedPercent: g.Percent,
		LowerPercent: g.LowerPercent, UpperPercent: g.UpperPercent, ShrunkenPercent: g.ShrunkenPercent,
		FunnelLowerPercent: g.FunnelLowerPercent, FunnelUpperPercent: g.FunnelUpperPercent,
		Differs: wire.ComparedGroupDiffers(g.Differs),
		// A chance too small for a float is not an absent one.
		AdjustedP: math.Max(g.AdjustedP, math.SmallestNonzeroFloat64),
	}
}

func foliageToWire(f trend.FoliageContrast) wire.FoliageContrast {
	out := wire.FoliageContrast{
		Code:               wire.FoliageContrastCode(f.Code),
		DarkPlantsLookedAt: f.DarkPlants, DarkInfestedPlants: f.DarkInfested,
		LightPlantsLookedAt: f.LightPlants, LightInfestedPlants: f.LightInfested,
	}
	if f.DifferenceKnown {
		out.DifferencePercent, out.LowerPercent, out.UpperPercent = &f.Difference, &f.LowerDifference, &f.UpperDifference
	}
	return out
}
