package trend

import (
	"bytes"
	"maps"
	"slices"

	"benchtrail/domain"
)

// Placed is the plants of one lot in one block in one week, looked at or not. Standing
// is how many stood there at any time of the week.
type Placed struct {
	Week                domain.Date // a Monday
	HouseID, CultivarID domain.ID   // the cultivar is zero where the lot is not known
	Stratum
	Cluster
	AtEnd int // standing at the end of the week; 0 when not known
}

// Period is the weeks from one Monday to another.
type Period struct{ From, To domain.Date }

// OneWeek tells whether the period is a single week.
func (p Period) OneWeek() bool { return p.From == p.To }

// Holds tells whether a week is one of the period.
func (p Period) Holds(week domain.Date) bool { return !week.Before(p.From) && !week.After(p.To) }

// Week is the week of a period of one, else zero.
func (p Period) Week() domain.Date {
	if p.OneWeek() {
		return p.From
	}
	return domain.Date{}
}

// HousesIn gives the looks of each house in a period. Over several weeks a block is one
// cluster of each stratum: looks at the same plants again are no looks at others.
func HousesIn(placed []Placed, period Period) map[domain.ID]HouseLooks {
	type at struct {
		house, block domain.ID
		stratum      Stratum
	}
	parts := map[at]int{}
	unknown := map[at]bool{}
	houses := map[domain.ID]HouseLooks{}
	for _, x := range placed {
		if !period.Holds(x.Week) || x.Plants == 0 && !period.OneWeek() {
			continue
		}
		h := houses[x.HouseID]
		h.Key = x.HouseID.String()
		place := at{x.HouseID, x.BlockID, x.Stratum}
		i, found := parts[place]
		if !found {
			i = len(h.Parts)
			parts[place] = i
			h.Parts = append(h.Parts, HousePart{Stratum: x.Stratum, Cluster: Cluster{BlockID: x.BlockID}})
		}
		if period.OneWeek() {
			h.Parts[i].AtEnd += x.AtEnd
		}
		if x.Plants > 0 {
			unknown[place] = unknown[place] || x.Standing == 0
			h.Parts[i].add(x.Cluster, unknown[place])
		}
		houses[x.HouseID] = h
	}
	return houses
}

func (p *HousePart) add(c Cluster, unknown bool) {
	p.Looks += c.Looks
	p.Plants += c.Plants
	p.Infested += c.Infested
	p.InDoubt += c.InDoubt
	p.Standing += c.Standing
	if unknown {
		p.Standing = 0
	}
}

// AlikeInHouses says how alike plants of one block are in a house, and within its
// strata, for [CompareHouses]: of a week as pooled over the weeks of the season, of
// several weeks by the sums of each block.
func AlikeInHouses(placed []Placed, period Period) (house, strata BlockCorrelation) {
	if period.OneWeek() {
		house = AlikeIn(placed, func(x Placed) (domain.ID, bool) { return x.HouseID, true })
		return house, AlikeIn(placed, func(x Placed) (houseStratum, bool) { return houseStratum{x.HouseID, x.Stratum}, true })
	}
	houses := HousesIn(placed, period)
	var whole, parts []Sample
	for _, id := range slices.SortedFunc(maps.Keys(houses), func(a, b domain.ID) int { return bytes.Compare(a[:], b[:]) }) {
		whole = append(whole, sampleOfParts(houses[id].Parts, domain.Date{}))
		var order []Stratum
		strata := map[Stratum][]HousePart{}
		for _, p := range houses[id].Parts {
			if strata[p.Stratum] == nil {
				order = append(order, p.Stratum)
			}
			strata[p.Stratum] = append(strata[p.Stratum], p)
		}
		for _, stratum := range order {
			parts = append(parts, sampleOfParts(strata[stratum], domain.Date{}))
		}
	}
	return CorrelationOf(whole), CorrelationOf(parts)
}

type houseStratum struct {
	house   domain.ID
	stratum Stratum
}

