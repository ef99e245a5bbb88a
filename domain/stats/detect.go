package stats

import "math"

// Reason says why a sample cannot show what is asked of it.
type Reason string

// The reasons; empty when the sample can.
const (
	// ReasonNoInfestedUnit: the level is less than one unit of the lot.
	ReasonNoInfestedUnit Reason = CodeNoInfestedUnit
	// ReasonSensitivityTooLow: even with every unit examined, too many infested ones are overlooked.
	ReasonSensitivityTooLow Reason = "sensitivity_too_low"
	// ReasonSampleTooSmall: even if every unit were infested, the sample could overlook it.
	ReasonSampleTooSmall Reason = "sample_too_small"
)

// Detection is the sample to take so that an infestation at a given level shows
// itself, in at least one recognised unit, with a given confidence.
type Detection struct {
	Units         int  // to examine, 1 to the lot; 0 when not attainable
	InfestedUnits int  // in a lot at exactly that level, rounded down
	Attainable    bool // whether any sample of the lot will do
	Reason        Reason
	Method        Method
	// ConfidenceReached is what the sample gives, or when it is not attainable
	// what examining the whole lot would give.
	ConfidenceReached float64
}

// SampleSizeToDetect finds the smallest sample, drawn at random without
// replacement from a lot of 1 to LargestCount units, that contains and
// recognises at least one infested unit with the confidence (above 0, below 1)
// if the lot is infested at the detection level (above 0, at most 1).
// Sensitivity is the chance that an infested unit in the sample is recognised,
// SmallestSensitivity to 1. Errors are [domain.Faults]; that no sample will do is
// not an error but told in the result.
//
// ISPM 31 (FAO/IPPC, 2008), appendix 2, with the infested units rounded down and
// an exact tie counted as met. Unlike the standard's shortcut, sensitivity is not
// multiplied into the level: the chance to overlook all D infested units of N is
// the sum over i of P(i infested in the sample of n) (1-sensitivity)^i.
func SampleSizeToDetect(lot int, detection, confidence, sensitivity float64) (Detection, error) {
	var args arguments
	args.lot(lot)
	args.detection(detection)
	args.confidence(confidence)
	args.sensitivity(sensitivity)
	if err := args.Err(); err != nil {
		return Detection{}, err
	}

	result := Detection{
		InfestedUnits: unitsAt(lot, detection),
		Method:        detectionMethod(sensitivity),
	}
	if result.InfestedUnits == 0 {
		result.Reason = ReasonNoInfestedUnit
		return result, nil
	}
	units, found := smallestSample(lot, result.InfestedUnits, confidence, sensitivity)
	if !found {
		result.Reason = ReasonSensitivityTooLow
		result.ConfidenceReached = confidenceOf(lot, result.InfestedUnits, lot, sensitivity)
		return result, nil
	}
	result.Units, result.Attainable = units, true
	result.ConfidenceReached = confidenceOf(lot, result.InfestedUnits, units, sensitivity)
	return result, nil
}

// ConfidenceReached is the confidence, 0 to 1, that a finished sample of examined
// units (0 to the lot) would have shown an infestation at the detection level.
// The ranges are those of [SampleSizeToDetect]; a level of less than one unit of
// the lot is a fault, for there is nothing to detect.
func ConfidenceReached(lot, examined int, detection, sensitivity float64) (float64, error) {
	var args arguments
	args.lot(lot)
	args.examinedOf(lot, examined)
	args.detection(detection)
	args.sensitivity(sensitivity)
	if err := args.Err(); err != nil {
		return 0, err
	}
	infested := unitsAt(lot, detection)
	if infested == 0 {
		args.Add("/detection", CodeNoInfestedUnit, "is %v, less than one of the %d units", detection, lot)
		return 0, args.Err()
	}
	return confidenceOf(lot, infested, examined, sensitivity), nil
}

// Level is the smallest infestation of a lot that a sample without a find rules
// out: the lot has fewer infested units than this.
type Level struct {
	InfestedUnits int     // 1 to the lot; 0 when not attainable
	Share         float64 // InfestedUnits of the lot, 0 to 1
	Attainable    bool    // whether the sample rules out anything at all
	Reason        Reason
	Method        Method
}

// DetectableLevel finds the smallest level that zero finds among the examined
// units (1 to the lot) rule out with the confidence. The ranges are those of
// [SampleSizeToDetect], whose answer for this level is at most examined. Errors
// are [domain.Faults].
func DetectableLevel(lot, examined int, confidence, sensitivity float64) (Level, error) {
	var args arguments
	args.lot(lot)
	args.someExamined(examined)
	if examined != 0 {
		args.examinedOf(lot, examined)
	}
	args.confidence(confidence)
	args.sensitivity(sensitivity)
	if err := args.Err(); err != nil {
		return Level{}, err
	}
	result := Level{Method: detectionMethod(sensitivity)}
	// A sample of n meets D infested units as D drawn units would meet n marked
	// ones, so the level is found like a sample size, with the two exchanged.
	infested, found := smallestSample(lot, examined, confidence, sensitivity)
	if !found {
		result.Reason = ReasonSampleTooSmall
		return result, nil
	}
	result.InfestedUnits, result.Attainable = infested, true
	result.Share = float64(infested) / float64(lot)
	return result, nil
}

func detectionMethod(sensitivity float64) Method {
	if sensitivity == 1 {
		return MethodHypergeometric
	}
	return MethodHypergeometricSensitivity
}

// unitsAt rounds lot*level down. A level given in decimals or as a quotient is
// seldom exact in binary (0.29*100 is 28.999...), so a product within the
// rounding of two divisions of a whole number is that number.
func unitsAt(lot int, level float64) int {
	const slack = 1e-15
	product := float64(lot) * level
	whole := math.Round(product)
	if math.Abs(math.FMA(float64(lot), level, -whole)) <= slack*whole {
		return int(whole)
	}
	return int(product)
}
