package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Logistic is a binomial logistic regression fitted by maximum likelihood. A fit
// that is given back has converged.
type Logistic struct {
	Coefficients []float64   // log odds of being infested per unit of the term
	Covariance   [][]float64 // of the coefficients, without dispersion
	Deviance     float64
	DF           int     // groups less terms
	NullDeviance float64 // with one share for all groups
	NullDF       int
	Pearson      float64 // sum over the groups of (observed - expected)^2 / variance
	Steps        int     // until the largest change of a log odds was below 1e-10
}

// Limits is a range of a coefficient: log odds, not shares.
type Limits struct{ Lower, Upper float64 }

// TermTest is a test that the coefficients of some terms are all 0.
type TermTest struct {
	ChiSquared float64 // the drop in deviance
	DF         int     // the terms tested
	P          float64
}

// DispersedTermTest is a [TermTest] of groups that differ more than counting
// alone explains.
type DispersedTermTest struct {
	F          float64
	DF         int // the terms tested
	ResidualDF int
	Dispersion float64
	P          float64
}

// FitLogistic fits the log odds of being infested as a sum of the terms, by
// iteratively reweighted least squares. Errors are [domain.Faults]: next to those
// of the arguments CodeCollinear, CodeSeparated and CodeNotConverged.
// McCullagh and Nelder (1989), Generalized Linear Models, 2nd ed., section 4.4.
func FitLogistic(groups []Group) (Logistic, error) {
	d, err := newDesign(groups)
	if err != nil {
		return Logistic{}, err
	}
	best, steps, err := d.climb(make([]float64, len(d.order)), len(d.order), false)
	if err != nil {
		return Logistic{}, err
	}
	fit := Logistic{
		Coefficients: d.coefficients(best.at),
		Covariance:   d.covariance(best.inverse),
		Deviance:     d.deviance(best),
		DF:           len(groups) - len(d.order),
		NullDeviance: d.nullDeviance(),
		NullDF:       len(groups) - 1,
		Pearson:      d.pearson(best),
		Steps:        steps,
	}
	if err := d.sound(fit.Covariance, fit.Coefficients, []float64{fit.Deviance, fit.NullDeviance, fit.Pearson}); err != nil {
		return Logistic{}, err
	}
	return fit, nil
}

// Dispersion is Pearson's estimate of the variance of the counts as a multiple of
// the binomial variance. It fails with CodeNoDispersion when there are no more
// groups than terms.
// McCullagh and Nelder (1989), section 4.5.2.
func (l Logistic) Dispersion() (float64, error) {
	var args arguments
	if l.DF < 1 {
		args.Add(pathGroups, CodeNoDispersion, "there are no more groups than terms")
		return 0, args.Err()
	}
	return l.Pearson / float64(l.DF), nil
}

// Wald is the interval of a coefficient (terms count from 0) from the normal
// distribution, at a two-sided confidence above 0 and below 1. Errors are
// [domain.Faults].
func (l Logistic) Wald(term int, confidence float64) (Limits, error) {
	return wald(l.Coefficients, l.Covariance, term, confidence, normalQuantile)
}

// QuasiWald is [Logistic.Wald] with the standard error widened by the root of the
// dispersion and the t distribution of the degrees of freedom.
func (l Logistic) QuasiWald(term int, confidence float64) (Limits, error) {
	dispersion, err := l.Dispersion()
	if err != nil {
		return Limits{}, err
	}
	return wald(l.Coefficients, l.Covariance, term, confidence, func(tail float64) float64 {
		return studentQuantile(tail, l.DF) * math.Sqrt(dispersion)
	})
}

// LogisticTermTest is the analysis of deviance of the groups with and without the
// terms (counted from 0): the drop in deviance against the chi-square
// distribution. Errors are as for [FitLogistic].
// McCullagh and Nelder (1989), section 4.4.3.
func LogisticTermTest(groups []Group, terms []int) (TermTest, error) {
	_, test, err := dropTerms(groups, terms)
	return test, err
}

