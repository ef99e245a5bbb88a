package stats_test

import (
	"math"
	"math/big"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

// The file's exact columns are of a test without an end; by the largest maximum
// hardly any test is still open.
func TestStopLinesAgreeWithTheSequentialPlansOfWald1947(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		P0, P1, Alpha, Beta float64
		Slope               float64
		Below               float64 `json:"h0_accept_intercept"`
		Above               float64 `json:"h1_reject_intercept"`
		FirstBelow          int     `json:"first_n_that_can_accept"`
		FirstAbove          int     `json:"first_n_that_can_reject"`
		Lines               []struct {
			N     int
			Below *int `json:"accept_if_count_le"`
			Above int  `json:"reject_if_count_ge"`
		}
		Operating []struct {
			P       float64
			Below   float64 `json:"L_exact"`
			Average float64 `json:"asn_exact"`
		} `json:"oc_asn"`
	}
	var constants, numbers, chances, averages differences
	for _, c := range published[fileCase](t, "sprt_binomial") {
		got, err := stats.NewStopLines(c.P0, c.P1, c.Alpha, c.Beta, stats.LargestMaximum)
		require.NoError(t, err)
		require.Less(t, constants.add(got.Slope, c.Slope), 1e-11)
		require.Less(t, constants.add(got.BelowIntercept, c.Below), 1e-11)
		require.Less(t, constants.add(got.AboveIntercept, c.Above), 1e-11)
		for _, line := range c.Lines {
			below := -1
			if line.Below != nil {
				below = *line.Below
			}
			require.Zero(t, numbers.add(float64(got.Lines[line.N-1].BelowIfAtMost), float64(below)), "%+v", line)
			require.Zero(t, numbers.add(float64(got.Lines[line.N-1].AboveIfAtLeast), math.Min(float64(line.Above), float64(line.N+1))), "%+v", line)
		}
		firstBelow, firstAbove := firstStops(got)
		require.Zero(t, numbers.add(float64(firstBelow), float64(c.FirstBelow)))
		require.Zero(t, numbers.add(float64(firstAbove), float64(c.FirstAbove)))
		for _, at := range c.Operating {
			below, average, err := got.Operating(at.P)
			require.NoError(t, err)
			require.Less(t, chances.add(below, at.Below), 1e-10, "%+v", at)
			require.Less(t, averages.add(average, at.Average), 1e-8, "%+v", at)
		}
	}
	constants.log(t, "slope and intercepts")
	numbers.log(t, "line numbers")
	chances.log(t, "chances to end below")
	averages.log(t, "average numbers examined")
}

func firstStops(s stats.StopLines) (below, above int) {
	for _, line := range s.Lines {
		if below == 0 && line.BelowIfAtMost >= 0 {
			below = line.Examined
		}
		if above == 0 && line.AboveIfAtLeast <= line.Examined {
			above = line.Examined
		}
	}
	return below, above
}

// NIST/SEMATECH e-Handbook of Statistical Methods, section 6.2.6, its worked
// plan; the printed values are from memory.
func TestStopLinesAgreeWithTheExampleOfTheNISTHandbook(t *testing.T) {
	t.Parallel()
	got, err := stats.NewStopLines(0.01, 0.10, 0.05, 0.10, 100)
	require.NoError(t, err)
	require.InDelta(t, 0.0397, got.Slope, 0.5e-4)
	require.InDelta(t, -0.939, got.BelowIntercept, 0.5e-3)
	require.InDelta(t, 1.205, got.AboveIntercept, 0.5e-3)
	require.Equal(t, stats.StopLine{Examined: 1, BelowIfAtMost: -1, AboveIfAtLeast: 2}, got.Lines[0])
	require.Equal(t, stats.StopLine{Examined: 24, BelowIfAtMost: 0, AboveIfAtLeast: 3}, got.Lines[23])
	require.Equal(t, -1, got.Lines[22].BelowIfAtMost)
	require.Equal(t, 3, got.BelowAtMaximum, "0.0397 times 100, rounded down")
}

