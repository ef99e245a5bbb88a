package stats

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// CodeTooFew marks a list too short to compare anything.
const CodeTooFew = "too_few"

// SmallExpected is the expected count below which the chi-square distribution no
// longer describes Pearson's statistic well; below it use [FisherExact] where
// there are two groups. Fisher's rule of five; Cochran (1954), Biometrics
// 10:417-451, is more lenient.
const SmallExpected = 5

// LargestScore is the largest size of a score or of its negative.
const LargestScore = 1e9

// ChiSquare is the outcome of Pearson's test. P is the chance, 0 to 1, of a
// statistic at least as large where rows and columns have nothing to do with each
// other.
type ChiSquare struct {
	Statistic, P     float64
	DegreesOfFreedom int // 0 when there is nothing to compare; then P is 1
	SmallestExpected float64
	// Rough says that a count below SmallExpected was expected, so that P is only
	// a rough guide.
	Rough bool
}

// PearsonChiSquare tests whether the columns of a table of counts have the same
// shares in each row. Rows are of equal length, counts from 0 to LargestCount;
// empty rows and columns are left out, for they tell nothing. There is no
// correction for continuity. Errors are [domain.Faults].
// Pearson (1900), Phil. Mag. 50:157-175.
func PearsonChiSquare(table [][]int) (ChiSquare, error) {
	var args arguments
	for i, row := range table {
		if len(row) != len(table[0]) {
			args.Add(fmt.Sprintf("/table/%d", i), CodeOutOfRange, "has %d counts, the first row has %d", len(row), len(table[0]))
		}
		for j, count := range row {
			if count < 0 || count > LargestCount {
				args.Add(fmt.Sprintf("/table/%d/%d", i, j), CodeOutOfRange, "is %d, must be from 0 to %d", count, LargestCount)
			}
		}
	}
	if err := args.Err(); err != nil {
		return ChiSquare{}, err
	}
	return pearson(table), nil
}

// Homogeneity is [PearsonChiSquare] for groups with an infested and a free count:
// whether all may have the same share. Errors are [domain.Faults].
func Homogeneity(groups []Proportion) (ChiSquare, error) {
	var args arguments
	args.groups(groups)
	if err := args.Err(); err != nil {
		return ChiSquare{}, err
	}
	table := make([][]int, len(groups))
	for i, p := range groups {
		table[i] = []int{p.Infested, p.free().Infested}
	}
	return pearson(table), nil
}

func pearson(table [][]int) ChiSquare {
	var rows, columns []float64
	total := 0.0
	for _, row := range table {
		if columns == nil {
			columns = make([]float64, len(row))
		}
		sum := 0.0
		for j, count := range row {
			sum += float64(count)
			columns[j] += float64(count)
		}
		rows = append(rows, sum)
		total += sum
	}
	var observed, expected []float64
	smallest := math.Inf(1)
	for i, row := range rows {
		for j, column := range columns {
			if row > 0 && column > 0 {
				e := row / total * column
				observed, expected = append(observed, float64(table[i][j])), append(expected, e)
				smallest = math.Min(smallest, e)
			}
		}
	}
	df := (filled(rows) - 1) * (filled(columns) - 1)
	if len(observed) == 0 {
		return ChiSquare{P: 1, Rough: true}
	}
	result := ChiSquare{P: 1, DegreesOfFreedom: df, SmallestExpected: smallest, Rough: smallest < SmallExpected}
	if df > 0 {
		result.Statistic = stat.ChiSquare(observed, expected)
		result.P = distuv.ChiSquared{K: float64(df)}.Survival(result.Statistic)
	}
	return result
}

func filled(sums []float64) int {
	n := 0
	for _, sum := range sums {
		if sum > 0 {
			n++
		}
	}
	return n
}

// Trend is the outcome of the test for a trend in shares. Statistic is Z², with
// one degree of freedom; Z is above 0 when the share rises with the score. P is
// two-sided, 0 to 1.
type Trend struct{ Z, Statistic, P float64 }