// AlikeIn pools how alike plants of one block are over the weeks of groups, told apart
// by a key; what has none is left out.
func AlikeIn[Key comparable](placed []Placed, key func(Placed) (Key, bool)) BlockCorrelation {
	type group struct {
		key  Key
		week domain.Date
	}
	at := map[group]int{}
	var clusters [][]Cluster // in the order they come, so that sums of floats are always the same
	for _, x := range placed {
		if x.Plants == 0 {
			continue
		}
		k, known := key(x)
		if !known {
			continue
		}
		of := group{k, x.Week}
		i, found := at[of]
		if !found {
			i = len(clusters)
			at[of] = i
			clusters = append(clusters, nil)
		}
		clusters[i] = append(clusters[i], x.Cluster)
	}
	samples := make([]Sample, len(clusters))
	for i, of := range clusters {
		samples[i] = SampleOf(domain.Date{}, of, 0, 0)
	}
	return CorrelationOf(samples)
}

// SeriesOf gives the weekly samples of groups, told apart by a key; what has none is
// left out. The plants are those placed, in order of their weeks.
func SeriesOf[Key comparable](placed []Placed, key func(Placed) (Key, bool)) map[Key][]Sample {
	type week struct {
		monday   domain.Date
		clusters []Cluster
		standing int
		blocks   map[domain.ID]bool
	}
	weeks := map[Key][]week{}
	for _, x := range placed {
		k, known := key(x)
		if !known {
			continue
		}
		of := weeks[k]
		if n := len(of); n == 0 || of[n-1].monday != x.Week {
			of = append(of, week{monday: x.Week, blocks: map[domain.ID]bool{}})
		}
		w := &of[len(of)-1]
		if x.Plants > 0 {
			w.clusters = append(w.clusters, x.Cluster)
		}
		if x.AtEnd > 0 {
			w.standing += x.AtEnd
			w.blocks[x.BlockID] = true
		}
		weeks[k] = of
	}
	series := map[Key][]Sample{}
	for k, of := range weeks {
		for _, w := range of {
			if len(w.clusters) > 0 {
				series[k] = append(series[k], SampleOf(w.monday, w.clusters, w.standing, len(w.blocks)))
			}
		}
	}
	return series
}

// LotInHouse is a lot in a house, at its latest look there.
type LotInHouse struct {
	HouseID, LotID, CultivarID domain.ID
	Point                      Point
}

// LotsIn gives the lots looked at in each house in a period, each at the latest week.
// Errors are those of [Estimate].
func LotsIn(placed []Placed, period Period, alike BlockCorrelation) ([]LotInHouse, error) {
	type place struct{ house, lot domain.ID }
	latest := map[place]domain.Date{}
	order := []place{}
	for _, x := range placed {
		at := place{x.HouseID, x.LotID}
		if x.Plants == 0 || x.LotID.IsZero() || !period.Holds(x.Week) {
			continue
		}
		if latest[at].IsZero() {
			order = append(order, at)
		}
		if x.Week.After(latest[at]) {
			latest[at] = x.Week
		}
	}
	type stand struct {
		clusters       []Cluster
		plants, blocks int
		cultivar       domain.ID
	}
	stands := map[place]*stand{}
	for _, x := range placed {
		at := place{x.HouseID, x.LotID}
		if latest[at].IsZero() || latest[at] != x.Week {
			continue
		}
		if stands[at] == nil {
			stands[at] = &stand{}
		}
		s := stands[at]
		s.cultivar = x.CultivarID
		if x.Plants > 0 {
			s.clusters = append(s.clusters, x.Cluster)
		}
		if x.AtEnd > 0 {
			s.plants += x.AtEnd
			s.blocks++
		}
	}
	lots := make([]LotInHouse, 0, len(order))
	for _, at := range order {
		s := stands[at]
		p, err := Estimate(SampleOf(latest[at], s.clusters, s.plants, s.blocks), alike)
		if err != nil {
			return nil, err
		}
		lots = append(lots, LotInHouse{at.house, at.lot, s.cultivar, p})
	}
	return lots, nil
}
