package stats

import "math"

// LargestDensity is the largest mean number per unit that is worked with.
const LargestDensity = 1e9

// TaylorLaw says how much the numbers per unit (plant, leaf) vary with their mean:
// variance = A mean^B. It is measured for one pest, stage, unit and crop, and
// holds for no other. Published tables often give log A, not always saying to
// which base; A is the number itself, 0.001 to 1,000,000. B is from 0 to 2.
// Taylor (1961), Nature 189:732-735.
type TaylorLaw struct{ A, B float64 }

// ShareAt is the share of units with at least one, 0 to 1, when there are mean
// per unit, 0 to LargestDensity. Errors are [domain.Faults].
//
// Wilson and Room (1983), Environ. Entomol. 12:50-54:
// 1 - exp(-m ln(r)/(r-1)), r = variance/mean by Taylor's law. This is the
// negative binomial with k = m/(r-1); the Poisson where r is 1. Below about one
// per unit the law can give a variance no counts have, so the share is held to at
// most the mean, which it can never pass.
func (l TaylorLaw) ShareAt(mean float64) (float64, error) {
	var args arguments
	args.taylor(l)
	if !(mean >= 0 && mean <= LargestDensity) {
		args.Add("/mean", CodeOutOfRange, "is %v, must be from 0 to %v", mean, LargestDensity)
	}
	if err := args.Err(); err != nil {
		return 0, err
	}
	if mean == 0 {
		return 0, nil
	}
	return l.shareAt(math.Log(mean)), nil
}

func (l TaylorLaw) shareAt(logMean float64) float64 {
	mean := math.Exp(logMean)
	logRatio := math.Log(l.A) + (l.B-1)*logMean
	perMean := 1.0
	if logRatio != 0 {
		perMean = logRatio / math.Expm1(logRatio)
	}
	return math.Min(-math.Expm1(-mean*perMean), math.Min(mean, 1))
}

// MeanAt is the mean number per unit at which the share of units with at least
// one, 0 to 1, is as given: the inverse of [TaylorLaw.ShareAt], by halving. It is
// false, with the mean 0, when no mean up to LargestDensity has so large a share,
// as when every unit has one: such a count shows no upper end. Errors are
// [domain.Faults].
//
// The mean of a sample's share says nothing of its own uncertainty: take the ends
// of an interval through it as well. Near a share of 1 it hardly tells densities
// apart.
func (l TaylorLaw) MeanAt(share float64) (mean float64, found bool, err error) {
	var args arguments
	args.taylor(l)
	if !(share >= 0 && share <= 1) {
		args.Add("/share", CodeOutOfRange, "is %v, must be from 0 to 1", share)
	}
	if err := args.Err(); err != nil {
		return 0, false, err
	}
	low, high := math.Log(math.SmallestNonzeroFloat64), math.Log(LargestDensity)
	switch {
	case share == 0:
		return 0, true, nil
	case share == 1 || l.shareAt(high) < share:
		return 0, false, nil
	}
	// The share only grows with the mean: its slope is positive while B < 2, since
	// (r-1) ln r > r ln r - r + 1 > 0 for every r but 1.
	for range 64 {
		middle := low + (high-low)/2
		if l.shareAt(middle) < share {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Exp(high), true, nil
}

func (a *arguments) taylor(l TaylorLaw) {
	if !(l.A >= 0.001 && l.A <= 1e6) {
		a.Add("/a", CodeOutOfRange, "is %v, must be from 0.001 to 1000000", l.A)
	}
	if !(l.B >= 0 && l.B <= 2) {
		a.Add("/b", CodeOutOfRange, "is %v, must be from 0 to 2", l.B)
	}
}