// For 0.4 against 0.6 the slope is 1/2; with risks of 4/13 the intercepts are
// ln(9/4)/(2 ln(3/2)) = 1, worked out by hand, so that every second line is met
// exactly.
func TestACountOnALineHasMetIt(t *testing.T) {
	t.Parallel()
	got, err := stats.NewStopLines(0.4, 0.6, 4./13, 4./13, 4)
	require.NoError(t, err)
	require.Equal(t, []stats.StopLine{{1, -1, 2}, {2, 0, 2}, {3, 0, 3}, {4, 1, 3}}, got.Lines)
	require.Equal(t, 2, got.BelowAtMaximum)
	below, average, err := got.Operating(0.5)
	require.NoError(t, err)
	require.Equal(t, 0.25+0.125+0.25, below, "00; 0100 and 1000; and all that are undecided at 2 of 4")
	require.Equal(t, 3.0, average, "half stop at 2, half at 4")
}

// For p against 1-p with risks of 1/(1+((1-p)/p)^m) the slope is 1/2 and the
// intercepts are m/2, worked out by hand; in binary many of these fall short of
// the line they lie on.
func TestACountOnALineHasMetItInSpiteOfRounding(t *testing.T) {
	t.Parallel()
	for _, p := range []float64{0.1, 0.2, 0.3, 0.4, 0.45} {
		for m := 1; m <= 4; m++ {
			risk := 1 / (1 + math.Pow((1-p)/p, float64(m)))
			got, err := stats.NewStopLines(p, 1-p, risk, risk, 40)
			require.NoError(t, err)
			for _, line := range got.Lines {
				want := stats.StopLine{Examined: line.Examined, BelowIfAtMost: -1, AboveIfAtLeast: line.Examined + 1}
				if line.Examined >= m {
					want.BelowIfAtMost, want.AboveIfAtLeast = (line.Examined-m)/2, (line.Examined+m+1)/2
				}
				require.Equal(t, want, line, "%v, %d", p, m)
			}
		}
	}
}

// Every sequence of finds is walked in exact fractions.
func TestOperatingAgreesWithEverySequenceInExactFractions(t *testing.T) {
	t.Parallel()
	var all differences
	for _, plan := range [][4]float64{{0.1, 0.3, 0.1, 0.1}, {0.2, 0.6, 0.2, 0.3}, {0.4, 0.6, 4. / 13, 4. / 13}, {0.05, 0.5, 0.3, 0.05}} {
		for _, maximum := range []int{1, 2, 5, 13} {
			s, err := stats.NewStopLines(plan[0], plan[1], plan[2], plan[3], maximum)
			require.NoError(t, err)
			for _, p := range []*big.Rat{big.NewRat(0, 1), big.NewRat(1, 16), big.NewRat(1, 4), big.NewRat(5, 8), big.NewRat(1, 1)} {
				below, average := new(big.Rat), new(big.Rat)
				walk(s, p, 0, 0, big.NewRat(1, 1), below, average)
				wantBelow, _ := below.Float64()
				wantAverage, _ := average.Float64()
				share, _ := p.Float64()
				gotBelow, gotAverage, err := s.Operating(share)
				require.NoError(t, err)
				require.Less(t, all.add(gotBelow, wantBelow), 1e-14)
				require.Less(t, all.add(gotAverage, wantAverage), 1e-13)
			}
		}
	}
	all.log(t, "exact fractions")
}

func walk(s stats.StopLines, p *big.Rat, n, count int, chance, below, average *big.Rat) {
	share := func(n int) *big.Rat { return new(big.Rat).Mul(chance, big.NewRat(int64(n), 1)) }
	if n > 0 {
		line := s.Lines[n-1]
		low, high := count <= line.BelowIfAtMost, count >= line.AboveIfAtLeast
		if n == len(s.Lines) && !low && !high {
			low = count <= s.BelowAtMaximum
			high = !low
		}
		if low {
			below.Add(below, chance)
		}
		if low || high {
			average.Add(average, share(n))
			return
		}
	}
	walk(s, p, n+1, count+1, new(big.Rat).Mul(chance, p), below, average)
	walk(s, p, n+1, count, new(big.Rat).Sub(chance, new(big.Rat).Mul(chance, p)), below, average)
}