// QuasiLogisticTermTest is [LogisticTermTest] with the drop per term over the
// dispersion of the model with the terms, against the F distribution. It fails
// with CodeNoDispersion when there are no more groups than terms, or no scatter.
// Venables and Ripley (2002), Modern Applied Statistics with S, section 7.5.
func QuasiLogisticTermTest(groups []Group, terms []int) (DispersedTermTest, error) {
	full, test, err := dropTerms(groups, terms)
	if err != nil {
		return DispersedTermTest{}, err
	}
	dispersion, err := full.Dispersion()
	if err != nil {
		return DispersedTermTest{}, err
	}
	var args arguments
	if dispersion < 1e-9 {
		args.Add(pathGroups, CodeNoDispersion, "the model meets every group exactly")
		return DispersedTermTest{}, args.Err()
	}
	named, rest := float64(test.DF), float64(full.DF)
	f := test.ChiSquared / named / dispersion
	return DispersedTermTest{
		F: f, DF: test.DF, ResidualDF: full.DF, Dispersion: dispersion,
		P: mathext.RegIncBeta(rest/2, named/2, rest/(rest+named*f)),
	}, nil
}

func dropTerms(groups []Group, terms []int) (Logistic, TermTest, error) {
	var args arguments
	args.someTerms(terms)
	if err := args.Err(); err != nil {
		return Logistic{}, TermTest{}, err
	}
	d, err := newDesign(groups, terms...)
	if err != nil {
		return Logistic{}, TermTest{}, err
	}
	full, err := FitLogistic(groups)
	if err != nil {
		return Logistic{}, TermTest{}, err
	}
	without, _, err := d.climb(make([]float64, len(d.order)), len(d.order)-len(terms), false)
	if err != nil {
		return Logistic{}, TermTest{}, err
	}
	return full, chiSquareTest(d.deviance(without)-full.Deviance, len(terms)), nil
}

// chiSquareTest takes a drop below 0, which only rounding makes, as 0.
func chiSquareTest(drop float64, df int) TermTest {
	drop = math.Max(drop, 0)
	return TermTest{ChiSquared: drop, DF: df, P: distuv.ChiSquared{K: float64(df)}.Survival(drop)}
}

func wald(coefficients []float64, covariance [][]float64, term int, confidence float64, quantile func(tail float64) float64) (Limits, error) {
	var args arguments
	args.terms([]int{term}, len(coefficients))
	args.confidence(confidence)
	if err := args.Err(); err != nil {
		return Limits{}, err
	}
	reach := quantile((1-confidence)/2) * math.Sqrt(covariance[term][term])
	return Limits{Lower: coefficients[term] - reach, Upper: coefficients[term] + reach}, nil
}

// normalQuantile is the size of the standard normal deviate with the tail beyond it.
func normalQuantile(tail float64) float64 { return -distuv.UnitNormal.Quantile(tail) }

// studentQuantile is the same of the t distribution: df/(df+t^2) has the
// distribution Beta(df/2, 1/2).
func studentQuantile(tail float64, df int) float64 {
	rest := betaQuantile(float64(df)/2, 0.5, 2*tail)
	return math.Sqrt(float64(df) * (1 - rest) / rest)
}

func (d *design) deviance(s *slope) float64 {
	sum := 0.0
	for i, p := range d.counts {
		sum += p.deviance(s.infested[i], s.free[i])
	}
	return sum
}

func (d *design) nullDeviance() float64 {
	all := pool(d.counts)
	sum := 0.0
	for _, p := range d.counts {
		sum += p.deviance(all.share(), all.free().share())
	}
	return sum
}

// deviance of the count from a share infested and the share free.
func (p Proportion) deviance(infested, free float64) float64 {
	part := func(count int, share float64) float64 {
		if count == 0 {
			return 0
		}
		return float64(count) * math.Log(float64(count)/(float64(p.Examined)*share))
	}
	return math.Max(0, 2*(part(p.Infested, infested)+part(p.free().Infested, free)))
}

func (d *design) pearson(s *slope) float64 {
	sum := 0.0
	for i, p := range d.counts {
		rest := float64(p.Infested)*s.free[i] - float64(p.free().Infested)*s.infested[i]
		sum += rest * rest / (float64(p.Examined) * s.infested[i] * s.free[i])
	}
	return sum
}

// sound is the last gate: a number that is none is no result.
func (d *design) sound(covariance [][]float64, others ...[]float64) error {
	var args arguments
	for _, values := range append(others, covariance...) {
		if !finite(values...) {
			args.Add(pathGroups, CodeNotConverged, "the numbers are too far apart to compute with")
			break
		}
	}
	for term := range covariance {
		if covariance[term][term] < 0 && args.Err() == nil {
			args.Add(fmt.Sprintf("%s/%d", pathTerms, term), CodeNotConverged, "its variance cannot be computed")
		}
	}
	return args.Err()
}
