package stats

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

const (
	mostSteps    = 200
	mostHalvings = 40
	mostStalls   = 3
	closeEnough  = 1e-10 // change of a log odds, relative to its size where that is above 1
	almostClose  = 1e-3  // the same, where rounding leaves nothing to gain
	leastPureGap = 1e-9  // share that a group without a find, or without a free unit, still leaves unexplained
	leastMove    = 1e-5  // part of the largest change of a log odds that counts as none
)

// slope is one place on the likelihood of a logistic model, on a logarithmic
// scale, with Jeffreys' penalty or without.
type slope struct {
	at             []float64 // coordinates in the basis of the design
	logOdds        []float64 // of the groups
	infested, free []float64 // shares of the groups, free = 1 - infested without its rounding
	height         float64
	inverse        *mat.SymDense // of the information, in the basis; nil where it cannot be had
	leverage       []float64     // of the groups, with the penalty only
}

// look gives the place at the coordinates; false where the penalty is infinite.
func (d *design) look(at []float64, penalised bool) (*slope, bool) {
	s := &slope{at: at}
	for i, p := range d.counts {
		eta := dot(d.basis[i], at)
		s.logOdds = append(s.logOdds, eta)
		s.infested = append(s.infested, 1/(1+math.Exp(-eta)))
		s.free = append(s.free, 1/(1+math.Exp(eta)))
		s.height -= float64(p.Infested)*softplus(-eta) + float64(p.free().Infested)*softplus(eta)
	}
	s.leverage = make([]float64, len(d.counts))
	var root mat.Cholesky
	if positive := root.Factorize(d.information(s, len(at))); !positive {
		return s, !penalised && finite(s.height)
	}
	s.inverse = new(mat.SymDense)
	if err := root.InverseTo(s.inverse); err != nil && penalised {
		return s, false
	}
	if penalised {
		s.height += root.LogDet() / 2
		for i, p := range d.counts {
			weight := float64(p.Examined) * s.infested[i] * s.free[i]
			s.leverage[i] = weight * mat.Inner(mat.NewVecDense(len(at), d.basis[i]), s.inverse, mat.NewVecDense(len(at), d.basis[i]))
		}
	}
	return s, finite(s.height)
}

// information is the expected information of the first coordinates; the leverage
// adds what the penalty adds to the counts.
func (d *design) information(s *slope, size int) *mat.SymDense {
	sum := make([]float64, size*size)
	for i, p := range d.counts {
		weight := (float64(p.Examined) + s.leverage[i]) * s.infested[i] * s.free[i]
		for j := range size {
			for k := j; k < size; k++ {
				sum[j*size+k] += weight * d.basis[i][j] * d.basis[i][k]
			}
		}
	}
	return mat.NewSymDense(size, sum)
}

// step is a Newton step of the first coordinates, and what it does to the log
// odds of the groups. The penalised score is that of Heinze and Schemper (2002),
// Stat. Med. 21:2409-2419, section 2: y - n p + h (1/2 - p).
func (d *design) step(s *slope, size int) (step, moves []float64, ok bool) {
	score := make([]float64, size)
	for i, p := range d.counts {
		rest := float64(p.Infested)*s.free[i] - float64(p.free().Infested)*s.infested[i] + s.leverage[i]*(s.free[i]-s.infested[i])/2
		for j := range size {
			score[j] += rest * d.basis[i][j]
		}
	}
	step = make([]float64, len(s.at))
	if size > 0 {
		var root mat.Cholesky
		if positive := root.Factorize(d.information(s, size)); !positive {
			return nil, nil, false
		}
		solution := mat.NewVecDense(size, step[:size])
		if err := root.SolveVecTo(solution, mat.NewVecDense(size, score)); err != nil && !finite(step...) {
			return nil, nil, false
		}
	}
	moves = make([]float64, len(d.counts))
	for i := range d.counts {
		moves[i] = dot(d.basis[i], step)
	}
	return step, moves, finite(step...) && finite(moves...)
}

