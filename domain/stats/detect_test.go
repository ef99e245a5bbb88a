package stats_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/stats"
)

func TestSampleSizesAgreeWithTables1And2OfISPM31(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		Lot           int
		Level         float64 `json:"level_of_detection"`
		Confidence    float64
		InfestedUnits int  `json:"infested_units_A"`
		Exact         *int `json:"n_exact"`
		Printed       *int `json:"n_recalled"`
	}
	for _, name := range []string{"ispm31_table1_hypergeometric_95_99", "ispm31_table2_hypergeometric_80_90"} {
		var exact, printed differences
		noPlan := 0
		for _, c := range published[fileCase](t, name) {
			got, err := stats.SampleSizeToDetect(c.Lot, c.Level, c.Confidence, 1)
			require.NoError(t, err)
			require.Equal(t, c.InfestedUnits, got.InfestedUnits, "%+v", c)
			require.Equal(t, stats.MethodHypergeometric, got.Method)
			if c.Exact == nil {
				noPlan++
				require.Equal(t, stats.ReasonNoInfestedUnit, got.Reason, "%+v", c)
				require.False(t, got.Attainable)
				require.Zero(t, got.Units)
				continue
			}
			require.True(t, got.Attainable)
			require.Empty(t, got.Reason)
			require.Zero(t, exact.add(float64(got.Units), float64(*c.Exact)), "%+v: got %d, want %d", c, got.Units, *c.Exact)
			if c.Printed != nil {
				require.Zero(t, printed.add(float64(got.Units), float64(*c.Printed)), "%+v", c)
			}
		}
		t.Logf("%d cells without a plan", noPlan)
		exact.log(t, "recomputed")
		printed.log(t, "printed")
	}
}

// ISPM 31, appendix 2: cells where the chance to miss equals its limit exactly.
// The standard counts the tie as met in table 1; for lot 100, 2 %, 80 % table 2
// is remembered to print 56, one more than its own rule gives.
func TestAnExactTieCountsAsMet(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		lot               int
		level, confidence float64
		want              int
	}{
		{100, 0.01, 0.95, 95},
		{100, 0.01, 0.99, 99},
		{100, 0.02, 0.80, 55},
	} {
		infested := int64(math.Round(float64(c.lot) * c.level))
		limit := big.NewRat(int64(math.Round((1-c.confidence)*100)), 100)
		require.Zero(t, chanceToOverlook(c.lot, int(infested), c.want, big.NewRat(1, 1)).Cmp(limit), "the case is a tie")
		got, err := stats.SampleSizeToDetect(c.lot, c.level, c.confidence, 1)
		require.NoError(t, err)
		require.Equal(t, c.want, got.Units, "%+v", c)
		require.InDelta(t, c.confidence, got.ConfidenceReached, 1e-14)
	}
}

// ISPM 31, appendix 3, table 3 is for a lot without end; the largest lot accepted
// here stands for it, and differs by no unit.
func TestSampleSizesOfAHugeLotAgreeWithTable3OfISPM31(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		Efficacy   float64
		Level      float64 `json:"level_of_detection"`
		Confidence float64
		Exact      int `json:"n_exact"`
		Printed    int `json:"n_recalled"`
	}
	var exact, printed differences
	for _, c := range published[fileCase](t, "ispm31_table3_binomial_efficacy") {
		got, err := stats.SampleSizeToDetect(stats.LargestCount, c.Level, c.Confidence, c.Efficacy)
		require.NoError(t, err)
		require.Zero(t, exact.add(float64(got.Units), float64(c.Exact)), "%+v: got %d", c, got.Units)
		require.Zero(t, printed.add(float64(got.Units), float64(c.Printed)), "%+v: got %d", c, got.Units)
	}
	exact.log(t, "recomputed")
	printed.log(t, "printed")
}

// ISPM 31, appendix 3: the binomial formula of table 3, far outside the table,
// where the sum over what is overlooked spans hundreds of powers of ten.
func TestALowSensitivityInAHugeLotFollowsTheBinomialFormula(t *testing.T) {
	t.Parallel()
	for _, sensitivity := range []float64{0.01, 0.02, 0.1} {
		for _, confidence := range []float64{0.95, 0.9999, 1 - 1e-12} {
			for _, level := range []float64{0.05, 0.3, 0.9} {
				got, err := stats.SampleSizeToDetect(stats.LargestCount, level, confidence, sensitivity)
				require.NoError(t, err)
				want := math.Log1p(-confidence) / math.Log1p(-sensitivity*level)
				require.InDelta(t, want+0.5, float64(got.Units), 0.6, "sensitivity %v, confidence %v, level %v", sensitivity, confidence, level)
			}
		}
	}
}

