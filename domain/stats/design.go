package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Bounds of a design.
const (
	MostGroups  = 2000
	MostTerms   = 20
	LargestTerm = 1e9 // in size
)

// Codes of the faults of a fitted model.
const (
	CodeUnequalTerms = "unequal_terms"   // the groups do not all have the same number of terms
	CodeNoSuchTerm   = "no_such_term"    // or it is named twice
	CodeCollinear    = "collinear_terms" // one term can be had from the others, or is always 0
	CodeSeparated    = "separated"       // the terms tell groups without or full of infested units from the others, so that the likelihood has no maximum
	CodeNotConverged = "not_converged"   // the search for the maximum was given up
	CodeNoDispersion = "no_dispersion"   // the groups leave nothing to estimate the dispersion from
	leastIndependent = 1e-8              // of a term's length, what the other terms must leave over
	leastTerm        = 1e-9              // in size; a term that is smaller in all groups counts as 0
	pathGroups       = "/groups"         // of a fault of all groups together
	pathTerms        = "/terms"          // of a fault of the named terms
)

// Group is a count and what is known of the units counted: one number for each
// term of the model. An intercept is a term that is 1 in every group.
type Group struct {
	Terms      []float64 // 1 to MostTerms, each at most LargestTerm in size
	Proportion           // at least 1 examined
}

// design is the groups with their terms turned into a basis that is orthonormal
// when every examined unit counts once: terms = basis * root, with root upper
// triangular. How terms are scaled, or nearly explain each other, then does not
// touch the search, and the last term is fixed by fixing the last coordinate.
type design struct {
	counts []Proportion
	basis  [][]float64
	root   *mat.Dense
	order  []int // the term in each column of root
}

// newDesign puts the named terms last.
func newDesign(groups []Group, last ...int) (*design, error) {
	var args arguments
	args.design(groups)
	if args.Err() == nil {
		args.terms(last, len(groups[0].Terms))
	}
	if err := args.Err(); err != nil {
		return nil, err
	}
	d := &design{order: lastly(len(groups[0].Terms), last)}
	weighted := mat.NewDense(max(len(groups), len(d.order)), len(d.order), nil)
	for i, g := range groups {
		d.counts = append(d.counts, g.Proportion)
		for column, term := range d.order {
			weighted.Set(i, column, g.Terms[term]*math.Sqrt(float64(g.Examined)))
		}
	}
	var qr mat.QR
	qr.Factorize(weighted)
	d.root = new(mat.Dense)
	qr.RTo(d.root)
	for column, term := range d.order {
		length := mat.Norm(weighted.ColView(column), 2)
		if math.Abs(d.root.At(column, column)) <= leastIndependent*length || idle(groups, term) {
			args.Add(fmt.Sprintf("%s/%d", pathTerms, term), CodeCollinear, "follows from the other terms, or is 0 in all groups")
		}
	}
	for i := range groups {
		d.basis = append(d.basis, d.coordinates(groups[i].Terms))
	}
	return d, args.Err()
}

// coordinates solves row * root = terms.
func (d *design) coordinates(terms []float64) []float64 {
	row := make([]float64, len(d.order))
	for column, term := range d.order {
		rest := terms[term]
		for k := range column {
			rest -= row[k] * d.root.At(k, column)
		}
		row[column] = rest / d.root.At(column, column)
	}
	return row
}

// coefficients turns coordinates of the basis into coefficients of the terms.
func (d *design) coefficients(at []float64) []float64 {
	coefficients := make([]float64, len(at))
	solved := make([]float64, len(at))
	for row := len(at) - 1; row >= 0; row-- {
		rest := at[row]
		for k := row + 1; k < len(at); k++ {
			rest -= d.root.At(row, k) * solved[k]
		}
		solved[row] = rest / d.root.At(row, row)
		coefficients[d.order[row]] = solved[row]
	}
	return coefficients
}

// covariance turns the inverse information of the basis into the covariance of
// the coefficients.
func (d *design) covariance(inverse *mat.SymDense) [][]float64 {
	size := len(d.order)
	half := make([][]float64, size) // line k: the coefficients that go with row k of the inverse
	for k := range size {
		half[k] = d.coefficients(mat.Row(nil, k, inverse))
	}
	covariance := make([][]float64, size)
	for term := range size {
		column := make([]float64, size)
		for k := range size {
			column[k] = half[k][term]
		}
		covariance[term] = d.coefficients(column)
	}
	for i := range size {
		for j := range i {
			covariance[i][j] = covariance[j][i]
		}
	}
	return covariance
}

// logRoot is the logarithm of the size of the determinant of root.
func (d *design) logRoot() float64 {
	sum := 0.0
	for k := range d.order {
		sum += math.Log(math.Abs(d.root.At(k, k)))
	}
	return sum
}

func idle(groups []Group, term int) bool {
	for _, g := range groups {
		if math.Abs(g.Terms[term]) >= leastTerm {
			return false
		}
	}
	return true
}

func lastly(terms int, last []int) []int {
	moved := make([]bool, terms)
	for _, term := range last {
		moved[term] = true
	}
	var order []int
	for term := range terms {
		if !moved[term] {
			order = append(order, term)
		}
	}
	return append(order, last...)
}

func (a *arguments) design(groups []Group) {
	if len(groups) == 0 || len(groups) > MostGroups {
		a.Add(pathGroups, CodeOutOfRange, "are %d, must be from 1 to %d", len(groups), MostGroups)
		return
	}
	if terms := len(groups[0].Terms); terms == 0 || terms > MostTerms {
		a.Add(pathGroups+"/0/terms", CodeOutOfRange, "are %d, must be from 1 to %d", terms, MostTerms)
		return
	}
	for i, g := range groups {
		path := fmt.Sprintf("%s/%d", pathGroups, i)
		a.count(path, g.Proportion)
		if len(g.Terms) != len(groups[0].Terms) {
			a.Add(path+"/terms", CodeUnequalTerms, "are %d, must be %d as in the first group", len(g.Terms), len(groups[0].Terms))
		}
		for j, value := range g.Terms {
			if !(math.Abs(value) <= LargestTerm) {
				a.Add(fmt.Sprintf("%s/terms/%d", path, j), CodeOutOfRange, "is %v, must be at most %v in size", value, LargestTerm)
			}
		}
	}
}

// count checks one count among several.
func (a *arguments) count(path string, p Proportion) {
	var one arguments
	p.check(&one)
	for _, fault := range one.Faults {
		fault.Path = path + fault.Path
		a.Faults = append(a.Faults, fault)
	}
}

func (a *arguments) terms(named []int, terms int) {
	seen := make([]bool, terms)
	for i, term := range named {
		if term < 0 || term >= terms || seen[term] {
			a.Add(fmt.Sprintf("%s/%d", pathTerms, i), CodeNoSuchTerm, "is %d, must be one of the %d terms, counted from 0, and named once", term, terms)
			continue
		}
		seen[term] = true
	}
}

// someTerms is for a test, which needs something to test.
func (a *arguments) someTerms(named []int) {
	if len(named) == 0 {
		a.Add(pathTerms, CodeNoSuchTerm, "none is named")
	}
}
