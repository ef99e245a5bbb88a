package stats

import "math"

// LargestMaximum is the largest number of units after which stop lines may end.
const LargestMaximum = 5000

// FinestStep is the smallest accepted share, risk and distance between the two
// shares of stop lines. Finer ones would ask for more units than are ever looked at.
const FinestStep = 1e-6

// StopLine tells, once so many units have been examined, with how many infested
// ones the looking can stop.
type StopLine struct {
	Examined       int // 1 to the maximum
	BelowIfAtMost  int // -1 while no count is low enough
	AboveIfAtLeast int // Examined+1 while no count is high enough
}

// StopLines are a sequential test of whether a share lies nearer to an acceptable
// or to an action level: units are examined one by one until a line is met.
type StopLines struct {
	Slope          float64 // infested units per unit examined, of both lines
	BelowIntercept float64 // infested units, below 0
	AboveIntercept float64 // infested units, above 0
	Lines          []StopLine
	// BelowAtMaximum ends a test that has met no line by the maximum: at most so
	// many infested units count as below, more as above. It is the slope times the
	// maximum, rounded down, the count at which both levels are equally likely.
	BelowAtMaximum int
}

// NewStopLines lays Wald's sequential probability ratio test for an acceptable
// and a higher action share, both from FinestStep to 1-FinestStep and at least
// FinestStep apart. Alpha is the risk of ending above when the share is
// acceptable, beta that of ending below when it is at the action level; both from
// FinestStep to below 1/2, and both nominal: see [StopLines.Operating] for what
// the lines do. Maximum is 1 to LargestMaximum units. A count on a line has met
// it. Errors are [domain.Faults].
// Wald (1947), Sequential Analysis, section 5.3; section 3.8 for the end at a maximum.
func NewStopLines(acceptable, action, alpha, beta float64, maximum int) (StopLines, error) {
	var args arguments
	args.level("/acceptable", acceptable)
	args.level("/action", action)
	if len(args.Faults) == 0 && !(action-acceptable >= FinestStep) {
		args.Add("/action", CodeOutOfRange, "is %v, must be at least %v above the acceptable %v", action, FinestStep, acceptable)
	}
	args.risk("/alpha", alpha)
	args.risk("/beta", beta)
	args.maximum(maximum)
	if err := args.Err(); err != nil {
		return StopLines{}, err
	}

	infested, sound := math.Log(action/acceptable), math.Log1p(-acceptable)-math.Log1p(-action)
	s := StopLines{
		Slope:          sound / (infested + sound),
		BelowIntercept: (math.Log(beta) - math.Log1p(-alpha)) / (infested + sound),
		AboveIntercept: (math.Log1p(-beta) - math.Log(alpha)) / (infested + sound),
		Lines:          make([]StopLine, maximum),
	}
	for i := range s.Lines {
		n := i + 1
		middle := s.Slope * float64(n)
		below := max(wholeBelow(s.BelowIntercept+middle), -1)
		above := -wholeBelow(-s.AboveIntercept - middle)
		// With risks near 1/2 the lines lie so close that rounding could join them.
		s.Lines[i] = StopLine{n, below, min(max(above, below+1), n+1)}
	}
	s.BelowAtMaximum = wholeBelow(s.Slope * float64(maximum))
	return s, nil
}

// Operating gives what the lines do where the true share is p (0 to 1): the
// chance to end below, and the number of units examined on average. Both are
// exact, from the chances of every count not yet on a line, unit by unit; Wald's
// own formulas leave out how far a count oversteps a line. Errors are
// [domain.Faults].
func (s StopLines) Operating(p float64) (probabilityBelow, averageExamined float64, err error) {
	var args arguments
	args.maximum(len(s.Lines))
	if !(p >= 0 && p <= 1) {
		args.Add("/p", CodeOutOfRange, "is %v, must be from 0 to 1", p)
	}
	if err := args.Err(); err != nil {
		return 0, 0, err
	}

	open := make([]float64, len(s.Lines)+1) // the chance of every count not yet on a line
	open[0] = 1
	low, high := 0, 0
	for i, line := range s.Lines {
		for count := low; count <= high; count++ {
			averageExamined += open[count]
		}
		high = min(high+1, i+1)
		for count := high; count > low; count-- {
			open[count] = open[count]*(1-p) + open[count-1]*p
		}
		open[low] *= 1 - p
		for ; low <= high && low <= line.BelowIfAtMost; low++ {
			probabilityBelow += open[low]
			open[low] = 0
		}
		for ; high >= low && high >= line.AboveIfAtLeast; high-- {
			open[high] = 0
		}
		if low > high {
			break
		}
	}
	for count := low; count <= min(high, s.BelowAtMaximum); count++ {
		probabilityBelow += open[count]
	}
	return math.Min(probabilityBelow, 1), math.Min(averageExamined, float64(len(s.Lines))), nil
}

// wholeBelow rounds down, but a number within rounding of a whole one is that one.
func wholeBelow(x float64) int {
	whole := math.Round(x)
	if math.Abs(x-whole) <= tieSlack*math.Max(1, math.Abs(whole)) {
		return int(whole)
	}
	return int(math.Floor(x))
}

func (a *arguments) level(path string, level float64) {
	if !(level >= FinestStep && level <= 1-FinestStep) {
		a.Add(path, CodeOutOfRange, "is %v, must be from %v to %v", level, FinestStep, 1-FinestStep)
	}
}

func (a *arguments) risk(path string, risk float64) {
	if !(risk >= FinestStep && risk < 0.5) {
		a.Add(path, CodeOutOfRange, "is %v, must be from %v to below 0.5", risk, FinestStep)
	}
}

func (a *arguments) maximum(maximum int) {
	if maximum < 1 || maximum > LargestMaximum {
		a.Add("/maximum", CodeOutOfRange, "is %d, must be from 1 to %d", maximum, LargestMaximum)
	}
}