// climb goes from the coordinates to the maximum over the first size of them and
// says in how many steps. The error is a fault with CodeSeparated, which only the
// likelihood without a penalty can meet, or CodeNotConverged.
func (d *design) climb(from []float64, size int, penalised bool) (*slope, int, error) {
	s, ok := d.look(from, penalised)
	if !ok {
		return nil, 0, notConverged(0)
	}
	var lastMoves []float64
	lastDistance, stalls := math.Inf(1), 0
	for steps := 1; steps <= mostSteps; steps++ {
		step, moves, ok := d.step(s, size)
		if !ok {
			if !penalised && d.away(lastMoves) {
				return nil, steps, separated()
			}
			return nil, steps, notConverged(steps)
		}
		lastMoves = moves
		if !penalised && d.away(moves) && d.explained(s, moves) {
			return nil, steps, separated()
		}
		distance := largestMove(moves, s.logOdds)
		next, ok := d.higher(s, step, penalised)
		if ok && next.height <= s.height+rounding(s.height) && distance > lastDistance/2 {
			stalls++
		} else {
			stalls = 0
		}
		lastDistance = distance
		switch {
		case ok && next.inverse != nil && (distance <= closeEnough || distance <= almostClose && stalls >= mostStalls):
			return next, steps, nil
		case !ok && distance <= almostClose && s.inverse != nil:
			return s, steps, nil
		case !ok:
			return nil, steps, notConverged(steps)
		}
		s = next
	}
	return nil, mostSteps, notConverged(mostSteps)
}

// higher takes the step, or the largest of its halves that does not lead down.
func (d *design) higher(s *slope, step []float64, penalised bool) (*slope, bool) {
	part := 1.0
	for range mostHalvings {
		at := make([]float64, len(step))
		for j := range at {
			at[j] = s.at[j] + part*step[j]
		}
		if next, ok := d.look(at, penalised); ok && next.height >= s.height-rounding(s.height) {
			return next, true
		}
		part /= 2
	}
	return nil, false
}

// away reports whether one may go on in the direction of the moves for ever: no
// group without a find is made likelier to have one, none without a free unit
// likelier to have one, and the groups with both stay. That is separation, complete
// or not, as Albert and Anderson (1984), Biometrika 71:1-10, define it.
func (d *design) away(moves []float64) bool {
	largest := 0.0
	for _, move := range moves {
		largest = math.Max(largest, math.Abs(move))
	}
	if largest < 0.1 { // near a maximum the steps vanish, on the way to infinity they stay near 1
		return false
	}
	for i, move := range moves {
		up, down := move > leastMove*largest, move < -leastMove*largest
		if up && d.counts[i].Infested < d.counts[i].Examined || down && d.counts[i].Infested > 0 {
			return false
		}
	}
	return true
}

// explained reports whether the groups that move have next to nothing to gain.
func (d *design) explained(s *slope, moves []float64) bool {
	largest := 0.0
	for _, move := range moves {
		largest = math.Max(largest, math.Abs(move))
	}
	for i, move := range moves {
		gap := math.Min(s.infested[i], s.free[i])
		if math.Abs(move) > leastMove*largest && gap > leastPureGap {
			return false
		}
	}
	return true
}

// rounding is what a height can be wrong by.
func rounding(height float64) float64 { return 1e-13 * (1 + math.Abs(height)) }

func separated() error {
	var args arguments
	args.Add(pathGroups, CodeSeparated, "the terms tell some groups with no infested, or only infested, units from all others: the likelihood has no maximum and the coefficients no finite estimate")
	return args.Err()
}

func notConverged(steps int) error {
	var args arguments
	args.Add(pathGroups, CodeNotConverged, "no maximum was found in %d steps", steps)
	return args.Err()
}

func largestMove(moves, logOdds []float64) float64 {
	largest := 0.0
	for i, move := range moves {
		largest = math.Max(largest, math.Abs(move)/(1+math.Abs(logOdds[i])))
	}
	return largest
}

// softplus is log(1 + exp(x)).
func softplus(x float64) float64 {
	return math.Max(x, 0) + math.Log1p(math.Exp(-math.Abs(x)))
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

func finite(values ...float64) bool {
	for _, value := range values {
		if math.IsNaN(value) || math.IsInf(value, 0) {
			return false
		}
	}
	return true
}
