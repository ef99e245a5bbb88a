package stats

import "fmt"

// IntraCluster says how alike units of one cluster are.
type IntraCluster struct {
	// Correlation between two units of a cluster, at most 1. Chance makes estimates
	// negative; for a design effect those count as 0. It is no statement when not
	// Known.
	Correlation float64
	// Known is false when there are no two clusters in a group, no two units in a
	// cluster, or no difference between any units.
	Known bool

	MeanSquareBetween, MeanSquareWithin float64
	DegreesBetween, DegreesWithin       int
	TypicalSize                         float64 // the n0 of unequal clusters
}

// IntraClusterCorrelation estimates the correlation from an analysis of variance
// of the units' 0 and 1. Clusters are compared only within their group, so groups
// of different shares (cultivars, weeks) can be pooled; a single group is the
// plain estimate. A group of one cluster tells nothing between clusters but adds
// to what is known within. Together at most LargestCount units. Errors are
// [domain.Faults] with paths such as /groups/0/1.
//
// icc = (MSB-MSW) / (MSB+(n0-1) MSW), n0 = (N-Σn²/N)/(m-1): Ridout, Demétrio and
// Firth (1999), Biometrics 55:137-148, the estimator of the analysis of variance;
// pooled by adding the sums of squares, the degrees of freedom and N-Σn²/N over
// the groups, as in a nested analysis.
func IntraClusterCorrelation(groups [][]Proportion) (IntraCluster, error) {
	var args arguments
	units := 0
	for i, group := range groups {
		path := fmt.Sprintf("/groups/%d", i)
		args.eachProportion(path, group)
		for _, p := range group {
			if p.Examined >= 0 && p.Examined <= LargestCount {
				units = min(units+p.Examined, LargestCount+1)
			}
		}
	}
	if units > LargestCount {
		args.Add("/groups", CodeOutOfRange, "hold more than %d units", LargestCount)
	}
	if err := args.Err(); err != nil {
		return IntraCluster{}, err
	}

	var result IntraCluster
	var between, within, spread float64
	for _, group := range groups {
		whole := pooled(group)
		for _, p := range group {
			gap := p.share() - whole.share()
			between += float64(p.Examined) * gap * gap
			within += float64(p.Infested) * p.free().share()
			spread += float64(p.Examined) * float64(whole.Examined-p.Examined) / float64(whole.Examined)
			result.DegreesWithin += p.Examined - 1
		}
		result.DegreesBetween += max(0, len(group)-1)
	}
	if result.DegreesBetween > 0 {
		result.MeanSquareBetween = between / float64(result.DegreesBetween)
		result.TypicalSize = spread / float64(result.DegreesBetween)
	}
	if result.DegreesWithin > 0 {
		result.MeanSquareWithin = within / float64(result.DegreesWithin)
	}
	total := result.MeanSquareBetween + (result.TypicalSize-1)*result.MeanSquareWithin
	if result.DegreesBetween > 0 && result.DegreesWithin > 0 && total > 0 {
		result.Correlation = (result.MeanSquareBetween - result.MeanSquareWithin) / total
		result.Known = true
	}
	return result, nil
}

// pooled is all the units of several counts together.
func pooled(counts []Proportion) Proportion {
	var whole Proportion
	for _, p := range counts {
		whole.Examined += p.Examined
		whole.Infested += p.Infested
	}
	return whole
}

func (a *arguments) eachProportion(path string, counts []Proportion) {
	for i, p := range counts {
		var of arguments
		p.check(&of)
		for _, fault := range of.Faults {
			a.Add(fmt.Sprintf("%s/%d%s", path, i, fault.Path), fault.Code, "%s", fault.Detail)
		}
	}
}
