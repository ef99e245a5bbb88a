package stats

import "benchtrail/domain"

// LargestCount is the largest lot, and the largest number of units examined,
// that is accepted.
const LargestCount = 1_000_000_000

// SmallestSensitivity is the smallest accepted chance that an examined infested
// unit is recognised. Below it a look is no inspection, and the sum over what
// can be missed would grow without bound.
const SmallestSensitivity = 0.01

// The codes of this package's faults. The paths are the arguments: /lot,
// /examined, /infested, /detection, /confidence, /sensitivity.
const (
	CodeOutOfRange      = "out_of_range"
	CodeNothingExamined = "nothing_examined"
	CodeNoInfestedUnit  = "no_infested_unit" // the level is less than one unit of the lot
)

// arguments gathers what is wrong with the arguments of one call. Comparisons
// are written so that a NaN fails them.
type arguments struct{ domain.Faults }

func (a *arguments) lot(lot int) {
	if lot < 1 || lot > LargestCount {
		a.Add("/lot", CodeOutOfRange, "is %d, must be from 1 to %d", lot, LargestCount)
	}
}

func (a *arguments) examinedOf(lot, examined int) {
	if examined < 0 || examined > lot {
		a.Add("/examined", CodeOutOfRange, "is %d, must be from 0 to the %d of the lot", examined, lot)
	}
}

func (a *arguments) someExamined(examined int) {
	switch {
	case examined == 0:
		a.Add("/examined", CodeNothingExamined, "nothing was examined, so nothing can be said")
	case examined < 0 || examined > LargestCount:
		a.Add("/examined", CodeOutOfRange, "is %d, must be from 1 to %d", examined, LargestCount)
	}
}

func (a *arguments) infestedOf(examined, infested int) {
	if infested < 0 || infested > examined {
		a.Add("/infested", CodeOutOfRange, "is %d, must be from 0 to the %d examined", infested, examined)
	}
}

func (a *arguments) detection(level float64) {
	if !(level > 0 && level <= 1) {
		a.Add("/detection", CodeOutOfRange, "is %v, must be above 0 and at most 1", level)
	}
}

func (a *arguments) confidence(confidence float64) {
	if !(confidence > 0 && confidence < 1) {
		a.Add("/confidence", CodeOutOfRange, "is %v, must be above 0 and below 1", confidence)
	}
}

func (a *arguments) sensitivity(sensitivity float64) {
	if !(sensitivity >= SmallestSensitivity && sensitivity <= 1) {
		a.Add("/sensitivity", CodeOutOfRange, "is %v, must be from %v to 1", sensitivity, SmallestSensitivity)
	}
}
