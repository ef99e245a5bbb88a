package advice_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/advice"
)

func TestAForecastIsForTheNextLimitToCome(t *testing.T) {
	t.Parallel()
	limit := func(from, to int, percent float64) advice.Threshold {
		return advice.Threshold{FromOn: september(from), ToOn: september(to), Percent: percent, Effect: advice.Act}
	}
	wentWell, withdrawn := limit(12, 13, 3), limit(12, 13, 4)
	wentWell.Effect, withdrawn.Withdrawn = advice.WentWell, "typed wrongly"
	limits := []advice.Threshold{limit(26, 30, 9), limit(1, 5, 7), wentWell, withdrawn, limit(10, 20, 8)}
	for name, c := range map[string]struct {
		today, day int
		percent    float64
	}{
		"while another is in force": {3, 10, 8},
		"between two":               {7, 10, 8},
		"on the first day of one":   {10, 26, 9},
		"the last of all, in force": {28, 30, 9},
	} {
		day, got := advice.Horizon(limits, september(c.today))
		require.Equal(t, september(c.day), day, name)
		require.InDelta(t, c.percent, got.Percent, 0, name)
	}
	day, got := advice.Horizon(limits, domain.NewDate(2026, time.October, 1))
	require.Equal(t, domain.NewDate(2026, time.October, 22), day, "three weeks where no limit is to come")
	require.Zero(t, got)
}

func TestADayIsHeldAgainstTheLimitThatReachesIt(t *testing.T) {
	t.Parallel()
	limits := []advice.Threshold{fifth()}
	require.InDelta(t, 20, advice.Reaching(limits, september(12)).Percent, 0)
	require.InDelta(t, 20, advice.Reaching(limits, september(1)).Percent, 0, "the next to come")
	require.Zero(t, advice.Reaching(limits, september(26)))
}
