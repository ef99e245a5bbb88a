package stats

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Spread is how much the counts scatter about a fit.
type Spread struct {
	Dispersion float64 // of the variance, as a multiple of the binomial variance; 0 where DF is 0
	DF         int
	ExactDF    int // more degrees of freedom, of cells that the fit meets exactly
}

// Spread is Pearson's estimate of the dispersion. Cells with the same levels of the
// named factors are summed first: with all factors of the model this is the usual
// estimate, with fewer it also holds what such cells have in common beyond the
// model. Cells that the fit meets exactly because their levels have none or all
// infested have no variance to compare with; they stay out of the estimate and of
// its degrees of freedom. McCullagh and Nelder (1989), section 4.5.2.
func (f FactorFit) Spread(factors ...int) Spread {
	type sums struct{ rest, variance float64 }
	var inner []Cell
	unitOf, all := combinations(f.cells, factors)
	units := map[int]*sums{}
	for i, c := range f.cells {
		examined := float64(c.Examined)
		if examined*math.Min(f.Shares[i], f.free[i]) < leastExpected {
			continue
		}
		inner = append(inner, c)
		unit := units[unitOf[i]]
		if unit == nil {
			unit = &sums{}
			units[unitOf[i]] = unit
		}
		unit.rest += float64(c.Infested)*f.free[i] - float64(c.free().Infested)*f.Shares[i]
		unit.variance += examined * f.Shares[i] * f.free[i]
	}
	left := func(units int, cells []Cell) int {
		rows, columns := indicators(cells, factors)
		_, rank := independent(rows, columns)
		return units - rank
	}
	s := Spread{DF: left(len(units), inner)}
	s.ExactDF = left(all, f.cells) - s.DF
	if s.DF == 0 {
		return s
	}
	for unit := range all { // in this order, so that rounding is always the same
		if u := units[unit]; u != nil {
			s.Dispersion += u.rest * u.rest / u.variance / float64(s.DF)
		}
	}
	return s
}

// RatioTail is the probability that a ratio of two independent mean squares with
// df and restDF degrees of freedom (each at least 1) is above f: Fisher's F.
// Abramowitz and Stegun (1964), Handbook of Mathematical Functions, 26.6.2.
func RatioTail(f float64, df, restDF int) float64 {
	if !(f > 0) {
		return 1
	}
	named, rest := float64(df), float64(restDF)
	return mathext.RegIncBeta(rest/2, named/2, rest/(rest+named*f))
}
