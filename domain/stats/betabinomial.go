package stats

import (
	"fmt"
	"math"
)

// Codes of the faults of a beta-binomial fit.
const (
	CodeTooFewGroups     = "too_few_groups"
	CodeNoSpread         = "no_spread"          // the groups differ no more than counting alone explains
	CodeNoFiniteEstimate = "no_finite_estimate" // the groups differ so much that they tell nothing about each other
)

// Bounds of the parameters of a [BetaBinomial].
const (
	SmallestBeta = 1e-6
	LargestBeta  = 1e9
)

// BetaBinomial is how the true shares of groups spread: as Beta(Alpha, Beta),
// each from SmallestBeta to LargestBeta.
type BetaBinomial struct{ Alpha, Beta float64 }

// Shrunken is what is known of the share of one group when it is taken as one of
// many: its own count pulled towards the mean of all.
type Shrunken struct {
	Share float64 // posterior mean, between the group's own share and the mean of all
	SD    float64 // of the posterior
	Interval
}

// BetaBinomialByMoments makes the mean and the variance of the groups' shares
// those of the distribution; with few units a group it overstates the spread, as
// the noise of counting stays in. Groups are 2 to MostGroups. Errors are
// [domain.Faults], with CodeNoSpread and CodeNoFiniteEstimate for groups all alike
// and groups all empty or full.
// Gelman et al. (2013), Bayesian Data Analysis, 3rd ed., section 5.1.
func BetaBinomialByMoments(groups []Proportion) (BetaBinomial, error) {
	var args arguments
	args.several(groups)
	if err := args.Err(); err != nil {
		return BetaBinomial{}, err
	}
	mean, squares := 0.0, 0.0
	for i, p := range groups { // Welford (1962), Technometrics 4:419-420
		gap := p.share() - mean
		mean += gap / float64(i+1)
		squares += gap * (p.share() - mean)
	}
	variance := squares / float64(len(groups)-1)
	if variance <= 1e-15 {
		return BetaBinomial{}, noSpread()
	}
	weight := mean*(1-mean)/variance - 1
	return estimate(mean*weight, (1-mean)*weight)
}

// BetaBinomialByLikelihood maximises the likelihood of the counts, with which a
// group weighs as much as it tells. Groups are 2 to MostGroups. Errors are
// [domain.Faults]: CodeNoSpread where the likelihood rises towards one share for
// all groups (Tarone 1979, Biometrika 66:585-590), CodeNoFiniteEstimate where it
// rises towards groups all empty or full, CodeNotConverged.
// Griffiths (1973), Biometrics 29:637-648.
func BetaBinomialByLikelihood(groups []Proportion) (BetaBinomial, error) {
	var args arguments
	args.several(groups)
	if err := args.Err(); err != nil {
		return BetaBinomial{}, err
	}
	pooled := pool(groups).share()
	if !spread(groups, pooled) {
		return BetaBinomial{}, noSpread()
	}
	at, err := betaBinomialMaximum(groups, [2]float64{math.Log(pooled / (1 - pooled)), math.Log(10)})
	if err != nil {
		return BetaBinomial{}, err
	}
	return estimate(betaParameters(at))
}

// Mean is the share that groups have on average, 0 to 1.
func (b BetaBinomial) Mean() float64 { return b.Alpha / (b.Alpha + b.Beta) }

// Posterior is what is known of the share of a group with the count, with an
// equal-tailed interval at the confidence, above 0 and below 1. Errors are
// [domain.Faults].
// Gelman et al. (2013), section 5.1: Beta(Alpha + infested, Beta + free).
func (b BetaBinomial) Posterior(p Proportion, confidence float64) (Shrunken, error) {
	var args arguments
	b.check(&args)
	p.check(&args)
	args.confidence(confidence)
	if err := args.Err(); err != nil {
		return Shrunken{}, err
	}
	up, down := b.Alpha+float64(p.Infested), b.Beta+float64(p.free().Infested)
	tail := (1 - confidence) / 2
	lower := betaQuantile(up, down, tail)
	return Shrunken{
		Share:    up / (up + down),
		SD:       math.Sqrt(up / (up + down) * (down / (up + down)) / (up + down + 1)),
		Interval: Interval{Lower: lower, Upper: math.Max(lower, 1-betaQuantile(down, up, tail))},
	}, nil
}

func (b BetaBinomial) check(args *arguments) {
	if !(b.Alpha >= SmallestBeta && b.Alpha <= LargestBeta) {
		args.Add("/alpha", CodeOutOfRange, "is %v, must be from %v to %v", b.Alpha, SmallestBeta, LargestBeta)
	}
	if !(b.Beta >= SmallestBeta && b.Beta <= LargestBeta) {
		args.Add("/beta", CodeOutOfRange, "is %v, must be from %v to %v", b.Beta, SmallestBeta, LargestBeta)
	}
}

// spread reports whether the likelihood rises when 1/(alpha + beta) leaves 0: the
// slope there is half the sum of y(y-1)/p + (n-y)(n-y-1)/(1-p) - n(n-1).
func spread(groups []Proportion, pooled float64) bool {
	if pooled <= 0 || pooled >= 1 {
		return false
	}
	sum, size := 0.0, 0.0
	for _, p := range groups {
		n, y, rest := float64(p.Examined), float64(p.Infested), float64(p.free().Infested)
		sum += y*(y-1)/pooled + rest*(rest-1)/(1-pooled) - n*(n-1)
		size += n * n
	}
	return sum > 1e-12*size
}

func pool(groups []Proportion) Proportion {
	var all Proportion
	for _, p := range groups {
		all.Examined += p.Examined
		all.Infested += p.Infested
	}
	return all
}

func estimate(alpha, beta float64) (BetaBinomial, error) {
	b := BetaBinomial{alpha, beta}
	var args arguments
	if !(alpha <= LargestBeta && beta <= LargestBeta) {
		return BetaBinomial{}, noSpread()
	}
	if !(alpha >= SmallestBeta && beta >= SmallestBeta) {
		args.Add(pathGroups, CodeNoFiniteEstimate, "nearly all groups are empty or full, so that they tell nothing about each other")
		return BetaBinomial{}, args.Err()
	}
	return b, nil
}

func noSpread() error {
	var args arguments
	args.Add(pathGroups, CodeNoSpread, "the groups differ no more than counting alone explains: one share fits all")
	return args.Err()
}

func (a *arguments) several(groups []Proportion) {
	if len(groups) > MostGroups {
		a.Add(pathGroups, CodeOutOfRange, "are %d, must be from 2 to %d", len(groups), MostGroups)
		return
	}
	if len(groups) < 2 {
		a.Add(pathGroups, CodeTooFewGroups, "are %d, must be from 2 to %d", len(groups), MostGroups)
	}
	for i, p := range groups {
		a.count(fmt.Sprintf("%s/%d", pathGroups, i), p)
	}
}
