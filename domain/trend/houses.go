package trend

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

// Stratum is a crop that whitefly fares alike in: cultivars of one foliage tone, of one
// age. Houses are held against each other within strata only, for a house of young
// light-leaved plants is not worse than one of old dark ones because of its crop.
type Stratum struct {
	Foliage  string // light, medium or dark; empty where the lot is not known
	AgeWeeks int    // since arrival, where the band of ages begins; AgeMixed for lots of several arrivals
}

// AgeMixed is the age of lots of several arrivals.
const AgeMixed = -1

// Bands of ages: rooting, growing on after the pinch, and so on, about a month each
// (schedules of pinched poinsettia). The last has no end.
const (
	ageBandWeeks  = 4
	oldestAgeBand = 12
)

// AgeBand is the band of ages that so many days since arrival lie in.
func AgeBand(days int) int {
	return min(max(days, 0)/7/ageBandWeeks*ageBandWeeks, oldestAgeBand)
}

// HousePart is one stratum of a house in one block, looked at or not.
type HousePart struct {
	Stratum
	Cluster
	AtEnd int // plants standing at the end of the week; 0 where it is not known
}

// HouseLooks is a house to be compared, with the looks of one week, or of several
// weeks together. Of several weeks the plants standing are summed over the weeks, and
// AtEnd is not known: the looks are read for the place and not for the plants that
// happened to stand there.
type HouseLooks struct {
	Key   string
	Parts []HousePart
}

// HouseVerdict says where a house stands to like crops in the other houses.
type HouseVerdict string

// The verdicts.
const (
	HouseHigher   HouseVerdict = "higher"     // really: beyond chance, the number of houses counted
	HouseLower    HouseVerdict = "lower"      // the same
	HouseAlike    HouseVerdict = "alike"      // cannot be told apart from the others
	HouseTooFew   HouseVerdict = "too_few"    // tells as much as fewer than FewestEffective plants
	HouseUnlike   HouseVerdict = "unlike"     // no other house had a crop like any of its
	HouseUnlooked HouseVerdict = "not_looked" // nothing was looked at
)

// FewestEffective is how many plants drawn one by one the looks at a house must tell
// as much as before it gets a rank: below, even a house half infested has an interval
// of more than 50 percentage points.
const FewestEffective = 10

// HouseCompared is a house held against the others. Percentages are from 0 to 100.
type HouseCompared struct {
	Key     string
	Verdict HouseVerdict
	Rank    int   // by LowerPercent, 1 is the highest; 0 for those without one
	Point   Point // all looks of the house; zero when there are none

	// Against like crops: over the strata in which other houses were looked at, too.
	Strata, ComparedPlants                       int
	LikePercent                                  float64 // of this house, over those strata
	OthersPercent                                float64 // of the other houses, over the same strata in the same parts
	Difference, LowerDifference, UpperDifference float64 // percentage points
	AdjustedP                                    float64 // 1 where it was not compared

	// For the funnel: the share it would have with the crops of all houses, and the
	// limits for what Size plants drawn one by one show by chance.
	AsAllPercent, FunnelLowerPercent, FunnelUpperPercent float64
	Size                                                 int
}

// HouseComparison holds houses against each other.
type HouseComparison struct {
	OverallPercent float64 // of the strata together
	Compared       int     // houses that were held against others
	Houses         []HouseCompared
}

// CompareHouses holds houses against each other within strata. A week that is not
// zero says that the looks are those of one week; the share of a house is then the one
// that [Estimate] gives everywhere, and a difference is one between the plants that stand
// in the houses, as in [Compare]. Over several weeks it is one between the houses. Plants
// of one block are alike in a house as a whole, which has blocks of several crops, and
// less so within its strata.
//
// The order is that of the lower limits: a high rank says that much is infested for
// sure. Houses that tell too little have no rank and stand below, in the order of
// Wilson's lower limits of their plain counts, so that 1 of 5 is never above 15 of 80,
// however the plants lay in blocks.
//
// Against the others a house is held by its shares in the strata, weighted by what both
// sides tell there, n m / (n + m), as are those of the others (Mantel and Haenszel 1959,
// J. Natl Cancer Inst. 22:719-748; for differences Greenland and Robins 1985, Biometrics
// 41:55-68), n and m being effective sizes. The weighted shares have effective sizes of
// their own (Kish 1965, Survey Sampling, 11.7), and are compared as any two are
// ([stats.SharesDiffer], [stats.DifferenceOfShares]); the P values are adjusted for the
// number of houses ([stats.BenjaminiHochberg]).
//
// For the funnel, the share is the overall one times found over expected (Spiegelhalter
// 2005, Stat. Med. 24:1185-1202, section 2), expected being the shares of all houses in
// its strata.
//
// Errors say that the sums could not be done, as those of [Compare].
func CompareHouses(houses []HouseLooks, week domain.Date, alike, within BlockCorrelation) (HouseComparison, error) {
	c := HouseComparison{Houses: make([]HouseCompared, len(houses))}
	read := make([]houseStrata, len(houses))
	all := houseStrata{}
	var err error
	for i, h := range houses {
		if read[i], err = strataOf(h.Parts, week, within); err != nil {
			return c, fmt.Errorf("house %s: %w", h.Key, err)
		}
		all.add(read[i])
	}
	c.OverallPercent = 100 * all.together().Share
	p, compared := []float64{}, []int{}
	for i, h := range houses {
		one := &c.Houses[i]
		*one = HouseCompared{Key: h.Key, Verdict: HouseUnlooked, AdjustedP: 1}
		if one.Point, err = pointOfHouse(h, week, alike); err != nil {
			return c, fmt.Errorf("house %s: %w", h.Key, err)
		}
		if one.Point.Plants == 0 {
			continue
		}
		own, others := read[i].against(all)
		if err := one.hold(own, others); err != nil {
			return c, fmt.Errorf("house %s: %w", h.Key, err)
		}
		if err := one.funnel(read[i], all); err != nil {
			return c, fmt.Errorf("house %s: %w", h.Key, err)
		}
		if one.Verdict == HouseAlike {
			chance, err := stats.SharesDiffer(own.Effective, others.Effective)
			if err != nil {
				return c, fmt.Errorf("house %s: %w", h.Key, err)
			}
			p, compared = append(p, chance), append(compared, i)
		}
	}
	c.Compared = len(compared)
	if err := c.judge(p, compared); err != nil {
		return c, err
	}
	return c, rankHouses(c.Houses)
}

