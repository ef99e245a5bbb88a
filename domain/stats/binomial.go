package stats

import "math"

// ReasonSampleTooLarge says that more than LargestCount units would be needed.
const ReasonSampleTooLarge Reason = "sample_too_large"

// SampleSizeToDetectWithoutLot is [SampleSizeToDetect] for a lot far larger than
// the sample, or of unknown size: the smallest n with
// (1-sensitivity*detection)^n <= 1-confidence, an exact tie counted as met. The
// ranges are the same, and InfestedUnits is 0, for there is no lot to count them
// in. Errors are [domain.Faults]; a sample above LargestCount is told in the result.
// ISPM 31 (FAO/IPPC, 2008), appendix 3.
func SampleSizeToDetectWithoutLot(detection, confidence, sensitivity float64) (Detection, error) {
	var args arguments
	args.detection(detection)
	args.confidence(confidence)
	args.sensitivity(sensitivity)
	if err := args.Err(); err != nil {
		return Detection{}, err
	}
	result := Detection{Method: MethodBinomial}
	missed := math.Log1p(-sensitivity * detection) // by one unit
	units := math.Log1p(-confidence) / missed
	if !(units <= LargestCount) {
		result.Reason = ReasonSampleTooLarge
		result.ConfidenceReached = -math.Expm1(LargestCount * missed)
		return result, nil
	}
	result.Units, result.Attainable = max(-wholeBelow(-units), 1), true
	result.ConfidenceReached = -math.Expm1(float64(result.Units) * missed)
	return result, nil
}
