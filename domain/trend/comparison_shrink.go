package trend

import (
	"errors"
	"fmt"
	"math"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

// shrink pulls the share of every group towards the mean of all, the more the fewer
// plants it has: by how much is read from how the groups differ
// ([stats.BetaBinomialByLikelihood]). Groups that differ no more than by chance all
// get the overall share; where groups tell nothing about each other, as when there is
// only one, each keeps its own.
// Posterior mean in Gelman et al. (2013), Bayesian Data Analysis, 3rd ed., section
// 5.1, with effective sizes for plants.
func shrink(contests []contest, overall stats.Effective) error {
	spread, err := stats.BetaBinomialByLikelihood(wholeCounts(contests))
	var faults domain.Faults
	if err != nil && !errors.As(err, &faults) {
		return fmt.Errorf("how groups differ: %w", err)
	}
	for i := range contests {
		one := &contests[i]
		switch {
		case err == nil:
			total := spread.Alpha + spread.Beta + one.Size
			one.ShrunkenPercent = 100 * math.Min((spread.Alpha+one.Share*one.Size)/total, 1)
		case faults[0].Code == stats.CodeNoSpread:
			one.ShrunkenPercent = 100 * overall.Share
		default:
			one.ShrunkenPercent = one.Percent
		}
	}
	return nil
}

// wholeCounts makes counts of effective sizes for a likelihood that knows only whole
// plants. What rounding adds or drops is handed on to the next group, so that the
// sums stay right where every group has only a part of an infested plant; groups with
// none or all infested stay so. Of more than stats.MostGroups groups it takes that
// many, evenly over their ranks: enough to know how they differ.
func wholeCounts(contests []contest) []stats.Proportion {
	n := min(len(contests), stats.MostGroups)
	counts := make([]stats.Proportion, n)
	carried := 0.0
	for i := range counts {
		one := contests[i*len(contests)/n]
		size := max(1, int(math.Round(one.Size)))
		counts[i].Examined = size
		switch {
		case one.Share <= 0:
		case one.Share >= 1:
			counts[i].Infested = size
		default:
			wanted := one.Share*float64(size) + carried
			counts[i].Infested = min(max(0, int(math.Round(wanted))), size)
			carried = wanted - float64(counts[i].Infested)
		}
	}
	return counts
}
