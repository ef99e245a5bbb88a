package stats

import "math"

// UpperLimitForZero is the share that zero finds among examined units (1 to
// LargestCount) do not exceed at the one-sided confidence (above 0, below 1),
// when the lot is far larger than the sample: 1-(1-confidence)^(1/examined).
// Errors are [domain.Faults].
// One-sided form of Clopper and Pearson (1934).
func UpperLimitForZero(examined int, confidence float64) (float64, error) {
	var args arguments
	args.someExamined(examined)
	args.confidence(confidence)
	if err := args.Err(); err != nil {
		return 0, err
	}
	return -math.Expm1(math.Log1p(-confidence) / float64(examined)), nil
}

// UpperLimitForZeroInLot is the largest share of a lot (1 to LargestCount units)
// that zero finds among its examined units leave open at the one-sided
// confidence. The next larger share, one unit more, is what [DetectableLevel]
// rules out. With the whole lot examined it is 0. Errors are [domain.Faults].
func UpperLimitForZeroInLot(lot, examined int, confidence float64) (float64, error) {
	level, err := DetectableLevel(lot, examined, confidence, 1)
	if err != nil {
		return 0, err
	}
	return float64(level.InfestedUnits-1) / float64(lot), nil
}
