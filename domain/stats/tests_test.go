package stats_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

func groupsOf(x, n []int) []stats.Proportion {
	groups := make([]stats.Proportion, len(x))
	for i := range x {
		groups[i] = stats.Proportion{Examined: n[i], Infested: x[i]}
	}
	return groups
}

// Fleiss (1981), Statistical Methods for Rates and Proportions, p. 139.
func TestTrendAndHomogeneityAgreeWithFleiss1981(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		X, N      []int
		Scores    []float64
		Test      string
		ChiSq, P  float64
		DF        int
		ZAbs      float64 `json:"z_abs"`
		Published struct{ ChiSq, P float64 }
	}
	var full, printed differences
	for _, c := range published[fileCase](t, "trend_cochran_armitage") {
		var statistic, p float64
		if c.Test == "chisq_homogeneity" {
			got, err := stats.Homogeneity(groupsOf(c.X, c.N))
			require.NoError(t, err)
			require.Equal(t, c.DF, got.DegreesOfFreedom)
			statistic, p = got.Statistic, got.P
		} else {
			got, err := stats.CochranArmitage(groupsOf(c.X, c.N), c.Scores)
			require.NoError(t, err)
			require.Negative(t, got.Z, "the shares fall")
			if c.ZAbs > 0 {
				require.Less(t, full.add(-got.Z/c.ZAbs, 1), 1e-11)
			}
			statistic, p = got.Statistic, got.P
		}
		require.Less(t, full.add(statistic/c.ChiSq, 1), 1e-11, "%+v", c)
		require.Less(t, full.add(p/c.P, 1), 1e-11, "%+v", c)
		require.Less(t, printed.add(statistic/c.Published.ChiSq, 1), 0.5e-4, "%+v", c)
		require.Less(t, printed.add(p/c.Published.P, 1), 1.5e-4, "%+v", c)
	}
	full.log(t, "recomputed, relative")
	printed.log(t, "printed, relative")
}

func TestSmallExpectedCountsAreToldAndWorkedOut(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		X, N        []int
		ChiSq       float64
		DF          int
		P           float64 `json:"p_asymptotic"`
		MinExpected float64 `json:"min_expected"`
	}
	var all differences
	for _, c := range published[fileCase](t, "chisq_small_expected") {
		got, err := stats.Homogeneity(groupsOf(c.X, c.N))
		require.NoError(t, err)
		require.Equal(t, c.DF, got.DegreesOfFreedom)
		require.True(t, got.Rough)
		require.Less(t, all.add(got.Statistic/c.ChiSq, 1), 1e-11)
		require.Less(t, all.add(got.P/c.P, 1), 1e-11)
		require.Less(t, all.add(got.SmallestExpected/c.MinExpected, 1), 1e-11)
	}
	all.log(t, "relative")
}

// Fisher (1935); convicts and twins, Fisher (1962); job satisfaction, Agresti
// (2002), p. 57, here by Pearson's statistic. Printed values are from memory.
func TestFisherAndPearsonAgreeWithTheClassicTables(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		Table     [][]int
		P         float64
		Published struct{ P float64 }
		ChiSq     float64 `json:"pearson_chisq"`
		DF        int     `json:"pearson_df"`
		PearsonP  float64 `json:"pearson_p"`
		Least     float64 `json:"min_expected"`
	}
	var full, printed differences
	for _, c := range published[fileCase](t, "fisher_exact") {
		if len(c.Table) > 2 {
			got, err := stats.PearsonChiSquare(c.Table)
			require.NoError(t, err)
			require.Equal(t, c.DF, got.DegreesOfFreedom)
			require.Less(t, full.add(got.Statistic/c.ChiSq, 1), 1e-11)
			require.Less(t, full.add(got.P/c.PearsonP, 1), 1e-11)
			require.Less(t, full.add(got.SmallestExpected/c.Least, 1), 1e-11)
			continue
		}
		row := func(i int) stats.Proportion {
			return stats.Proportion{Examined: c.Table[i][0] + c.Table[i][1], Infested: c.Table[i][0]}
		}
		got, err := stats.FisherExact(row(0), row(1))
		require.NoError(t, err)
		require.Less(t, full.add(got.P/c.P, 1), 1e-11)
		require.Less(t, printed.add(got.P/c.Published.P, 1), 1e-4)
	}
	tea, err := stats.FisherExact(stats.Proportion{Examined: 4, Infested: 3}, stats.Proportion{Examined: 4, Infested: 1})
	require.NoError(t, err)
	require.Less(t, printed.add(tea.Greater, .2429), 0.5e-4)
	twins, err := stats.FisherExact(stats.Proportion{Examined: 17, Infested: 2}, stats.Proportion{Examined: 13, Infested: 10})
	require.NoError(t, err)
	require.Less(t, printed.add(twins.Less, .0004652), 0.5e-7)
	full.log(t, "recomputed, relative")
	printed.log(t, "printed")
}

