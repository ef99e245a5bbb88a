package stats

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

const (
	mostBetaSteps = 500
	mostDamping   = 1e12
)

// betaPlace is one place on the beta-binomial likelihood.
type betaPlace struct {
	height float64 // log-likelihood without binomial coefficients
	slope  [2]float64
	bend   [3]float64 // second derivatives: first twice, mixed, second twice
}

// betaBinomialMaximum climbs from the log odds of the mean and the logarithm of
// alpha + beta by Newton steps, damped until they lead up (Marquardt 1963, J. Soc.
// Ind. Appl. Math. 11:431-441). On the way to a parameter out of its bounds it
// stops there.
func betaBinomialMaximum(groups []Proportion, at [2]float64) ([2]float64, error) {
	here := lookBeta(groups, at)
	damping := 1e-3
	for range mostBetaSteps {
		size := math.Abs(here.bend[0]) + math.Abs(here.bend[2]) + 1e-300
		next, there, moved := at, here, 0.0
		for ; damping <= mostDamping; damping *= 10 {
			step, ok := dampedStep(here, damping*size)
			if !ok {
				continue
			}
			next = [2]float64{at[0] + step[0], at[1] + step[1]}
			moved = math.Hypot(step[0], step[1])
			there = lookBeta(groups, next)
			if there.height >= here.height-1e-13*math.Abs(here.height) {
				break
			}
		}
		if damping > mostDamping {
			break
		}
		at, here = next, there
		damping = math.Max(damping/100, 1e-15)
		alpha, beta := betaParameters(at)
		if moved <= 1e-10 || math.Min(alpha, beta) < SmallestBeta || math.Max(alpha, beta) > LargestBeta {
			return at, nil
		}
	}
	if math.Hypot(here.slope[0], here.slope[1]) <= 1e-6*float64(len(groups)) { // rounding stopped the climb
		return at, nil
	}
	return at, notConverged(mostBetaSteps)
}

// dampedStep solves (damping - bend) step = slope, false where it would not lead
// up or would lead further than a factor of exp(2).
func dampedStep(p betaPlace, damping float64) ([2]float64, bool) {
	a, b, c := damping-p.bend[0], -p.bend[1], damping-p.bend[2]
	determinant := a*c - b*b
	if !(a > 0 && determinant > 0) {
		return [2]float64{}, false
	}
	step := [2]float64{
		(c*p.slope[0] - b*p.slope[1]) / determinant,
		(a*p.slope[1] - b*p.slope[0]) / determinant,
	}
	return step, math.Abs(step[0]) <= 2 && math.Abs(step[1]) <= 2
}

func lookBeta(groups []Proportion, at [2]float64) betaPlace {
	alpha, beta := betaParameters(at)
	weight := alpha + beta
	place := betaPlace{height: math.Inf(-1)}
	if !(alpha > 0 && beta > 0) || !finite(weight) {
		return place
	}
	var byAlpha, byBeta, twiceAlpha, mixed, twiceBeta float64
	whole, height := mathext.Lbeta(alpha, beta), 0.0
	for _, p := range groups {
		up, down := alpha+float64(p.Infested), beta+float64(p.free().Infested)
		height += mathext.Lbeta(up, down) - whole
		all := mathext.Digamma(weight) - mathext.Digamma(up+down)
		byAlpha += mathext.Digamma(up) - mathext.Digamma(alpha) + all
		byBeta += mathext.Digamma(down) - mathext.Digamma(beta) + all
		both := trigamma(weight) - trigamma(up+down)
		twiceAlpha += trigamma(up) - trigamma(alpha) + both
		twiceBeta += trigamma(down) - trigamma(beta) + both
		mixed += both
	}
	mean, turn := alpha/weight, alpha*(beta/weight)
	place.slope = [2]float64{turn * (byAlpha - byBeta), alpha*byAlpha + beta*byBeta}
	place.bend = [3]float64{
		turn*turn*(twiceAlpha-2*mixed+twiceBeta) + turn*(1-2*mean)*(byAlpha-byBeta),
		turn*(alpha*(twiceAlpha-mixed)+beta*(mixed-twiceBeta)) + turn*(byAlpha-byBeta),
		alpha*alpha*twiceAlpha + 2*alpha*beta*mixed + beta*beta*twiceBeta + place.slope[1],
	}
	if finite(height) && finite(place.slope[:]...) && finite(place.bend[:]...) {
		place.height = height
	}
	return place
}

// trigamma is the second derivative of the logarithm of the gamma function.
func trigamma(x float64) float64 { return mathext.Zeta(2, x) }

// betaParameters gives alpha and beta at the log odds of their mean and the
// logarithm of their sum.
func betaParameters(at [2]float64) (alpha, beta float64) {
	weight := math.Exp(at[1])
	return weight / (1 + math.Exp(-at[0])), weight / (1 + math.Exp(at[0]))
}
