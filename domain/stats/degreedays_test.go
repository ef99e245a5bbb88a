package stats_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

func TestSineDegreeDaysAgreeWithTable7OfZalom1983(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		Tmin, Tmax, Lower, Upper float64
		Cutoff                   string
		Sine                     float64 `json:"single_sine"`
		Published                struct {
			Sine float64 `json:"single_sine"`
		}
	}
	var full, printed differences
	for _, c := range published[fileCase](t, "degree_days_zalom1983") {
		require.Equal(t, "horizontal", c.Cutoff)
		got, err := stats.SineDegreeDays(c.Tmin, c.Tmax, c.Lower, c.Upper)
		require.NoError(t, err)
		require.Less(t, full.add(got, c.Sine), 1e-11, "%+v", c)
		require.LessOrEqual(t, printed.add(got, c.Published.Sine), 0.5e-2, "%+v", c)
	}
	full.log(t, "recomputed")
	printed.log(t, "printed, 2 decimals")
}

// Of the two readings in the table, method 1 is the one offered; they differ for
// the day from -5 to 5 degrees.
func TestAverageDegreeDaysAgreeWithMethod1OfMcMasterAndWilhelm1997(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		Tmin, Tmax, Base float64
		Method1          float64
		Published        float64 `json:"published_method1"`
	}
	var all differences
	for _, c := range published[fileCase](t, "degree_days_average_mcmaster1997") {
		got, err := stats.AverageDegreeDays(c.Tmin, c.Tmax, c.Base)
		require.NoError(t, err)
		require.Zero(t, all.add(got, c.Published), "%+v", c)
		require.Zero(t, all.add(got, c.Method1), "%+v", c)
	}
	all.log(t, "printed and recomputed")
}

func TestDegreeDaysAgreeWithTheGrid(t *testing.T) {
	t.Parallel()
	type fileCase struct {
		Tmin, Tmax, Lower, Upper, Average float64
		Sine                              float64 `json:"single_sine"`
		Horizontal                        float64 `json:"single_sine_horizontal"`
	}
	var all differences
	for _, c := range published[fileCase](t, "degree_days_grid50F") {
		horizontal, err := stats.SineDegreeDays(c.Tmin, c.Tmax, c.Lower, c.Upper)
		require.NoError(t, err)
		sine, err := stats.SineDegreeDays(c.Tmin, c.Tmax, c.Lower, math.Inf(1))
		require.NoError(t, err)
		average, err := stats.AverageDegreeDays(c.Tmin, c.Tmax, c.Lower)
		require.NoError(t, err)
		require.Less(t, all.add(horizontal, c.Horizontal), 1e-11, "%+v", c)
		require.Less(t, all.add(sine, c.Sine), 1e-11, "%+v", c)
		require.Zero(t, all.add(average, c.Average), "%+v", c)
	}
	all.log(t, "recomputed grid")
}

// The wave itself, summed over the day in small steps.
func TestSineDegreeDaysAreTheAreaBetweenTheThresholds(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := someDay(t)
		const steps = 20_000
		sum := 0.0
		for i := range steps {
			temperature := (d.minimum+d.maximum)/2 + (d.maximum-d.minimum)/2*math.Sin(2*math.Pi*(float64(i)+0.5)/steps)
			sum += math.Max(0, math.Min(temperature, d.upper)-d.lower) / steps
		}
		require.InDelta(t, sum, d.sine(t), 1e-4)
	})
}

type day struct{ minimum, maximum, lower, upper float64 }

func someDay(t *rapid.T) day {
	minimum := rapid.Float64Range(-50, 120).Draw(t, "minimum")
	lower := rapid.Float64Range(-20, 100).Draw(t, "lower")
	return day{
		minimum: minimum,
		maximum: minimum + rapid.OneOf(rapid.Float64Range(0, 60), rapid.Float64Range(0, 1e-12)).Draw(t, "range"),
		lower:   lower,
		upper:   lower + rapid.Float64Range(0.001, 60).Draw(t, "between"),
	}
}

func (d day) sine(t require.TestingT) float64 {
	got, err := stats.SineDegreeDays(d.minimum, d.maximum, d.lower, d.upper)
	require.NoError(t, err)
	return got
}

func TestDegreeDaysAreNeverNegativeAndRiseWithTheTemperature(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		const rounding = 1e-10
		d := someDay(t)
		got := d.sine(t)
		require.GreaterOrEqual(t, got, 0.0)
		require.LessOrEqual(t, got, math.Max(0, math.Min(d.maximum, d.upper)-d.lower)+rounding)
		more := rapid.Float64Range(0, 30).Draw(t, "more")
		for _, warmer := range []day{
			{d.minimum, d.maximum + more, d.lower, d.upper},
			{math.Min(d.minimum+more, d.maximum), d.maximum, d.lower, d.upper},
			{d.minimum, d.maximum, d.lower - more, d.upper},
			{d.minimum, d.maximum, d.lower, d.upper + more},
		} {
			require.GreaterOrEqual(t, warmer.sine(t), got-rounding)
		}
		average, err := stats.AverageDegreeDays(d.minimum, d.maximum, d.lower)
		require.NoError(t, err)
		warmer, err := stats.AverageDegreeDays(d.minimum, d.maximum+more, d.lower)
		require.NoError(t, err)
		require.GreaterOrEqual(t, average, 0.0)
		require.GreaterOrEqual(t, warmer, average)
		uncut, err := stats.SineDegreeDays(d.minimum, d.maximum, d.lower, math.Inf(1))
		require.NoError(t, err)
		require.GreaterOrEqual(t, uncut, average-rounding, "the wave also counts the hours above the base of a day whose mean is below it")
	})
}

func TestADegreeDayFahrenheitIsFiveNinthsOfOneCelsius(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := someDay(t)
		celsius := func(f float64) float64 { return (f - 32) * 5 / 9 }
		inCelsius := day{celsius(d.minimum), celsius(d.maximum), celsius(d.lower), celsius(d.upper)}
		require.InDelta(t, d.sine(t)*5/9, inCelsius.sine(t), 1e-9)
	})
}

func TestDegreeDaysRefuseWhatCannotBe(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		d      day
		faults []string
	}{
		{day{20, 10, 5, 30}, []string{"/maximum out_of_range"}},
		{day{10, 20, 30, 30}, []string{"/upper out_of_range"}},
		{day{10, 20, 5, math.Inf(-1)}, []string{"/upper out_of_range", "/upper out_of_range"}},
		{day{10, 1001, 5, 30}, []string{"/maximum out_of_range"}},
		{day{math.NaN(), math.NaN(), math.NaN(), math.NaN()}, []string{
			"/minimum out_of_range", "/maximum out_of_range", "/lower out_of_range", "/upper out_of_range",
		}},
	} {
		_, err := stats.SineDegreeDays(c.d.minimum, c.d.maximum, c.d.lower, c.d.upper)
		require.Equal(t, c.faults, pathsAndCodes(t, err), "%+v", c)
	}
	_, err := stats.AverageDegreeDays(10, 5, math.NaN())
	require.Equal(t, []string{"/maximum out_of_range", "/base out_of_range"}, pathsAndCodes(t, err))
}
