package stats

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Wilson is the score interval for a proportion at a two-sided confidence above
// 0 and below 1. Errors are [domain.Faults].
// Wilson (1927); method 3 in Newcombe (1998), Stat. Med. 17:857-872.
func Wilson(p Proportion, confidence float64) (Interval, error) {
	return twoSided(p, confidence, wilsonLower)
}

// wilsonLower is the textbook form multiplied by its conjugate, which has no
// difference of near-equal numbers and is exactly 0 without a find.
func wilsonLower(p Proportion, tail float64) float64 {
	if p.Infested == 0 {
		return 0
	}
	n, x := float64(p.Examined), float64(p.Infested)
	z := -distuv.UnitNormal.Quantile(tail)
	root := z * math.Sqrt(z*z+4*x*(1-x/n))
	return math.Min(2*x*x/(n*(2*x+z*z+root)), p.share())
}

// ClopperPearson is the interval that covers the true share with at least the
// two-sided confidence (above 0, below 1), from the binomial tails. Errors are
// [domain.Faults].
// Clopper and Pearson (1934); method 5 in Newcombe (1998), Stat. Med. 17:857-872.
func ClopperPearson(p Proportion, confidence float64) (Interval, error) {
	return twoSided(p, confidence, clopperPearsonLower)
}

func clopperPearsonLower(p Proportion, tail float64) float64 {
	switch p.Infested {
	case 0:
		return 0
	case p.Examined:
		return math.Exp(math.Log(tail) / float64(p.Examined))
	}
	// The limit never lies above the share; with millions of units the library's
	// beta function is too coarse to say so.
	return math.Min(betaQuantile(float64(p.Infested), float64(p.Examined-p.Infested)+1, tail), p.share())
}

// Jeffreys is the equal-tailed posterior interval under the prior Beta(1/2, 1/2),
// with the lower limit 0 when nothing and the upper limit 1 when everything was
// infested. At a low confidence (well under one half) it can miss the observed
// share. Confidence is above 0 and below 1; errors are [domain.Faults].
// Brown, Cai and DasGupta (2001), Stat. Sci. 16:101-133, section 3.1.3.
func Jeffreys(p Proportion, confidence float64) (Interval, error) {
	return twoSided(p, confidence, jeffreysLower)
}

func jeffreysLower(p Proportion, tail float64) float64 {
	if p.Infested == 0 {
		return 0
	}
	lower := betaQuantile(float64(p.Infested)+0.5, float64(p.Examined-p.Infested)+0.5, tail)
	if tail <= 0.25 {
		lower = math.Min(lower, p.share()) // as for Clopper and Pearson
	}
	return lower
}

// ModifiedJeffreys is [Jeffreys] with its edges moved so that coverage does not
// collapse there: the lower limit is 0 also for a single infested unit, and with
// all infested it is tail^(1/n); the upper limits mirror this. Confidence is
// above 0 and below 1; errors are [domain.Faults].
// Brown, Cai and DasGupta (2001), Stat. Sci. 16:101-133, section 4.1.2, table 5.
func ModifiedJeffreys(p Proportion, confidence float64) (Interval, error) {
	return twoSided(p, confidence, modifiedJeffreysLower)
}

func modifiedJeffreysLower(p Proportion, tail float64) float64 {
	switch p.Infested {
	case p.Examined:
		return clopperPearsonLower(p, tail)
	case 1:
		return 0
	}
	return jeffreysLower(p, tail)
}

// betaQuantile gives the value below which the Beta(a, b) distribution has the
// probability p, 0 < p <= 1/2, by halving. The library's own inverse is wrong by
// 0.04 in some far tails, such as Beta(80287, 7) at 5e-7; its forward function is
// accurate for p <= 1/2.
func betaQuantile(a, b, p float64) float64 {
	low, high := 0.0, 1.0
	for range 128 {
		middle := low + (high-low)/2
		if middle <= low || middle >= high {
			break
		}
		if mathext.RegIncBeta(a, b, middle) < p {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}
