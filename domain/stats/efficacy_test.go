package stats_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stats"
)

type efficacyCase struct {
	Method           string
	CheckAlive       float64 `json:"check_alive_pct"`
	TreatedAlive     float64 `json:"treated_alive_pct"`
	ControlMortality float64 `json:"control_mortality"`
	TreatedMortality float64 `json:"treated_mortality"`
	TreatedPct       float64 `json:"treated_mortality_pct"`
	ControlPct       float64 `json:"control_mortality_pct"`
	ControlChange    float64 `json:"control_change_pct"`
	EfficacyPct      float64 `json:"efficacy_pct"`
	Corrected        float64
	CorrectedPct     float64 `json:"corrected_pct"`
	TreatedBefore    any     `json:"treated_before"`
	TreatedAfter     any     `json:"treated_after"`
	ControlBefore    any     `json:"control_before"`
	ControlAfter     any     `json:"control_after"`
}

// share reads a count, or a count and how many were looked at.
func share(t *testing.T, value any) float64 {
	t.Helper()
	if count, single := value.(float64); single {
		return count
	}
	pair := whole(t, value)
	require.Len(t, pair, 2)
	return float64(pair[0]) / float64(pair[1])
}

func TestEfficacyAgreesWithWorkedExamples(t *testing.T) {
	t.Parallel()
	var all differences
	for _, c := range published[efficacyCase](t, "efficacy") {
		var got, want float64
		var err error
		switch c.Method {
		case "abbott":
			got, err = stats.Abbott(c.TreatedAlive, c.CheckAlive)
			want = c.EfficacyPct / 100
		case "abbott_mortality":
			got, err = stats.Abbott(1-c.TreatedMortality, 1-c.ControlMortality)
			want = c.Corrected
		case "schneider_orelli": // Abbott's correction, written with mortalities
			got, err = stats.Abbott(100-c.TreatedPct, 100-c.ControlPct)
			want = c.CorrectedPct / 100
		case "henderson_tilton", "henderson_tilton_proportions":
			got, err = stats.HendersonTilton(stats.BeforeAfter{
				TreatedBefore: share(t, c.TreatedBefore), TreatedAfter: share(t, c.TreatedAfter),
				ControlBefore: share(t, c.ControlBefore), ControlAfter: share(t, c.ControlAfter),
			})
			want = c.EfficacyPct / 100
		case "sun_shepard": // Henderson and Tilton's, written with the changes
			got, err = stats.HendersonTilton(stats.BeforeAfter{
				TreatedBefore: 100, TreatedAfter: 100 - c.TreatedPct,
				ControlBefore: 100, ControlAfter: 100 + c.ControlChange,
			})
			want = c.CorrectedPct / 100
		default:
			require.Fail(t, "no such method", c.Method)
		}
		require.NoError(t, err, c.Method)
		require.Less(t, all.add(got, want), 1e-13, c.Method)
	}
	all.log(t, "efficacy")
}

func TestHendersonTiltonIsAbbottAfterAnEqualStart(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		before := rapid.Float64Range(0.01, 1000).Draw(t, "before")
		treated := rapid.Float64Range(0.01, 1000).Draw(t, "treated")
		control := rapid.Float64Range(0.01, 1000).Draw(t, "control")
		abbott, err := stats.Abbott(treated, control)
		require.NoError(t, err)
		got, err := stats.HendersonTilton(stats.BeforeAfter{before, treated, before, control})
		require.NoError(t, err)
		require.InDelta(t, abbott, got, 1e-9*(1+math.Abs(abbott)))
		require.Equal(t, treated > control, abbott < 0, "worse than the control is below zero")
		none, err := stats.HendersonTilton(stats.BeforeAfter{before, 0, before, control})
		require.NoError(t, err)
		require.Equal(t, 1.0, none)
	})
}

func TestWithoutALivingControlThereIsNoEfficacy(t *testing.T) {
	t.Parallel()
	_, err := stats.Abbott(math.NaN(), 0)
	require.Equal(t, []string{"/treated out_of_range", "/control nothing_to_compare"}, pathsAndCodes(t, err))
	_, err = stats.HendersonTilton(stats.BeforeAfter{TreatedAfter: -1, ControlBefore: math.Inf(1)})
	require.Equal(t, []string{
		"/treated_before nothing_to_compare", "/treated_after out_of_range",
		"/control_before out_of_range", "/control_after nothing_to_compare",
	}, pathsAndCodes(t, err))
}

func FuzzEfficacy(f *testing.F) {
	f.Add(240.0, 36.0, 200.0, 250.0)
	f.Add(1e-9, 1e9, 1e9, 1e-9)
	f.Add(5e-324, 0.0, math.NaN(), math.Inf(1))
	f.Fuzz(func(t *testing.T, a, b, c, d float64) {
		got, err := stats.HendersonTilton(stats.BeforeAfter{a, b, c, d})
		finite(t, err, got)
		got, err = stats.Abbott(a, b)
		finite(t, err, got)
	})
}
