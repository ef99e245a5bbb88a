package stats

import (
	"math"
	"math/big"
)

// Clusters sums up units that were examined in clusters, such as the plants of
// blocks, where units of one cluster are more alike than units of different ones.
// All fields are sums over the clusters in which something was examined, so the
// clusters of two areas are added field by field.
type Clusters struct {
	Count           int // clusters with at least one unit examined
	Examined        int // n, at most LargestCount in all
	Infested        int // x
	ExaminedSquared int // n²
	Cross           int // n x
	InfestedSquared int // x²
}

// CodeContradiction marks sums that no clusters can have.
const CodeContradiction = "contradiction"

// ClustersOf sums up clusters given one by one. Errors are [domain.Faults] with
// the paths /clusters/0 and so on.
func ClustersOf(clusters []Proportion) (Clusters, error) {
	var args arguments
	var c Clusters
	args.eachProportion("/clusters", clusters)
	if err := args.Err(); err != nil {
		return c, err
	}
	for _, p := range clusters {
		if p.Examined > LargestCount-c.Examined {
			args.Add("/clusters", CodeOutOfRange, "hold more than %d units", LargestCount)
			return Clusters{}, args.Err()
		}
		c.Count++
		c.Examined += p.Examined
		c.Infested += p.Infested
		c.ExaminedSquared += p.Examined * p.Examined
		c.Cross += p.Examined * p.Infested
		c.InfestedSquared += p.Infested * p.Infested
	}
	args.clusters(c)
	if err := args.Err(); err != nil {
		return Clusters{}, err
	}
	return c, nil
}

// RatioEstimate is the infested share over clusters and how sure it is.
type RatioEstimate struct {
	Share    float64 // all infested over all examined, 0 to 1
	Variance float64 // of the share; 0 and no statement when not VarianceKnown
	// VarianceKnown is false for a single cluster: it cannot tell how clusters differ.
	VarianceKnown    bool
	DegreesOfFreedom int // clusters less one, for Student's t
	// DesignEffect is the variance over that of as many units drawn one by one,
	// p(1-p)/n, without a correction for a finite population. It is no statement
	// (0, not DesignEffectKnown) when the variance is not known or when none or all
	// were infested.
	DesignEffect      float64
	DesignEffectKnown bool
}

// Ratio estimates the infested share with the variance that the differences
// between the clusters show, by the ratio estimator and its linearisation.
// Population is the number of clusters there are, from the Count to LargestCount,
// or 0 for very many or unknown.
//
// The correction for a finite population is meant for clusters that were
// examined whole. Where only some units of each cluster were looked at, pass 0:
// the differences between the clusters then carry the sampling within them too,
// while the correction would promise a variance of zero as soon as every block
// had been entered. Errors are [domain.Faults].
//
// Cochran (1977), Sampling Techniques, 3rd ed., section 6.3 and 9.
// v = (1-m/M) sum (x-pn)² / (m (m-1) (N/m)²).
func (c Clusters) Ratio(population int) (RatioEstimate, error) {
	var args arguments
	args.clusters(c)
	if population != 0 && (population < c.Count || population > LargestCount) {
		args.Add("/population", CodeOutOfRange, "is %d, must be 0 or from the %d clusters to %d", population, c.Count, LargestCount)
	}
	if err := args.Err(); err != nil {
		return RatioEstimate{}, err
	}
	p := Proportion{Examined: c.Examined, Infested: c.Infested}
	result := RatioEstimate{
		Share:            p.share(),
		DegreesOfFreedom: c.Count - 1,
		VarianceKnown:    c.Count > 1,
	}
	if !result.VarianceKnown {
		return result, nil
	}
	result.Variance = c.linearisedVariance(population)
	if c.Infested > 0 && c.Infested < c.Examined {
		// p(1-p)/n with the shares written as counts loses nothing to 1-p.
		n := float64(c.Examined)
		alone := p.share() * p.free().share() / n
		result.DesignEffect, result.DesignEffectKnown = result.Variance/alone, true
	}
	return result, nil
}

