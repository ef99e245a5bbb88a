package advice

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"benchtrail/domain/stats"
	"benchtrail/domain/trend"
)

// morePlants gives how many more plants could settle at best whether a point lies
// below or above so many percent, and how many would if the share stays as it is.
// Each is 0 when it is not known or would be more than stats.MostToSettle. Neither is
// more than the plants left standing, where those are known: having looked at all of
// them settles it, and 0 then means that none is left.
//
// Settles says which outcome of the fewest settles it; it is unset where they are all
// that is left, or no fewer than the likely number.
//
// A further plant tells as little as those before it did: the sums are done on
// the effective numbers and come back multiplied by the design effect.
func morePlants(p trend.Point, percent float64) (fewest, likely int, settles Outcome) {
	effective, effect := p.Effective, p.DesignEffect
	if !(effective > 0) {
		effective = float64(p.Plants)
	}
	if !(effect >= 1) {
		effect = 1
	}
	if !(effective > 0) || !(percent > 0) || !(percent < 100) {
		return 0, 0, ""
	}
	left := math.Inf(1)
	if p.StandingPlants > 0 {
		left = math.Max(float64(p.StandingPlants-p.Plants), 0)
	}
	more := func(inAll float64) int {
		n := math.Min(math.Max(math.Ceil((inAll-effective)*effect), 1), left)
		if !(n < stats.MostToSettle) {
			return 0
		}
		return int(n)
	}
	if n, outcome := settledAtBest(p.Percent/100, effective, percent/100); !math.IsInf(n, 0) && !math.IsNaN(n) {
		if fewest = more(n); float64(fewest) < left {
			settles = outcome
		}
	}
	if n, ok := settledAsItIs(p.Percent/100, percent/100); ok {
		likely = more(n)
	}
	if likely > 0 && (fewest == 0 || likely < fewest) {
		fewest, settles = likely, ""
	}
	if fewest == 0 {
		settles = ""
	}
	return fewest, likely, settles
}

// settledAsItIs is stats.ExaminedToSettle for a share that is no ratio of two counts.
func settledAsItIs(share, limit float64) (float64, bool) {
	z := distuv.UnitNormal.Quantile(1 - (1-trend.Confidence)/2)
	n := z * z * limit * (1 - limit) / ((share - limit) * (share - limit))
	if !(n < stats.MostToSettle) {
		return 0, false
	}
	return math.Floor(n) + 1, true
}

// settledAtBest is how many plants in all leave the limit outside Wilson's
// interval when every further one is free, or every further one is infested, which
// ever takes fewer. With x infested of n so far and c² = z² L (1-L), N plants of
// which x are infested lie below L when L N - c √N - x > 0, and the other way round
// with the free plants and 1-L (the score test of [stats.ExaminedToSettle]).
func settledAtBest(share, plants, limit float64) (inAll float64, by Outcome) {
	c := distuv.UnitNormal.Quantile(1-(1-trend.Confidence)/2) * math.Sqrt(limit*(1-limit))
	without := func(against, limit float64) float64 {
		root := (c + math.Sqrt(c*c+4*limit*against)) / (2 * limit)
		return math.Max(math.Floor(root*root)+1, plants)
	}
	free, full := without(share*plants, limit), without((1-share)*plants, 1-limit)
	if full < free {
		return full, AllInfested
	}
	return free, NoneInfested
}
