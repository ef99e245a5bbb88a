package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Bounds of a fit of factors.
const (
	MostCells  = 100_000
	MostLevels = 1000 // of all factors of a model together
)

const (
	pathCells     = "/cells"
	closeDeviance = 1e-7 // what a step gains, where a fit ends with it
	leastExpected = 1e-6 // units infested, or free; a cell that expects fewer is met exactly
)

// Cell is a count and its level of each factor.
type Cell struct {
	Levels     []int // one number for each factor; the numbers only tell levels apart
	Proportion       // at least 1 examined
}

// FactorFit is a binomial logistic model in which each level of each of its
// factors moves the log odds by an amount of its own.
type FactorFit struct {
	Deviance float64
	Rank     int       // coefficients that the cells can tell apart, the common one among them
	Shares   []float64 // fitted share infested of each cell, from 0 to 1
	Steps    int
	cells    []Cell
	free     []float64 // 1 - Shares, without its rounding
}

// FitFactors fits the log odds of being infested as a sum of the levels of the
// named factors (counted from 0; none for one share of all cells) by iteratively
// reweighted least squares, McCullagh and Nelder (1989), Generalized Linear
// Models, 2nd ed., section 4.4. Errors are [domain.Faults].
//
// Levels that follow from others are left out, so that Rank is what the factors
// really add. Levels where none or all are infested have no finite coefficient
// (Albert and Anderson 1984, Biometrika 71:1-10), but the likelihood has a finite
// supremum and so the deviance a finite limit. Each step comes nearer to it by a
// factor of about e; the fit ends where a step gains less than 1e-7. No level has
// to be merged and no count made up, so differences of deviances are what they
// would be without such levels.
func FitFactors(cells []Cell, factors ...int) (FactorFit, error) {
	var args arguments
	args.cells(cells, factors)
	if err := args.Err(); err != nil {
		return FactorFit{}, err
	}
	sums, of := merged(cells, factors)
	rows, columns := indicators(sums, factors)
	if columns > MostLevels {
		args.Add(pathCells, CodeOutOfRange, "have %d levels, must be at most %d", columns, MostLevels)
		return FactorFit{}, args.Err()
	}
	rows, rank := independent(rows, columns)
	fit := FactorFit{Rank: rank, cells: sums}
	if err := fit.climb(rows); err != nil {
		return FactorFit{}, err
	}
	return fit.spreadOver(cells, of), nil
}

// climb goes to the maximum of the likelihood, or as near to its supremum as
// makes no difference.
func (f *FactorFit) climb(rows [][]int) error {
	at := make([]float64, f.Rank)
	f.meet(rows, at)
	for f.Steps = 1; f.Steps <= mostSteps; f.Steps++ {
		step, gain, ok := f.step(rows)
		if !ok {
			break
		}
		down := f.descend(rows, at, step)
		switch {
		case gain <= closeDeviance, !down && gain <= almostClose:
			return nil
		case !down:
			return notConverged(f.Steps)
		}
	}
	return notConverged(f.Steps)
}

// spreadOver turns the fit of sums into that of the cells they are made of, each
// of which went into the sum of that number.
func (f FactorFit) spreadOver(cells []Cell, of []int) FactorFit {
	whole := FactorFit{Rank: f.Rank, Steps: f.Steps, cells: cells}
	for i, c := range cells {
		whole.Shares = append(whole.Shares, f.Shares[of[i]])
		whole.free = append(whole.free, f.free[of[i]])
		whole.Deviance += c.deviance(f.Shares[of[i]], f.free[of[i]])
	}
	return whole
}

// meet fits the shares and the deviance to the coefficients.
func (f *FactorFit) meet(rows [][]int, at []float64) {
	f.Shares, f.free = make([]float64, len(rows)), make([]float64, len(rows))
	f.Deviance = 0
	for i, row := range rows {
		logOdds := sumOf(at, row)
		f.Shares[i], f.free[i] = 1/(1+math.Exp(-logOdds)), 1/(1+math.Exp(logOdds))
		f.Deviance += f.cells[i].deviance(f.Shares[i], f.free[i])
	}
}

// step is a Newton step of the coefficients, and what it would take off the
// deviance if that were a parabola. Where rounding takes the information its
// inverse, its diagonal is raised a little.
func (f *FactorFit) step(rows [][]int) (step []float64, gain float64, ok bool) {
	information := mat.NewSymDense(f.Rank, nil)
	raw := information.RawSymmetric()
	score := make([]float64, f.Rank)
	for i, row := range rows {
		c := f.cells[i]
		rest := float64(c.Infested)*f.free[i] - float64(c.free().Infested)*f.Shares[i]
		weight := float64(c.Examined) * f.Shares[i] * f.free[i]
		for k, one := range row {
			score[one] += rest
			for _, other := range row[k:] { // columns ascend in a row
				raw.Data[one*raw.Stride+other] += weight
			}
		}
	}
	step = make([]float64, f.Rank)
	usual := information.Trace() / float64(f.Rank)
	for raised := 0.0; raised < 1e-3; raised = math.Max(1e-12, 100*raised) {
		for j := range f.Rank {
			information.SetSym(j, j, information.At(j, j)+raised*(information.At(j, j)+usual))
		}
		var root mat.Cholesky
		if positive := root.Factorize(information); !positive {
			continue
		}
		if err := root.SolveVecTo(mat.NewVecDense(f.Rank, step), mat.NewVecDense(f.Rank, score)); (err == nil || raised > 0) && finite(step...) {
			return step, dot(step, score), true
		}
	}
	return nil, 0, false
}

// descend takes the step, or the largest of its halves that does not raise the
// deviance; false where none does, and then it stays.
func (f *FactorFit) descend(rows [][]int, at, step []float64) bool {
	before := *f
	part := 1.0
	for range mostHalvings {
		next := make([]float64, len(at))
		for j := range at {
			next[j] = at[j] + part*step[j]
		}
		if f.meet(rows, next); f.Deviance <= before.Deviance+rounding(before.Deviance) {
			copy(at, next)
			return true
		}
		part /= 2
	}
	*f = before
	return false
}

func (a *arguments) cells(cells []Cell, factors []int) {
	if len(cells) == 0 || len(cells) > MostCells {
		a.Add(pathCells, CodeOutOfRange, "are %d, must be from 1 to %d", len(cells), MostCells)
		return
	}
	for i, c := range cells {
		path := fmt.Sprintf("%s/%d", pathCells, i)
		a.count(path, c.Proportion)
		if len(c.Levels) != len(cells[0].Levels) {
			a.Add(path+"/levels", CodeUnequalTerms, "are %d, must be %d as in the first cell", len(c.Levels), len(cells[0].Levels))
		}
	}
	a.terms(factors, len(cells[0].Levels))
}