func TestSensitivityEntersByTheExactSum(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		Lot                  int
		Level                float64 `json:"level_of_detection"`
		Efficacy, Confidence float64
		D                    int
		Shortcut             int  `json:"n_ispm_A"`
		Exact                *int `json:"n_exact_bernoulli_detection"`
	}
	var exact differences
	otherThanShortcut := 0
	for _, c := range published[fileCase](t, "hypergeometric_with_efficacy") {
		got, err := stats.SampleSizeToDetect(c.Lot, c.Level, c.Confidence, c.Efficacy)
		require.NoError(t, err)
		require.Equal(t, c.D, got.InfestedUnits)
		if c.Exact == nil {
			require.Equal(t, stats.ReasonSensitivityTooLow, got.Reason, "%+v", c)
			require.False(t, got.Attainable)
			require.InDelta(t, 1-math.Pow(1-c.Efficacy, float64(c.D)), got.ConfidenceReached, 1e-14)
			continue
		}
		require.Zero(t, exact.add(float64(got.Units), float64(*c.Exact)), "%+v: got %d, want %d", c, got.Units, *c.Exact)
		if got.Units != c.Shortcut {
			otherThanShortcut++
		}
	}
	require.Positive(t, otherThanShortcut)
	t.Logf("%d cells differ from the standard's shortcut", otherThanShortcut)
	exact.log(t, "recomputed")
}

// Cannon's approximation, rounded up, is known to give the exact answer here.
func TestSampleSizesAgreeWithCannonsApproximation(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		Lot           int
		P, Confidence float64
		A             int
		Raw           float64 `json:"n_cannon_raw"`
		Exact         int     `json:"n_exact"`
	}
	var exact, approximate differences
	for _, c := range published[fileCase](t, "cannon_approximation") {
		got, err := stats.SampleSizeToDetect(c.Lot, c.P, c.Confidence, 1)
		require.NoError(t, err)
		require.Equal(t, c.A, got.InfestedUnits)
		require.Zero(t, exact.add(float64(got.Units), float64(c.Exact)), "%+v: got %d", c, got.Units)
		require.Less(t, approximate.add(float64(got.Units), c.Raw), 1.0)
		require.GreaterOrEqual(t, float64(got.Units), c.Raw)
	}
	exact.log(t, "exact")
	approximate.log(t, "against the approximation before rounding up")
}

// In a lot of 1,000, 57 plants detect 5 % at 95 % (ISPM 31, table 1); so no find
// among 57 of 1,000 says fewer than 5 %, and 56 plants do not.
func TestNoFindRulesOutALevel(t *testing.T) {
	t.Parallel()
	level, err := stats.DetectableLevel(1000, 57, 0.95, 1)
	require.NoError(t, err)
	require.Equal(t, stats.Level{InfestedUnits: 50, Share: 0.05, Attainable: true, Method: stats.MethodHypergeometric}, level)
	level, err = stats.DetectableLevel(1000, 56, 0.95, 1)
	require.NoError(t, err)
	require.Greater(t, level.Share, 0.05)
	level, err = stats.DetectableLevel(25, 25, 0.99, 1)
	require.NoError(t, err)
	require.Equal(t, 1, level.InfestedUnits, "the whole lot examined rules out a single infested unit")
	level, err = stats.DetectableLevel(1000, 3, 0.95, 0.5)
	require.NoError(t, err)
	require.Equal(t, stats.Level{Reason: stats.ReasonSampleTooSmall, Method: stats.MethodHypergeometricSensitivity}, level,
		"with a chance of 0.5^3 even an all-infested lot is overlooked")
}

func TestConfidenceReachedByAFinishedSample(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		lot, examined          int
		detection, sensitivity float64
		want                   float64
	}{
		{100, 95, 0.01, 1, 0.95},
		{100, 0, 0.01, 1, 0},
		{100, 100, 0.01, 1, 1},
		{100, 100, 0.01, 0.6, 0.6},
		{100, 1, 1, 0.6, 0.6},
		{2, 1, 0.5, 0.8, 0.4},
		{stats.LargestCount, stats.LargestCount / 2, 0.5, 0.5, 1},
	} {
		got, err := stats.ConfidenceReached(c.lot, c.examined, c.detection, c.sensitivity)
		require.NoError(t, err)
		require.InDelta(t, c.want, got, 1e-14, "%+v", c)
	}
}