// linearisedVariance holds for any ratio of two sums over at least two clusters,
// also one above 1.
func (c Clusters) linearisedVariance(population int) float64 {
	m, n := float64(c.Count), float64(c.Examined)
	residual, _ := new(big.Float).SetInt(c.residualSquares()).Float64()
	left := 1.0
	if population > 0 {
		left = float64(population-c.Count) / float64(population)
	}
	return left * m / (m - 1) * (residual / n / n / n / n)
}

// residualSquares is N² sum (x-pn)² = N² Σx² - 2NX Σnx + X² Σn², in whole numbers
// because the difference of such large terms would be lost in rounding.
func (c Clusters) residualSquares() *big.Int {
	n, x := big.NewInt(int64(c.Examined)), big.NewInt(int64(c.Infested))
	term := func(factor, a, b *big.Int, sum int) *big.Int {
		product := new(big.Int).Mul(a, b)
		product.Mul(product, factor)
		return product.Mul(product, big.NewInt(int64(sum)))
	}
	total := term(big.NewInt(1), n, n, c.InfestedSquared)
	total.Add(total, term(big.NewInt(-2), n, x, c.Cross))
	return total.Add(total, term(big.NewInt(1), x, x, c.ExaminedSquared))
}

// KishDesignEffect is by how much clusters of unequal size widen the variance of
// a share when any two units of a cluster are correlated by icc, 0 to 1:
// 1 + (Σn²/Σn - 1) icc, at least 1. The size in it is the mean size of the
// cluster a unit stands in, which is more than the mean size of the clusters.
// Errors are [domain.Faults].
// Kish (1965), Survey Sampling, section 5.4; for unequal sizes Donner, Birkett
// and Buck (1981), Am. J. Epidemiol. 114:906-914.
func (c Clusters) KishDesignEffect(icc float64) (float64, error) {
	var args arguments
	args.clusters(c)
	args.correlation(icc)
	if err := args.Err(); err != nil {
		return 0, err
	}
	return c.kishDesignEffect(icc), nil
}

func (c Clusters) kishDesignEffect(icc float64) float64 {
	// Whole numbers first: with one unit per cluster the effect is exactly 1.
	return 1 + float64(c.ExaminedSquared-c.Examined)/float64(c.Examined)*icc
}

func (a *arguments) correlation(icc float64) {
	if !(icc >= 0 && icc <= 1) {
		a.Add("/icc", CodeOutOfRange, "is %v, must be from 0 to 1; a negative estimate counts as 0", icc)
	}
}

// clusters refuses sums that no clusters can have, by the inequality of Cauchy
// and Schwarz and by 0 <= x <= n, 1 <= n.
func (a *arguments) clusters(c Clusters) {
	before := len(a.Faults)
	a.someExamined(c.Examined)
	a.infestedOf(c.Examined, c.Infested)
	if len(a.Faults) > before {
		return
	}
	if c.Count < 1 || c.Count > c.Examined {
		a.Add("/count", CodeOutOfRange, "is %d, must be from 1 to the %d units examined", c.Count, c.Examined)
		return
	}
	m, n, x := c.Count, c.Examined, c.Infested
	ordered := n <= c.ExaminedSquared && x <= c.InfestedSquared &&
		c.InfestedSquared <= c.Cross && c.Cross <= c.ExaminedSquared &&
		float64(c.ExaminedSquared) <= float64(n)*float64(n)
	if !ordered ||
		!squareAtMost(n, m, c.ExaminedSquared) ||
		!squareAtMost(x, m, c.InfestedSquared) ||
		!squareAtMost(c.Cross, c.ExaminedSquared, c.InfestedSquared) ||
		c.residualSquares().Sign() < 0 {
		a.Add("/clusters", CodeContradiction, "no clusters have these sums")
	}
}

// squareAtMost tells whether a² <= b c.
func squareAtMost(a, b, c int) bool {
	square := new(big.Int).Mul(big.NewInt(int64(a)), big.NewInt(int64(a)))
	return square.Cmp(new(big.Int).Mul(big.NewInt(int64(b)), big.NewInt(int64(c)))) <= 0
}

// StandardError is the square root of the variance.
func (r RatioEstimate) StandardError() float64 { return math.Sqrt(r.Variance) }