// The defining sum in whole numbers, ties included.
func TestFisherAgreesWithExactFractions(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n1, n2 := rapid.IntRange(1, 80).Draw(t, "first"), rapid.IntRange(1, 80).Draw(t, "second")
		x1, x2 := rapid.IntRange(0, n1).Draw(t, "x first"), rapid.IntRange(0, n2).Draw(t, "x second")
		ways := func(x int) *big.Int {
			a := new(big.Int).Binomial(int64(n1), int64(x))
			return a.Mul(a, new(big.Int).Binomial(int64(n2), int64(x1+x2-x)))
		}
		sum, less, greater := new(big.Int), new(big.Int), new(big.Int)
		for x := max(0, x1+x2-n2); x <= min(n1, x1+x2); x++ {
			if ways(x).Cmp(ways(x1)) <= 0 {
				sum.Add(sum, ways(x))
			}
			if x <= x1 {
				less.Add(less, ways(x))
			}
			if x >= x1 {
				greater.Add(greater, ways(x))
			}
		}
		all := new(big.Int).Binomial(int64(n1+n2), int64(x1+x2))
		of := func(part *big.Int) float64 { f, _ := new(big.Rat).SetFrac(part, all).Float64(); return f }
		got, err := stats.FisherExact(stats.Proportion{Examined: n1, Infested: x1}, stats.Proportion{Examined: n2, Infested: x2})
		require.NoError(t, err)
		require.InEpsilon(t, of(sum), got.P, 1e-11)
		require.InEpsilon(t, of(less), got.Less, 1e-11)
		require.InEpsilon(t, of(greater), got.Greater, 1e-11)
	})
}

// With a thousand million in each group the exact test is the normal one: the
// reference is Pearson's chi-square with Yates's correction, (|z| - 1/2) in counts.
func TestFisherIsRightForTheLargestCounts(t *testing.T) {
	t.Parallel()
	const n, x, more = stats.LargestCount, 500_000_000, 50_000
	got, err := stats.FisherExact(stats.Proportion{Examined: n, Infested: x}, stats.Proportion{Examined: n, Infested: x + 2*more})
	require.NoError(t, err)
	z := (more - 0.5) / math.Sqrt(n/8.)
	require.InEpsilon(t, math.Erfc(z/math.Sqrt2), got.P, 1e-4)
	require.InEpsilon(t, math.Erfc(z/math.Sqrt2)/2, got.Less, 1e-4)
	far, err := stats.FisherExact(stats.Proportion{Examined: n}, stats.Proportion{Examined: n, Infested: n})
	require.NoError(t, err)
	require.Equal(t, stats.FisherTest{Greater: 1}, far)
}

func TestBenjaminiHochbergAgreesWithThePaper(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		P          []float64
		Q          float64
		Rejections int       `json:"rejections_bh"`
		Adjusted   []float64 `json:"adjusted_bh"`
	}
	var all differences
	for _, c := range published[fileCase](t, "benjamini_hochberg") {
		got, err := stats.BenjaminiHochberg(c.P)
		require.NoError(t, err)
		found := 0
		for i := range got {
			require.Less(t, all.add(got[i], c.Adjusted[i]), 1e-13)
			if got[i] <= c.Q {
				found++
			}
		}
		require.Equal(t, c.Rejections, found)
	}
	all.log(t, "adjusted")
}

func TestAdjustedValuesKeepTheirOrderAndAreNoSmaller(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SliceOf(rapid.Float64Range(0, 1)).Draw(t, "p")
		got, err := stats.BenjaminiHochberg(p)
		require.NoError(t, err)
		require.Len(t, got, len(p))
		for i := range p {
			require.GreaterOrEqual(t, got[i], p[i])
			require.LessOrEqual(t, got[i], 1.0)
			for j := range p {
				if p[i] <= p[j] {
					require.LessOrEqual(t, got[i], got[j])
				}
			}
		}
	})
	_, err := stats.BenjaminiHochberg([]float64{0.5, math.NaN(), -1})
	require.Equal(t, []string{"/p/1 out_of_range", "/p/2 out_of_range"}, pathsAndCodes(t, err))
}

