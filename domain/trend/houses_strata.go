package trend

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

// houseStrata is what the looks at a house, or at all houses, say of each stratum.
type houseStrata map[Stratum]stratumShare

type stratumShare struct {
	plants int
	size   float64 // effective
	found  float64 // size times share
}

// strataOf reads the strata of a house. Looks at a lot that is not known belong to none.
func strataOf(parts []HousePart, week domain.Date, alike BlockCorrelation) (houseStrata, error) {
	by := map[Stratum][]HousePart{}
	for _, p := range parts {
		if p.Foliage != "" {
			by[p.Stratum] = append(by[p.Stratum], p)
		}
	}
	read := houseStrata{}
	for stratum, of := range by {
		s := sampleOfParts(of, week)
		if s.Plants == 0 {
			continue
		}
		share := s.ofThePlace(alike)
		if s.AllStandingKnown && s.StandingPlants > 0 {
			p, err := Estimate(s, alike)
			if err != nil {
				return nil, err
			}
			share = stats.Effective{Share: p.Percent / 100, Size: effectiveSize(p)}
		}
		read[stratum] = stratumShare{s.Plants, share.Size, share.Size * share.Share}
	}
	return read, nil
}

// sampleOfParts brings the parts of a house together, each block as one cluster.
func sampleOfParts(parts []HousePart, week domain.Date) Sample {
	clusters := make([]Cluster, len(parts))
	standing, blocks := 0, map[domain.ID]bool{}
	for i, p := range parts {
		clusters[i] = p.Cluster
		if p.AtEnd > 0 {
			standing += p.AtEnd
			blocks[p.BlockID] = true
		}
	}
	return SampleOf(week, clusters, standing, len(blocks))
}

// ofThePlace is the share of a sample and how much it tells of the place: not only of
// the plants that stand there now, so that nothing is added for having looked at all of
// them, and a single block tells no more than its likeness lets it. The variance is that
// of [Estimate] without the corrections for finite populations.
func (s Sample) ofThePlace(alike BlockCorrelation) stats.Effective {
	n := float64(s.Plants)
	share, squares, within := float64(s.Infested)/n, s.PlantsSquared/(n*n), 1/n
	if s.weighted() {
		share = math.Min(s.StandingInfested/s.Standing, 1)
		squares = s.StandingSquared / (s.Standing * s.Standing)
		within = s.StandingSquaredPerPlant / (s.Standing * s.Standing)
	}
	inverse := alike.Correlation*squares + (1-alike.Correlation)*within
	return stats.Effective{Share: share, Size: math.Min(n, 1/inverse)}
}

// sorted gives the strata in one order, so that sums of floats are always the same.
func (h houseStrata) sorted() []Stratum {
	return slices.SortedFunc(maps.Keys(h), func(a, b Stratum) int {
		return cmp.Or(cmp.Compare(a.Foliage, b.Foliage), cmp.Compare(a.AgeWeeks, b.AgeWeeks))
	})
}

func (h houseStrata) add(o houseStrata) {
	for stratum, share := range o {
		was := h[stratum]
		h[stratum] = stratumShare{was.plants + share.plants, was.size + share.size, was.found + share.found}
	}
}

// together is the share over all strata.
func (h houseStrata) together() stats.Effective {
	var e stats.Effective
	for _, stratum := range h.sorted() {
		e.Size += h[stratum].size
		e.Share += h[stratum].found
	}
	if e.Size > 0 {
		e.Share = math.Min(e.Share/e.Size, 1)
	}
	return e
}

// expected is the share that the house would have if each stratum had that of all houses.
func (h houseStrata) expected(all houseStrata) float64 {
	size, found := 0.0, 0.0
	for _, stratum := range h.sorted() {
		size += h[stratum].size
		found += h[stratum].size * all[stratum].found / all[stratum].size
	}
	return found / size
}

// matched is a share over the strata that two sides have in common.
type matched struct {
	stats.Effective
	strata, plants int
}

// against gives the shares of a house and of all others over the strata that both have,
// with the same weights.
func (h houseStrata) against(all houseStrata) (own, others matched) {
	var weights, ownInverse, othersInverse float64
	for _, stratum := range h.sorted() {
		one := h[stratum]
		rest := stratumShare{all[stratum].plants - one.plants, all[stratum].size - one.size, all[stratum].found - one.found}
		if rest.plants <= 0 {
			continue
		}
		weight := one.size * rest.size / (one.size + rest.size)
		weights += weight
		own.Share += weight * one.found / one.size
		others.Share += weight * rest.found / rest.size
		ownInverse += weight * weight / one.size
		othersInverse += weight * weight / rest.size
		own.strata++
		own.plants += one.plants
		others.plants += rest.plants
	}
	if own.strata == 0 {
		return own, others
	}
	others.strata = own.strata
	own.Effective = stats.Effective{Share: unit(own.Share / weights), Size: weights * weights / ownInverse}
	others.Effective = stats.Effective{Share: unit(others.Share / weights), Size: weights * weights / othersInverse}
	return own, others
}

// unit takes the rounding of floats from a share.
func unit(share float64) float64 {
	if share < 1e-12 {
		return 0
	}
	return math.Min(share, 1)
}
