package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ClusterInterval is an interval for a share found in clusters.
type ClusterInterval struct {
	Interval
	DesignEffect      float64 // at least 1
	EffectiveExamined float64 // as many units drawn one by one would tell as much; 1 to the clusters' units
}

// Interval widens Wilson's interval for clusters: it is the interval of n/deff
// units, deff = 1 + (Σn²/Σn - 1) icc, with the share that was found. Icc, 0 to 1,
// is the correlation of two units of a cluster, from many clusters of the same
// kind (see [IntraClusterCorrelation]), not from these alone. Confidence is above
// 0 and below 1. Errors are [domain.Faults].
//
// The correlation comes from outside because few clusters cannot give it: with
// one there is no estimate at all, with two it rests on one degree of freedom
// and is as often near nothing as far too large, and without a find it is 0/0
// just when the question of how much may have been missed matters most. With an
// outside value two blocks, or none infested, still get an interval that says
// what they can bear, and the same design always gets the same widening. From a
// good number of clusters (some thirty) [Clusters.Ratio] shows whether the
// widening was right.
//
// Wilson (1927); on effective sample sizes Korn and Graubard (1998), Surv.
// Methodol. 24:193-201, and Dean and Pagano (2015), J. Surv. Stat. Methodol.
// 3:484-503; deff as in [Clusters.KishDesignEffect].
func (c Clusters) Interval(icc, confidence float64) (ClusterInterval, error) {
	return c.interval(icc, confidence, scoreLower)
}

// ExactInterval is [Clusters.Interval] by the limits of Clopper and Pearson
// instead of Wilson's: wider, and meant to cover at least the confidence.
//
// Korn and Graubard (1998), Surv. Methodol. 24:193-201. Their factor of
// Student's t squared is left out: it pays for a variance estimated from the
// design's own few clusters, which is not done here.
func (c Clusters) ExactInterval(icc, confidence float64) (ClusterInterval, error) {
	return c.interval(icc, confidence, exactLower)
}

func (c Clusters) interval(icc, confidence float64, lower func(x, free, tail float64) float64) (ClusterInterval, error) {
	var args arguments
	args.clusters(c)
	args.correlation(icc)
	args.confidence(confidence)
	if err := args.Err(); err != nil {
		return ClusterInterval{}, err
	}
	deff := c.kishDesignEffect(icc)
	x, free := float64(c.Infested)/deff, float64(c.Examined-c.Infested)/deff
	tail := (1 - confidence) / 2
	return ClusterInterval{
		Interval:          Interval{Lower: lower(x, free, tail), Upper: 1 - lower(free, x, tail)},
		DesignEffect:      deff,
		EffectiveExamined: float64(c.Examined) / deff,
	}, nil
}

// WilsonOfShare is Wilson's interval for a share, 0 to 1, found as if by examining
// an effective number of units one by one, above 0 and not always whole.
// Confidence is above 0 and below 1. Errors are [domain.Faults].
// Wilson (1927); on effective sample sizes as for [Clusters.Interval].
func WilsonOfShare(share, effective, confidence float64) (Interval, error) {
	var args arguments
	if !(share >= 0 && share <= 1) {
		args.Add("/share", CodeOutOfRange, "is %v, must be from 0 to 1", share)
	}
	if !(effective > 0 && effective <= LargestCount) {
		args.Add("/effective", CodeOutOfRange, "is %v, must be above 0 and at most %d", effective, LargestCount)
	}
	args.confidence(confidence)
	if err := args.Err(); err != nil {
		return Interval{}, err
	}
	x, free := share*effective, (1-share)*effective
	tail := (1 - confidence) / 2
	return Interval{
		Lower: math.Min(scoreLower(x, free, tail), share),
		Upper: math.Max(1-scoreLower(free, x, tail), share),
	}, nil
}

// scoreLower is Wilson's lower limit for counts that need not be whole.
func scoreLower(x, free, tail float64) float64 {
	if x == 0 {
		return 0
	}
	n := x + free
	z := -distuv.UnitNormal.Quantile(tail)
	root := z * math.Sqrt(z*z+4*x*(free/n))
	return math.Min(2*x*x/(n*(2*x+z*z+root)), x/n)
}

// exactLower is the lower limit of Clopper and Pearson for counts that need not
// be whole.
func exactLower(x, free, tail float64) float64 {
	switch {
	case x == 0:
		return 0
	case free == 0:
		return math.Exp(math.Log(tail) / x)
	}
	return math.Min(betaQuantile(x, free+1, tail), x/(x+free))
}
