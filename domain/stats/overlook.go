package stats

import "math"

// tieSlack is how far, relatively, a chance may stand above its limit and still
// count as equal to it: wider than the rounding of both, narrower than any
// difference that matters.
const tieSlack = 1e-12

// smallestSample finds the smallest sample of a lot with the given infested units
// that overlooks them all with a chance of at most 1-confidence.
func smallestSample(lot, infested int, confidence, sensitivity float64) (int, bool) {
	limit := math.Log1p(-confidence)
	meets := func(examined int) bool {
		return logOverlookAll(lot, infested, examined, sensitivity) <= limit+tieSlack
	}
	if !meets(lot) {
		return 0, false
	}
	// Drawing with replacement overlooks more (Hoeffding 1963, theorem 4), so its
	// sample size is never too small; one more unit covers the rounding.
	bound := math.Ceil(limit/math.Log1p(-sensitivity*float64(infested)/float64(lot))) + 1
	fails, enough := 0, int(math.Min(bound, float64(lot)))
	for enough-fails > 1 {
		middle := fails + (enough-fails)/2
		if meets(middle) {
			enough = middle
		} else {
			fails = middle
		}
	}
	return enough, true
}

// confidenceOf is the chance that the sample shows at least one infested unit.
func confidenceOf(lot, infested, examined int, sensitivity float64) float64 {
	return -math.Expm1(logOverlookAll(lot, infested, examined, sensitivity))
}

// logOverlookAll is the logarithm of the chance that a random sample shows none
// of the infested units: the sum over i of P(i infested in the sample) times
// (1-sensitivity)^i. It is -Inf when the chance is zero or smaller than the
// smallest float. Arguments are in range.
func logOverlookAll(lot, infested, examined int, sensitivity float64) float64 {
	if infested == 0 || examined == 0 {
		return 0
	}
	if sensitivity == 1 {
		return logNoneDrawn(lot, infested, examined)
	}
	logOverlook := math.Log1p(-sensitivity)
	if infested == lot || examined == lot {
		return float64(min(infested, examined)) * logOverlook
	}
	// The bound of drawing with replacement keeps the sum below short: it never
	// has many more than 745/sensitivity terms.
	n, d, size := float64(examined), float64(infested), float64(lot)
	if math.Min(n*math.Log1p(-sensitivity*d/size), d*math.Log1p(-sensitivity*n/size)) < math.Log(math.SmallestNonzeroFloat64) {
		return math.Inf(-1)
	}

	first := max(0, examined+infested-lot)
	logFirst := logNoneDrawn(lot, infested, examined)
	if first > 0 {
		// So many are drawn that some are infested for certain; the fewest are when
		// the units left behind are all infested, that is, none of them sound.
		logFirst = logNoneDrawn(lot, lot-infested, lot-examined) + float64(first)*logOverlook
	}
	// Terms relative to the first. Each is the one before times a factor that only
	// falls, so past the peak the rest is below a geometric series.
	const negligible, large = 1e-17, 1e250
	overlook := 1 - sensitivity
	term, sum := 1.0, 1.0
	for i := first; i < min(infested, examined); i++ {
		factor := overlook * float64(infested-i) / float64(i+1) *
			float64(examined-i) / float64(lot-infested-examined+i+1)
		term *= factor
		sum += term
		if factor < 1 && term*factor < negligible*sum*(1-factor) {
			break
		}
		if sum > large {
			logFirst += math.Log(sum)
			term, sum = term/sum, 1
		}
	}
	return math.Min(logFirst+math.Log(sum), 0)
}

// logNoneDrawn is ln[C(N-D, n) / C(N, n)], the chance that n units drawn from N
// miss all D marked ones; -Inf when they cannot. Arguments are in range.
//
// Logarithms of the factorials themselves would lose the answer in rounding for
// large lots (ln 1e9! is 2e10). Stirling's series, with N(N-D-n) written as
// (N-D)(N-n) - nD, leaves only terms as small as the answer.
func logNoneDrawn(lot, marked, drawn int) float64 {
	left := lot - marked - drawn
	switch {
	case left < 0:
		return math.Inf(-1)
	case marked == 0 || drawn == 0:
		return 0
	case left == 0: // the series needs a unit left over: draw one fewer, then the last
		return logNoneDrawn(lot, marked, drawn-1) - math.Log(float64(marked+1))
	}
	size, d, n := float64(lot), float64(marked), float64(drawn)
	unmarked, undrawn, rest := size-d, size-n, float64(left)
	main := n*math.Log1p(-d/size) + d*math.Log1p(-n/size) - (rest+0.5)*logRatio(size, d, n)
	series := stirlingError(unmarked) + stirlingError(undrawn) - stirlingError(rest) - stirlingError(size)
	return math.Min(main+series, 0)
}

// logRatio is ln[N(N-D-n) / ((N-D)(N-n))].
func logRatio(size, d, n float64) float64 {
	product := (size - d) * (size - n)
	if 2*n*d < product {
		return math.Log1p(-n * d / product)
	}
	return math.Log(size * (size - d - n) / product)
}

// stirlingError is ln x! less Stirling's (x+1/2) ln x - x + ln(2 pi)/2, for x >= 1.
// Series: Abramowitz and Stegun (1964), 6.1.41, exact to the last digits from 16 on.
func stirlingError(x float64) float64 {
	steps := 0.0
	for ; x < 16; x++ {
		steps += (x+0.5)*math.Log1p(1/x) - 1 // the error at x less that at x+1
	}
	square := x * x
	return (1./12-(1./360-(1./1260-(1./1680-1./1188/square)/square)/square)/square)/x + steps
}
