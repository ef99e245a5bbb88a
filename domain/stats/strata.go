package stats

import (
	"cmp"
	"slices"
	"strconv"
)

// MostStrata is the largest number of parts a sample is shared out over.
const MostStrata = 10_000

// SharedOut says how many of the units (0 to the sum of the sizes) to take from
// every stratum of a mixed consignment, in proportion to the strata's sizes: each
// gets its quota rounded down, and the units left over go one by one to the
// largest remainders, of equal ones to the larger stratum and then to the first.
// No stratum is asked for more than it has. A small one can get nothing, and then
// the sample says nothing of it alone; one unit more can even take one from it.
// Sizes are 1 to MostStrata, each from 0, and 1 to LargestCount together. Errors
// are [domain.Faults].
// Proportional allocation: Cochran (1977), Sampling Techniques, chapter 5; largest
// remainders: Balinski and Young (1982), Fair Representation.
func SharedOut(units int, sizes []int) ([]int, error) {
	var args arguments
	total := args.strata(sizes)
	if len(args.Faults) == 0 && (units < 0 || units > total) {
		args.Add("/units", CodeOutOfRange, "is %d, must be from 0 to the %d of all strata", units, total)
	}
	if err := args.Err(); err != nil {
		return nil, err
	}
	taken, order, left := make([]int, len(sizes)), make([]int, len(sizes)), units
	for i, size := range sizes {
		taken[i], order[i] = units*size/total, i
		left -= taken[i]
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(
			cmp.Compare(units*sizes[b]%total, units*sizes[a]%total),
			cmp.Compare(sizes[b], sizes[a]),
		)
	})
	for _, i := range order[:left] {
		taken[i]++
	}
	return taken, nil
}

// strata checks the sizes and adds them up.
func (a *arguments) strata(sizes []int) (total int) {
	if len(sizes) < 1 || len(sizes) > MostStrata {
		a.Add("/sizes", CodeOutOfRange, "are %d, must be from 1 to %d", len(sizes), MostStrata)
		return 0
	}
	for i, size := range sizes {
		if size < 0 || size > LargestCount {
			a.Add("/sizes/"+strconv.Itoa(i), CodeOutOfRange, "is %d, must be from 0 to %d", size, LargestCount)
			continue
		}
		total += size
	}
	if len(a.Faults) == 0 && (total < 1 || total > LargestCount) {
		a.Add("/sizes", CodeOutOfRange, "add up to %d, must be from 1 to %d", total, LargestCount)
	}
	return total
}
