package stats

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/mathext"
)

// FunnelLimits are the limits, around a target share above 0 and below 1, that
// the share found among examined units (1 to LargestCount) passes by chance no
// more often than the confidence (above 0, below 1) leaves to its two tails, if
// the target is the true share. Between whole counts they are interpolated, so
// that they are smooth in the units examined. Where even one find is rarer than
// the tail, the upper limit is 0, below the target. Errors are [domain.Faults].
// Spiegelhalter (2005), Stat. Med. 24:1185-1202, appendix A.1.1.
func FunnelLimits(target float64, examined int, confidence float64) (Interval, error) {
	var args arguments
	if !(target > 0 && target < 1) {
		args.Add("/target", CodeOutOfRange, "is %v, must be above 0 and below 1", target)
	}
	args.someExamined(examined)
	args.confidence(confidence)
	if err := args.Err(); err != nil {
		return Interval{}, err
	}
	b := binomial{examined, target}
	tail := (1 - confidence) / 2
	low := b.smallest(func(count int) bool { return b.atMost(count) >= tail })
	high := b.smallest(func(count int) bool { return b.above(count) <= tail })
	return Interval{
		Lower: b.between(low, b.atMost(low)-tail),
		Upper: b.between(high, tail-b.above(high)),
	}, nil
}

// binomial is the distribution of the infested among the examined units.
type binomial struct {
	examined int
	share    float64
}

func (b binomial) atMost(count int) float64 {
	if count >= b.examined {
		return 1
	}
	return mathext.RegIncBeta(float64(b.examined-count), float64(count)+1, 1-b.share)
}

func (b binomial) above(count int) float64 {
	if count >= b.examined {
		return 0
	}
	return mathext.RegIncBeta(float64(count)+1, float64(b.examined-count), b.share)
}

func (b binomial) exactly(count int) float64 {
	n, x := float64(b.examined), float64(count)
	return math.Exp(x*math.Log(b.share) + (n-x)*math.Log1p(-b.share) - math.Log(n+1) - mathext.Lbeta(x+1, n-x+1))
}

func (b binomial) smallest(reached func(count int) bool) int {
	return sort.Search(b.examined, reached)
}

// between gives the share that lies below the count by the surplus of its
// probability over the tail.
func (b binomial) between(count int, surplus float64) float64 {
	part := 0.0
	if chance := b.exactly(count); chance > 0 {
		part = math.Min(math.Max(surplus/chance, 0), 1)
	}
	return math.Max(0, (float64(count)-part)/float64(b.examined))
}