// requireSoundLines holds whatever lines can be had to what all lines have.
func requireSoundLines(t require.TestingT, acceptable, action, alpha, beta float64, maximum int, p, more float64) {
	s, err := stats.NewStopLines(acceptable, action, alpha, beta, maximum)
	if err != nil {
		require.NotEmpty(t, pathsAndCodes(t, err))
		require.Empty(t, s.Lines)
		return
	}
	require.Greater(t, s.Slope, 0.0)
	require.Less(t, s.Slope, 1.0)
	require.LessOrEqual(t, s.BelowIntercept, 0.0)
	require.GreaterOrEqual(t, s.AboveIntercept, 0.0)
	require.Len(t, s.Lines, maximum)
	before := stats.StopLine{BelowIfAtMost: -1}
	for _, line := range s.Lines {
		require.Equal(t, before.Examined+1, line.Examined)
		require.GreaterOrEqual(t, line.BelowIfAtMost, before.BelowIfAtMost)
		require.GreaterOrEqual(t, line.AboveIfAtLeast, before.AboveIfAtLeast)
		require.Less(t, line.BelowIfAtMost, line.AboveIfAtLeast)
		require.LessOrEqual(t, line.AboveIfAtLeast, line.Examined+1)
		before = line
	}
	below, average, err := s.Operating(p)
	if err != nil {
		require.Equal(t, []string{"/p out_of_range"}, pathsAndCodes(t, err))
		return
	}
	require.True(t, below >= 0 && below <= 1, "%v", below)
	require.True(t, average >= 1-1e-9 && average <= float64(maximum), "%v", average)
	if more >= p && more <= 1 {
		belowMore, _, err := s.Operating(more)
		require.NoError(t, err)
		require.LessOrEqual(t, belowMore, below+1e-10)
	}
}

func TestStopLinesRiseAndNeverCrossAndEndBelowLessOftenTheHigherTheShare(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		acceptable := rapid.Float64Range(stats.FinestStep, 0.9).Draw(t, "acceptable")
		p := rapid.Float64Range(0, 1).Draw(t, "p")
		requireSoundLines(t, acceptable,
			rapid.Float64Range(acceptable+2*stats.FinestStep, 1-stats.FinestStep).Draw(t, "action"),
			rapid.Float64Range(stats.FinestStep, 0.49999999).Draw(t, "alpha"),
			rapid.Float64Range(stats.FinestStep, 0.49999999).Draw(t, "beta"),
			rapid.IntRange(1, 400).Draw(t, "maximum"), p, rapid.Float64Range(p, 1).Draw(t, "more"))
	})
}

func TestStopLinesRefuseWhatCannotBe(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		acceptable, action, alpha, beta float64
		maximum                         int
		faults                          []string
	}{
		{0, 0.1, 0.1, 0.1, 60, []string{"/acceptable out_of_range"}},
		{0.1, 1, 0.1, 0.1, 60, []string{"/action out_of_range"}},
		{0.2, 0.1, 0.1, 0.1, 60, []string{"/action out_of_range"}},
		{0.1, 0.1, 0.1, 0.1, 60, []string{"/action out_of_range"}},
		{0.1, 0.2, 0.5, 0, 60, []string{"/alpha out_of_range", "/beta out_of_range"}},
		{0.1, 0.2, 0.1, 0.1, 0, []string{"/maximum out_of_range"}},
		{0.1, 0.2, 0.1, 0.1, stats.LargestMaximum + 1, []string{"/maximum out_of_range"}},
		{math.NaN(), math.Inf(1), math.NaN(), math.NaN(), -1, []string{
			"/acceptable out_of_range", "/action out_of_range", "/alpha out_of_range", "/beta out_of_range", "/maximum out_of_range",
		}},
	} {
		_, err := stats.NewStopLines(c.acceptable, c.action, c.alpha, c.beta, c.maximum)
		require.Equal(t, c.faults, pathsAndCodes(t, err), "%+v", c)
	}
	_, _, err := stats.StopLines{}.Operating(math.NaN())
	require.Equal(t, []string{"/maximum out_of_range", "/p out_of_range"}, pathsAndCodes(t, err))
}

func FuzzStopLines(f *testing.F) {
	f.Add(0.01, 0.10, 0.05, 0.10, 100, 0.05, 0.06)
	f.Add(0.4, 0.6, 4./13, 4./13, 4, 0.0, 1.0)
	f.Add(1e-6, 1-1e-6, 0.49999999999999994, 0.49999999999999994, 5000, 0.5, 0.5)
	f.Add(0.5, 0.500001, 1e-6, 1e-6, 5000, 0.5, 0.6)
	f.Add(math.NaN(), 0.0, 1.0, -1.0, 0, math.Inf(1), math.NaN())
	f.Fuzz(func(t *testing.T, acceptable, action, alpha, beta float64, maximum int, p, more float64) {
		begun := time.Now()
		requireSoundLines(t, acceptable, action, alpha, beta, maximum, p, more)
		require.Less(t, time.Since(begun), 5*time.Second)
	})
}
