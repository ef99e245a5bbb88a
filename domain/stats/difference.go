package stats

import "math"

// Difference is by how much the first of two shares stands above the second,
// each number from -1 to 1, and negative where it stands below.
type Difference struct{ Observed, Lower, Upper float64 }

// NewcombeDifference is the first share less the second, of two independent
// counts, with its interval at a two-sided confidence above 0 and below 1: the
// distances from each share to the ends of its [Wilson] interval, put together
// like the sides of a right angle. Errors are [domain.Faults], with the paths of
// the counts under /first and /second.
// Method 10 in Newcombe (1998), Stat. Med. 17:873-890.
func NewcombeDifference(first, second Proportion, confidence float64) (Difference, error) {
	var args arguments
	args.part("/first", first.check)
	args.part("/second", second.check)
	args.confidence(confidence)
	if err := args.Err(); err != nil {
		return Difference{}, err
	}
	a, err := Wilson(first, confidence)
	if err != nil {
		return Difference{}, err
	}
	b, err := Wilson(second, confidence)
	if err != nil {
		return Difference{}, err
	}
	p, q := first.share(), second.share()
	return Difference{
		Observed: p - q,
		Lower:    math.Max(p-q-math.Hypot(p-a.Lower, b.Upper-q), -1),
		Upper:    math.Min(p-q+math.Hypot(a.Upper-p, q-b.Lower), 1),
	}, nil
}

// part checks one of several arguments of a kind, and puts its path first.
func (a *arguments) part(path string, check func(*arguments)) {
	var inner arguments
	check(&inner)
	for _, fault := range inner.Faults {
		fault.Path = path + fault.Path
		a.Faults = append(a.Faults, fault)
	}
}
