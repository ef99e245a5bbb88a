package stats

import (
	"fmt"
	"math"
)

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

	spreads := make([]ClusterSpread, len(groups))
	for i, group := range groups {
		for _, p := range group {
			spreads[i].Add(p)
		}
	}
	return CorrelationOf(spreads), nil
}

// ClusterSpread is how the units of one group of clusters are spread over them:
// sums over the clusters in which something was examined, so that they can be
// formed where the clusters are kept.
type ClusterSpread struct {
	Clusters, Examined, Infested int
	ExaminedSquared              float64 // Σ n²
	InfestedSquaredPerExamined   float64 // Σ x²/n
}

// Add takes one more cluster in; one without units adds nothing.
func (s *ClusterSpread) Add(p Proportion) {
	if p.Examined <= 0 {
		return
	}
	n, x := float64(p.Examined), float64(p.Infested)
	s.Clusters++
	s.Examined += p.Examined
	s.Infested += p.Infested
	s.ExaminedSquared += n * n
	s.InfestedSquaredPerExamined += x * (x / n)
}

// CorrelationOf is [IntraClusterCorrelation] from the sums of each group. The sums
// are taken to be right: they are not checked.
func CorrelationOf(groups []ClusterSpread) IntraCluster {
	var result IntraCluster
	var between, within, spread float64
	for _, g := range groups {
		if g.Clusters == 0 {
			continue
		}
		n, x := float64(g.Examined), float64(g.Infested)
		between += math.Max(0, g.InfestedSquaredPerExamined-x*(x/n))
		within += math.Max(0, x-g.InfestedSquaredPerExamined)
		if g.Clusters > 1 {
			spread += n - g.ExaminedSquared/n
		}
		result.DegreesBetween += g.Clusters - 1
		result.DegreesWithin += g.Examined - g.Clusters
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
	return result
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