func TestInfestedUnitsAreRoundedDownFromWhatWasMeant(t *testing.T) {
	t.Parallel()
	percent := 0.7 // a variable, so that the division happens in binary
	for _, c := range []struct {
		lot   int
		level float64
		want  int
	}{
		{100, 0.07, 7},
		{100, 0.29, 29},
		{1000, percent / 100, 7},
		{3, 1. / 3, 1},
		{700, 0.005, 3},
		{800, 0.005, 4},
		{25, 0.05, 1},
		{19, 0.05, 0},
		{999_999_999, 0.07, 69_999_999},
		{stats.LargestCount, 0.99999999999999, 999_999_999},
		{stats.LargestCount, 1e-9, 1},
		{stats.LargestCount, 1, stats.LargestCount},
		{stats.LargestCount, 5e-324, 0},
	} {
		got, err := stats.SampleSizeToDetect(c.lot, c.level, 0.95, 1)
		require.NoError(t, err)
		require.Equal(t, c.want, got.InfestedUnits, "%+v", c)
	}
}

// Every whole number of tenths of a percent of every lot to 1,000, against whole
// number arithmetic, both as typed and as a percentage divided by 100.
func TestInfestedUnitsAgreeWithWholeNumberArithmetic(t *testing.T) {
	t.Parallel()
	for lot := 1; lot <= 1000; lot++ {
		for tenths := 1; tenths <= 1000; tenths += 3 {
			percent := float64(tenths) / 10
			got, err := stats.SampleSizeToDetect(lot, percent/100, 0.5, 1)
			require.NoError(t, err)
			if want := lot * tenths / 1000; got.InfestedUnits != want {
				require.Equal(t, want, got.InfestedUnits, "%d units, %v %%", lot, percent)
			}
		}
	}
}

func TestDetectionRefusesWhatCannotBe(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		lot                                int
		detection, confidence, sensitivity float64
		faults                             []string
	}{
		{0, 0.05, 0.95, 1, []string{"/lot out_of_range"}},
		{stats.LargestCount + 1, 0.05, 0.95, 1, []string{"/lot out_of_range"}},
		{100, 0, 0.95, 1, []string{"/detection out_of_range"}},
		{100, 5, 0.95, 1, []string{"/detection out_of_range"}},
		{100, 0.05, 1, 1, []string{"/confidence out_of_range"}},
		{100, 0.05, 0.95, 0, []string{"/sensitivity out_of_range"}},
		{100, 0.05, 0.95, 1.01, []string{"/sensitivity out_of_range"}},
		{-5, math.NaN(), math.Inf(1), math.NaN(), []string{
			"/lot out_of_range", "/detection out_of_range", "/confidence out_of_range", "/sensitivity out_of_range",
		}},
	} {
		_, err := stats.SampleSizeToDetect(c.lot, c.detection, c.confidence, c.sensitivity)
		require.Equal(t, c.faults, pathsAndCodes(t, err), "%+v", c)
	}
	_, err := stats.ConfidenceReached(19, 5, 0.05, 1)
	require.Equal(t, []string{"/detection no_infested_unit"}, pathsAndCodes(t, err))
	_, err = stats.ConfidenceReached(100, 101, 0.05, 1)
	require.Equal(t, []string{"/examined out_of_range"}, pathsAndCodes(t, err))
	_, err = stats.DetectableLevel(100, 0, 0.95, 1)
	require.Equal(t, []string{"/examined nothing_examined"}, pathsAndCodes(t, err))
	_, err = stats.DetectableLevel(100, 101, 0.95, 1)
	require.Equal(t, []string{"/examined out_of_range"}, pathsAndCodes(t, err))
}

func TestEveryMethodNamesItsSource(t *testing.T) {
	t.Parallel()
	for _, m := range []stats.Method{
		stats.MethodWilson, stats.MethodClopperPearson, stats.MethodJeffreys, stats.MethodModifiedJeffreys,
		stats.MethodZeroUpperLimit, stats.MethodHypergeometric, stats.MethodHypergeometricSensitivity,
		stats.MethodBinomial, stats.MethodNewcombe, stats.MethodSequential, stats.MethodSingleSine,
		stats.MethodAverage, stats.MethodLargestRemainders,
	} {
		require.NotEmpty(t, m.Source(), m)
	}
	require.Empty(t, stats.Method("guess").Source())
}
