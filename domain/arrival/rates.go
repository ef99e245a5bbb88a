package arrival

import (
	"slices"

	"benchtrail/domain/stats"
)

// Rate is a share of plants over the lots of a group: of cuttings that rooted, of
// plants that were lost.
type Rate struct {
	Count, Of    int
	Lower, Upper float64 // shares, 0 to 1; 0 and 1 where Of is 0
}

// cautious is the likeness of two plants of a lot where the lots tell too little.
const cautious = 0.10

// RatesOf gives the rate of each group of lots with its interval. Plants of one lot
// fare alike, so that lots are clusters: a box left in the sun is one event and not
// four hundred. The likeness is pooled over the groups, since few lots cannot give
// it. Confidence is above 0 and below 1. Errors are [domain.Faults].
//
// Wilson (1927) on effective sample sizes, see [stats.Clusters.Interval].
func RatesOf(groups [][]stats.Proportion, confidence float64) ([]Rate, error) {
	// A lot of which nothing was counted tells nothing.
	counted := make([][]stats.Proportion, len(groups))
	for i, lots := range groups {
		counted[i] = slices.DeleteFunc(slices.Clone(lots), func(p stats.Proportion) bool { return p.Examined == 0 })
	}
	groups = counted
	likeness, err := stats.IntraClusterCorrelation(groups)
	if err != nil {
		return nil, err
	}
	icc := min(max(likeness.Correlation, 0), 1)
	if !likeness.Known {
		icc = cautious
	}
	rates := make([]Rate, len(groups))
	for i, lots := range groups {
		rates[i] = Rate{Upper: 1}
		if len(lots) == 0 {
			continue
		}
		sum, err := stats.ClustersOf(lots)
		if err != nil {
			return nil, err
		}
		interval, err := sum.Interval(icc, confidence)
		if err != nil {
			return nil, err
		}
		rates[i] = Rate{sum.Infested, sum.Examined, interval.Lower, interval.Upper}
	}
	return rates, nil
}
