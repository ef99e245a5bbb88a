package stats

import "math"

// LargestDegree is the largest temperature accepted, above and below zero, in the
// degrees of either scale.
const LargestDegree = 1000

// SineDegreeDays are the degree-days of one day between two thresholds, with the
// temperature taken as one sine wave from the day's minimum to its maximum, and
// growth that above the upper threshold goes on as fast as at it (horizontal
// cutoff). An upper threshold of +Inf is none. All temperatures are in one scale,
// and so is the result: a degree-day Fahrenheit is 5/9 of one Celsius. Minimum is
// at most maximum, lower below upper, all within LargestDegree of zero. Errors
// are [domain.Faults].
// Baskerville and Emin (1969), Ecology 50:514-517; horizontal cutoff as in Zalom
// et al. (1983), University of California Leaflet 21373.
func SineDegreeDays(minimum, maximum, lower, upper float64) (float64, error) {
	var args arguments
	args.day(minimum, maximum)
	args.degree("/lower", lower)
	if !math.IsInf(upper, 1) {
		args.degree("/upper", upper)
	}
	if lower >= upper {
		args.Add("/upper", CodeOutOfRange, "is %v, must be above the lower threshold %v", upper, lower)
	}
	if err := args.Err(); err != nil {
		return 0, err
	}
	return math.Max(sineAbove(minimum, maximum, lower)-sineAbove(minimum, maximum, upper), 0), nil
}

// sineAbove is the area of the sine wave above a threshold, in degree-days.
func sineAbove(minimum, maximum, threshold float64) float64 {
	mean, swing := minimum/2+maximum/2, maximum/2-minimum/2
	switch {
	case threshold >= maximum:
		return 0
	case threshold <= minimum:
		return mean - threshold
	}
	height := math.Max(-1, math.Min((threshold-mean)/swing, 1))
	area := swing / math.Pi * (math.Sqrt((1-height)*(1+height)) - height*math.Acos(height))
	return math.Max(0, math.Min(area, maximum-threshold))
}

// AverageDegreeDays are the degree-days of one day by which the mean of its
// minimum and maximum stands above the base; none when it stands below. Of the
// two readings of the average method this is the one that compares the mean with
// the base, and leaves a minimum below the base as it is. There is no upper
// threshold. Scale, ranges and errors are those of [SineDegreeDays].
// McMaster and Wilhelm (1997), Agric. For. Meteorol. 87:291-300, method 1.
func AverageDegreeDays(minimum, maximum, base float64) (float64, error) {
	var args arguments
	args.day(minimum, maximum)
	args.degree("/base", base)
	if err := args.Err(); err != nil {
		return 0, err
	}
	return math.Max((minimum+maximum)/2-base, 0), nil
}

func (a *arguments) day(minimum, maximum float64) {
	a.degree("/minimum", minimum)
	a.degree("/maximum", maximum)
	if minimum > maximum {
		a.Add("/maximum", CodeOutOfRange, "is %v, must be at least the minimum %v", maximum, minimum)
	}
}

func (a *arguments) degree(path string, degree float64) {
	if !(math.Abs(degree) <= LargestDegree) {
		a.Add(path, CodeOutOfRange, "is %v, must be from %d to %d", degree, -LargestDegree, LargestDegree)
	}
}