// CochranArmitage tests whether the shares of at least two groups rise or fall
// along their scores (dates, doses, ranks), from -LargestScore to LargestScore
// and not all equal. When none or all units are infested there is no trend: Z is
// 0 and P is 1. Errors are [domain.Faults].
//
// Cochran (1954), Biometrics 10:417-451; Armitage (1955), Biometrics 11:375-386;
// with the variance p(1-p) of all units, without the factor N/(N-1).
func CochranArmitage(groups []Proportion, scores []float64) (Trend, error) {
	var args arguments
	args.groups(groups)
	args.scores(scores, len(groups))
	if err := args.Err(); err != nil {
		return Trend{}, err
	}
	whole := pooled(groups)
	// Shifted and scaled to 0..1, scores of any unit keep their digits.
	low, high := scores[0], scores[0]
	for _, s := range scores {
		low, high = math.Min(low, s), math.Max(high, s)
	}
	unit := func(i int) float64 { return (scores[i] - low) / (high - low) }
	mean := 0.0
	for i, p := range groups {
		mean += float64(p.Examined) * unit(i)
	}
	mean /= float64(whole.Examined)
	var slope, spread float64
	for i, p := range groups {
		gap := unit(i) - mean
		slope += (float64(p.Infested) - float64(p.Examined)*whole.share()) * gap
		spread += float64(p.Examined) * gap * gap
	}
	variance := whole.share() * whole.free().share() * spread
	if !(variance > 0) {
		return Trend{P: 1}, nil
	}
	z := slope / math.Sqrt(variance)
	return Trend{Z: z, Statistic: z * z, P: math.Erfc(math.Abs(z) / math.Sqrt2)}, nil
}

func (a *arguments) groups(groups []Proportion) {
	if len(groups) < 2 {
		a.Add("/groups", CodeTooFew, "are %d, at least 2 are needed to compare", len(groups))
	}
	a.eachProportion("/groups", groups)
}

func (a *arguments) scores(scores []float64, groups int) {
	if len(scores) != groups {
		a.Add("/scores", CodeOutOfRange, "are %d, there are %d groups", len(scores), groups)
	}
	differ := false
	for i, s := range scores {
		if !(math.Abs(s) <= LargestScore) {
			a.Add(fmt.Sprintf("/scores/%d", i), CodeOutOfRange, "is %v, must be from %v to %v", s, -LargestScore, LargestScore)
		}
		differ = differ || s != scores[0]
	}
	if len(scores) > 1 && !differ {
		a.Add("/scores", CodeOutOfRange, "are all equal, so there is nothing to rise along")
	}
}

// BenjaminiHochberg adjusts the P values (0 to 1) of several tests, in their
// order: calling found what has an adjusted value of at most q keeps the expected
// part of false findings among the findings at q, for independent tests. Errors
// are [domain.Faults].
// Benjamini and Hochberg (1995), J. R. Stat. Soc. B 57:289-300.
func BenjaminiHochberg(p []float64) ([]float64, error) {
	var args arguments
	for i, value := range p {
		if !(value >= 0 && value <= 1) {
			args.Add(fmt.Sprintf("/p/%d", i), CodeOutOfRange, "is %v, must be from 0 to 1", value)
		}
	}
	if err := args.Err(); err != nil {
		return nil, err
	}
	order := make([]int, len(p))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(i, j int) bool { return p[order[i]] < p[order[j]] })
	adjusted := make([]float64, len(p))
	least := 1.0
	for rank := len(p); rank > 0; rank-- {
		i := order[rank-1]
		least = math.Min(least, p[i]*(float64(len(p))/float64(rank)))
		adjusted[i] = least
	}
	return adjusted, nil
}

// pooled is all the units of several counts together.
func pooled(counts []Proportion) Proportion {
	var whole Proportion
	for _, p := range counts {
		whole.Examined += p.Examined
		whole.Infested += p.Infested
	}
	return whole
}
