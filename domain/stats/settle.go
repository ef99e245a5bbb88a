package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// MostToSettle is where more looking is no longer an answer.
const MostToSettle = 10_000

// ExaminedToSettle gives how many units in all must be examined so that, if the
// share found so far stays as it is, Wilson's interval at the confidence no
// longer holds the limit. It is false when the share lies on the limit or so
// near to it that more than MostToSettle units would be needed.
//
// Wilson's interval is the score test turned round (Wilson 1927, JASA
// 22:209-212): it leaves the limit L out when n (p - L)^2 > z^2 L (1 - L).
func ExaminedToSettle(p Proportion, limit, confidence float64) (int, bool) {
	if p.Examined <= 0 || limit <= 0 || limit >= 1 || confidence <= 0 || confidence >= 1 {
		return 0, false
	}
	z := distuv.UnitNormal.Quantile(1 - (1-confidence)/2)
	gap := float64(p.Infested)/float64(p.Examined) - limit
	n := z * z * limit * (1 - limit) / (gap * gap)
	if !(n < MostToSettle) {
		return 0, false
	}
	return max(p.Examined, int(math.Floor(n))+1), true
}
