package stats

// SmallestLiving is the smallest density, other than none, that efficacy is
// worked out from; the largest is LargestCount.
const SmallestLiving = 1e-9

// CodeNothingToCompare marks an untreated control, or a start, without anything
// living: there is nothing to measure a treatment against.
const CodeNothingToCompare = "nothing_to_compare"

// Abbott is the part of what would have lived that the treatment killed, at most
// 1, from what lives afterwards in the treated group and in the untreated
// control: shares or densities (0 or SmallestLiving to LargestCount) of groups
// that started alike. It is negative when more lives where it was treated. Errors
// are [domain.Faults].
// Abbott (1925), J. Econ. Entomol. 18:265-267: (control - treated) / control.
func Abbott(treated, control float64) (float64, error) {
	var args arguments
	args.living("/treated", treated)
	args.someLiving("/control", control)
	if err := args.Err(); err != nil {
		return 0, err
	}
	return (control - treated) / control, nil
}

// BeforeAfter is what lived in a treated group and in an untreated control before
// and after the treatment, as counts of equal effort, shares or densities, each 0
// or SmallestLiving to LargestCount.
type BeforeAfter struct {
	TreatedBefore, TreatedAfter float64
	ControlBefore, ControlAfter float64
}

// HendersonTilton is the part that the treatment killed, at most 1, corrected for
// a start that was not alike and for what the control did meanwhile. It is
// negative when the treated group did worse than the control. Only TreatedAfter
// may be 0. Errors are [domain.Faults].
// Henderson and Tilton (1955), J. Econ. Entomol. 48:157-161:
// 1 - (treated after / treated before) (control before / control after).
func HendersonTilton(b BeforeAfter) (float64, error) {
	var args arguments
	args.someLiving("/treated_before", b.TreatedBefore)
	args.living("/treated_after", b.TreatedAfter)
	args.someLiving("/control_before", b.ControlBefore)
	args.someLiving("/control_after", b.ControlAfter)
	if err := args.Err(); err != nil {
		return 0, err
	}
	return 1 - b.TreatedAfter/b.TreatedBefore*(b.ControlBefore/b.ControlAfter), nil
}

func (a *arguments) living(path string, living float64) {
	if living != 0 && !(living >= SmallestLiving && living <= LargestCount) {
		a.Add(path, CodeOutOfRange, "is %v, must be 0 or from %v to %d", living, SmallestLiving, LargestCount)
	}
}

func (a *arguments) someLiving(path string, living float64) {
	if living == 0 {
		a.Add(path, CodeNothingToCompare, "nothing lived there, so there is nothing to compare with")
		return
	}
	a.living(path, living)
}
