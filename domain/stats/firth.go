package stats

import (
	"math"
	"slices"
)

// Firth is a binomial logistic regression with Jeffreys' prior as penalty. It has
// finite estimates also where [FitLogistic] answers CodeSeparated, and less bias
// in small samples.
type Firth struct {
	Coefficients           []float64   // log odds of being infested per unit of the term
	Covariance             [][]float64 // inverse of the information X'WX at the estimate
	PenalisedLogLikelihood float64     // of single units, without binomial coefficients
	Steps                  int
}

const mostProfileSteps = 100

// newPenalised is the design of groups that are pooled and put in order first. Where
// next to nothing, or all, was infested the penalised likelihood can have two peaks:
// which one is climbed must not hang on how the same units were told.
func newPenalised(groups []Group, last ...int) (*design, error) {
	d, err := newDesign(groups, last...)
	if err != nil {
		return d, err
	}
	inOrder := slices.Clone(groups)
	slices.SortFunc(inOrder, func(a, b Group) int { return slices.Compare(a.Terms, b.Terms) })
	var pooled []Group
	for _, g := range inOrder {
		if n := len(pooled); n > 0 && slices.Equal(pooled[n-1].Terms, g.Terms) {
			pooled[n-1].Examined += g.Examined
			pooled[n-1].Infested += g.Infested
			continue
		}
		pooled = append(pooled, g)
	}
	return newDesign(pooled, last...)
}

// FitFirth maximises the likelihood times the root of the determinant of the
// information. Errors are [domain.Faults]: next to those of the arguments
// CodeCollinear and CodeNotConverged.
// Firth (1993), Biometrika 80:27-38; Heinze and Schemper (2002), Stat. Med.
// 21:2409-2419, section 2.
func FitFirth(groups []Group) (Firth, error) {
	d, err := newPenalised(groups)
	if err != nil {
		return Firth{}, err
	}
	best, steps, err := d.climb(make([]float64, len(d.order)), len(d.order), true)
	if err != nil {
		return Firth{}, err
	}
	fit := Firth{
		Coefficients:           d.coefficients(best.at),
		Covariance:             d.covariance(best.inverse),
		PenalisedLogLikelihood: best.height + d.logRoot(),
		Steps:                  steps,
	}
	if err := d.sound(fit.Covariance, fit.Coefficients, []float64{fit.PenalisedLogLikelihood}); err != nil {
		return Firth{}, err
	}
	return fit, nil
}

// FirthTermTest is the penalised likelihood-ratio test that the coefficients of
// the terms (counted from 0) are all 0. The model without them keeps the penalty
// of all terms; with a penalty of its own the two heights could not be compared.
// Errors are as for [FitFirth].
// Heinze and Schemper (2002), section 2.
func FirthTermTest(groups []Group, terms []int) (TermTest, error) {
	var args arguments
	args.someTerms(terms)
	if err := args.Err(); err != nil {
		return TermTest{}, err
	}
	d, err := newPenalised(groups, terms...)
	if err != nil {
		return TermTest{}, err
	}
	full, _, err := d.climb(make([]float64, len(d.order)), len(d.order), true)
	if err != nil {
		return TermTest{}, err
	}
	without, _, err := d.climb(make([]float64, len(d.order)), len(d.order)-len(terms), true)
	if err != nil {
		return TermTest{}, err
	}
	return chiSquareTest(2*(full.height-without.height), len(terms)), nil
}

// FirthLimits is the interval of a coefficient (terms count from 0) where the
// profile of the penalised likelihood is not below its maximum by more than the
// chi-square distribution allows at the confidence, above 0 and below 1. It is as
// lopsided as the likelihood; under separation the Wald interval is misleading.
// Where nothing, or everything, was infested the likelihood can have two peaks,
// and the limits then take in the dip between them.
// Errors are as for [FitFirth].
// Heinze and Schemper (2002), section 2.
func FirthLimits(groups []Group, term int, confidence float64) (Limits, error) {
	var args arguments
	args.confidence(confidence)
	if err := args.Err(); err != nil {
		return Limits{}, err
	}
	d, err := newPenalised(groups, term)
	if err != nil {
		return Limits{}, err
	}
	best, _, err := d.climb(make([]float64, len(d.order)), len(d.order), true)
	if err != nil {
		return Limits{}, err
	}
	z := normalQuantile((1 - confidence) / 2)
	one, err := d.profileEnd(best, z, -1)
	if err != nil {
		return Limits{}, err
	}
	other, err := d.profileEnd(best, z, 1)
	if err != nil {
		return Limits{}, err
	}
	scale := d.root.At(len(d.order)-1, len(d.order)-1)
	limits := Limits{Lower: math.Min(one/scale, other/scale), Upper: math.Max(one/scale, other/scale)}
	if err := d.sound(nil, []float64{limits.Lower, limits.Upper}); err != nil {
		return Limits{}, err
	}
	return limits, nil
}

// profileEnd goes from the maximum along the last coordinate to where twice the
// drop of the profile is z^2: outward in growing steps, then inward by false
// position, with the side that stays weighed down (Dowell and Jarratt 1971, BIT
// 11:168-174, the Illinois rule).
func (d *design) profileEnd(best *slope, z, direction float64) (float64, error) {
	last := len(best.at) - 1
	near := best
	below := func(coordinate float64) (float64, error) {
		from := append([]float64(nil), near.at...)
		from[last] = coordinate
		s, _, err := d.climb(from, last, true)
		if err != nil {
			return 0, err
		}
		near = s
		return 2*(best.height-s.height) - z*z, nil
	}
	inner, innerBelow := best.at[last], -z*z
	stride := direction * math.Max(z/2, 1e-6) * math.Sqrt(best.inverse.At(last, last))
	outer, outerBelow := inner, innerBelow
	for step := 0; outerBelow < 0; step++ {
		if step == mostProfileSteps {
			return 0, notConverged(step)
		}
		next := outer + stride
		value, err := below(next)
		if err != nil { // too far from the last place to climb from there
			stride /= 4
			continue
		}
		inner, innerBelow = outer, outerBelow
		outer, outerBelow = next, value
		stride *= 1.5
	}
	side := 0.0
	for range mostProfileSteps {
		if math.Abs(outer-inner) <= 1e-11*(1+math.Abs(outer)) {
			break
		}
		middle := outer - outerBelow*(outer-inner)/(outerBelow-innerBelow)
		value, err := below(middle)
		if err != nil {
			return 0, err
		}
		switch {
		case math.Abs(value) <= 1e-12*(1+z*z):
			return middle, nil
		case value < 0:
			inner, innerBelow = middle, value
			if side < 0 {
				outerBelow /= 2
			}
			side = -1
		default:
			outer, outerBelow = middle, value
			if side > 0 {
				innerBelow /= 2
			}
			side = 1
		}
	}
	return outer, nil
}