// judge says of the houses compared which really differ.
func (c *HouseComparison) judge(p []float64, compared []int) error {
	if len(p) == 0 {
		return nil
	}
	adjusted, err := stats.BenjaminiHochberg(p)
	if err != nil {
		return fmt.Errorf("adjusting for %d houses: %w", len(p), err)
	}
	for n, i := range compared {
		one := &c.Houses[i]
		one.AdjustedP = adjusted[n]
		switch {
		case adjusted[n] > FalseDiscovery:
		case one.Difference > 0:
			one.Verdict = HouseHigher
		default:
			one.Verdict = HouseLower
		}
	}
	return nil
}

// hold sets the verdict, as alike until it is judged, and the difference.
func (one *HouseCompared) hold(own, others matched) error {
	one.Strata, one.ComparedPlants = own.strata, own.plants
	switch {
	case own.strata == 0:
		one.Verdict = HouseUnlike
	case one.Point.Effective < FewestEffective:
		one.Verdict = HouseTooFew
	default:
		one.Verdict = HouseAlike
	}
	if own.strata == 0 {
		return nil
	}
	d, err := stats.DifferenceOfShares(own.Effective, others.Effective, Confidence)
	if err != nil {
		return err
	}
	one.LikePercent, one.OthersPercent = 100*own.Share, 100*others.Share
	one.Difference, one.LowerDifference, one.UpperDifference = 100*d.Observed, 100*d.Lower, 100*d.Upper
	return nil
}

// funnel sets the share with the crops of all and its limits. Where the overall share is
// none or all, no chance is left, and the limits are the share itself.
func (one *HouseCompared) funnel(own, all houseStrata) error {
	together, overall := own.together(), all.together().Share
	if together.Size == 0 {
		return nil
	}
	one.Size = max(1, int(math.Round(together.Size)))
	around := stats.Interval{Lower: overall, Upper: overall}
	if overall > 0 && overall < 1 {
		var err error
		if around, err = stats.FunnelLimits(overall, one.Size, Confidence); err != nil {
			return err
		}
	}
	one.FunnelLowerPercent, one.FunnelUpperPercent = 100*around.Lower, 100*around.Upper
	if expected := own.expected(all); expected > 0 {
		one.AsAllPercent = min(100*overall*together.Share/expected, 100)
	}
	return nil
}

// pointOfHouse is the share of all looks at a house with its interval.
func pointOfHouse(h HouseLooks, week domain.Date, alike BlockCorrelation) (Point, error) {
	s := sampleOfParts(h.Parts, week)
	switch {
	case s.Plants == 0:
		return Point{}, nil
	case !week.IsZero():
		return Estimate(s, alike)
	}
	share := s.ofThePlace(alike)
	interval, err := stats.WilsonOfShare(share.Share, share.Size, Confidence)
	return Point{
		Counts: s.Counts, Percent: 100 * share.Share, LowerPercent: 100 * interval.Lower, UpperPercent: 100 * interval.Upper,
		Design: true, Weighted: s.weighted(), DesignEffect: float64(s.Plants) / share.Size, Effective: share.Size,
	}, err
}

// rankHouses sorts the houses. What equal limits leave open is settled by the share,
// the plants and the key, so that the order is always the same.
func rankHouses(houses []HouseCompared) error {
	surely := map[string]float64{}
	for i := range houses {
		one := &houses[i]
		if one.Point.Plants == 0 {
			continue
		}
		plain, err := stats.Wilson(stats.Proportion{Examined: one.Point.Plants, Infested: one.Point.Infested}, Confidence)
		if err != nil {
			return err
		}
		surely[one.Key] = 100 * plain.Lower
		if one.ranked() {
			surely[one.Key] = one.Point.LowerPercent
		}
	}
	class := func(h HouseCompared) int {
		switch {
		case h.ranked():
			return 0
		case h.Point.Plants > 0:
			return 1
		}
		return 2
	}
	slices.SortStableFunc(houses, func(a, b HouseCompared) int {
		return cmp.Or(
			cmp.Compare(class(a), class(b)), cmp.Compare(surely[b.Key], surely[a.Key]), cmp.Compare(b.Point.Percent, a.Point.Percent),
			cmp.Compare(b.Point.Plants, a.Point.Plants), cmp.Compare(a.Key, b.Key),
		)
	})
	for i := range houses {
		if !houses[i].ranked() {
			continue
		}
		houses[i].Rank = i + 1
		if i > 0 && houses[i].Point.LowerPercent == houses[i-1].Point.LowerPercent {
			houses[i].Rank = houses[i-1].Rank
		}
	}
	return nil
}

func (one HouseCompared) ranked() bool {
	return one.Point.Plants > 0 && one.Point.Effective >= FewestEffective
}