func TestTestsDoNotDependOnSidesOrderOrUnits(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		groups := append(someBlocks(t), stats.Proportion{Examined: 5, Infested: 2})
		scores := make([]float64, len(groups))
		moved, free := make([]float64, len(groups)), make([]stats.Proportion, len(groups))
		for i, p := range groups {
			scores[i] = float64(rapid.IntRange(-50, 50).Draw(t, "score"))
			free[i] = stats.Proportion{Examined: p.Examined, Infested: p.Examined - p.Infested}
		}
		scores[0], scores[1] = 60, 61
		for i := range scores {
			moved[i] = 1000 - 7*scores[i]
		}
		trend, err := stats.CochranArmitage(groups, scores)
		require.NoError(t, err)
		mirrored, err := stats.CochranArmitage(free, moved)
		require.NoError(t, err)
		require.InDelta(t, trend.Z, mirrored.Z, 1e-6*(1+math.Abs(trend.Z)))
		require.True(t, trend.P >= 0 && trend.P <= 1)
		one, err := stats.Homogeneity(groups)
		require.NoError(t, err)
		two, err := stats.Homogeneity(free)
		require.NoError(t, err)
		require.InDelta(t, one.Statistic, two.Statistic, 1e-6*(1+one.Statistic))
		require.True(t, one.P >= 0 && one.P <= 1)
		require.GreaterOrEqual(t, one.Statistic*(1+1e-6)+1e-6, trend.Statistic, "a trend is part of all differences")
		fisher, err := stats.FisherExact(groups[0], groups[1])
		require.NoError(t, err)
		swapped, err := stats.FisherExact(groups[1], groups[0])
		require.NoError(t, err)
		require.InDelta(t, fisher.P, swapped.P, 1e-6)
		require.InDelta(t, fisher.Less, swapped.Greater, 1e-9)
	})
}

func TestNothingOrEverythingInfestedIsNoDifference(t *testing.T) {
	t.Parallel()
	for _, x := range []int{0, 20} {
		p := stats.Proportion{Examined: 20, Infested: x}
		groups := []stats.Proportion{p, p, p}
		trend, err := stats.CochranArmitage(groups, []float64{1, 2, 3})
		require.NoError(t, err)
		require.Equal(t, stats.Trend{P: 1}, trend)
		chi, err := stats.Homogeneity(groups)
		require.NoError(t, err)
		require.Equal(t, 1.0, chi.P)
		require.Zero(t, chi.DegreesOfFreedom)
		fisher, err := stats.FisherExact(p, p)
		require.NoError(t, err)
		require.Equal(t, stats.FisherTest{P: 1, Less: 1, Greater: 1}, fisher)
	}
}

func TestTestsRefuseWhatCannotBeCompared(t *testing.T) {
	t.Parallel()
	p := stats.Proportion{Examined: 20, Infested: 1}
	_, err := stats.Homogeneity([]stats.Proportion{p})
	require.Equal(t, []string{"/groups too_few"}, pathsAndCodes(t, err))
	_, err = stats.CochranArmitage(nil, nil)
	require.Equal(t, []string{"/groups too_few"}, pathsAndCodes(t, err))
	_, err = stats.CochranArmitage([]stats.Proportion{p, {}}, []float64{1, math.NaN()})
	require.Equal(t, []string{"/groups/1/examined nothing_examined", "/scores/1 out_of_range"}, pathsAndCodes(t, err))
	_, err = stats.CochranArmitage([]stats.Proportion{p, p}, []float64{3, 3})
	require.Equal(t, []string{"/scores out_of_range"}, pathsAndCodes(t, err))
	_, err = stats.PearsonChiSquare([][]int{{1, 2}, {3}, {4, -1}})
	require.Equal(t, []string{"/table/1 out_of_range", "/table/2/1 out_of_range"}, pathsAndCodes(t, err))
	_, err = stats.FisherExact(p, stats.Proportion{Examined: 1, Infested: 2})
	require.Equal(t, []string{"/groups/1/infested out_of_range"}, pathsAndCodes(t, err))
}

func FuzzTwoGroups(f *testing.F) {
	f.Add(3, 4, 1, 4, 0.0, 1.0)
	f.Add(500_000_000, stats.LargestCount, 500_100_000, stats.LargestCount, -1e9, 1e9)
	f.Add(0, stats.LargestCount, 1, 1, 0.0, 5e-324)
	f.Add(-1, 0, 3, 2, math.NaN(), math.Inf(1))
	f.Fuzz(func(t *testing.T, x1, n1, x2, n2 int, s1, s2 float64) {
		first, second := stats.Proportion{Examined: n1, Infested: x1}, stats.Proportion{Examined: n2, Infested: x2}
		fisher, err := stats.FisherExact(first, second)
		finite(t, err, fisher.P, fisher.Less, fisher.Greater)
		trend, err := stats.CochranArmitage([]stats.Proportion{first, second}, []float64{s1, s2})
		finite(t, err, trend.Z, trend.Statistic, trend.P)
		chi, err := stats.Homogeneity([]stats.Proportion{first, second})
		finite(t, err, chi.Statistic, chi.P, chi.SmallestExpected)
		chi, err = stats.PearsonChiSquare([][]int{{x1, n1}, {x2, n2}})
		finite(t, err, chi.Statistic, chi.P, chi.SmallestExpected)
	})
}
