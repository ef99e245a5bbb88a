package stats_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/stats"
)

func TestTheSpreadOfShareAgreesWithTheRatTumoursOfGelman2013(t *testing.T) {
	t.Parallel()
	cases := published[struct {
		Infested, Examined []int
		Published          struct {
			Mean, SD, Alpha, Beta float64
			PosteriorMean         float64 `json:"posterior_mean"`
			PosteriorSD           float64 `json:"posterior_sd"`
		}
		Alpha float64 `json:"ml_alpha"`
		Beta  float64 `json:"ml_beta"`
	}](t, "beta_binomial_rats")
	require.Len(t, cases, 1)
	c := cases[0]
	require.Len(t, c.Infested, 71)
	var rats []stats.Proportion
	for i, n := range c.Examined {
		rats = append(rats, stats.Proportion{Examined: n, Infested: c.Infested[i]})
	}

	history, err := stats.BetaBinomialByMoments(rats[:70])
	require.NoError(t, err)
	mean := history.Mean()
	require.InDelta(t, c.Published.Mean, mean, 0.0005)
	require.InDelta(t, c.Published.SD, math.Sqrt(mean*(1-mean)/(history.Alpha+history.Beta+1)), 0.0005)
	require.InDelta(t, c.Published.Alpha, history.Alpha, 0.05)
	require.InDelta(t, c.Published.Beta, history.Beta, 0.05)
	last, err := history.Posterior(rats[70], 0.95)
	require.NoError(t, err)
	require.InDelta(t, c.Published.PosteriorMean, last.Share, 0.0005)
	require.InDelta(t, c.Published.PosteriorSD, last.SD, 0.0005)

	var full differences
	fit, err := stats.BetaBinomialByLikelihood(rats)
	require.NoError(t, err)
	require.LessOrEqual(t, full.add(fit.Alpha, c.Alpha), 0.51e-4)
	require.LessOrEqual(t, full.add(fit.Beta, c.Beta), 0.51e-4)
	full.log(t, "maximum likelihood, 4 decimals")
}

// Under Beta(1, 1) the posterior of 0 of n is Beta(1, n+1), whose upper end has
// the closed form 1-tail^(1/(n+1)).
func TestThePosteriorOfNothingFoundHasAClosedForm(t *testing.T) {
	t.Parallel()
	got, err := stats.BetaBinomial{Alpha: 1, Beta: 1}.Posterior(stats.Proportion{Examined: 60}, 0.95)
	require.NoError(t, err)
	require.InDelta(t, 1.0/62, got.Share, 1e-15)
	require.InDelta(t, 1-math.Pow(0.025, 1.0/61), got.Upper, 1e-12)
	require.InDelta(t, 1-math.Pow(0.975, 1.0/61), got.Lower, 1e-12)
}

func TestGroupsThatTellNothingOfASpreadAreRefusedWithTheReason(t *testing.T) {
	t.Parallel()
	counts := func(examined int, infested ...int) []stats.Proportion {
		var groups []stats.Proportion
		for _, x := range infested {
			groups = append(groups, stats.Proportion{Examined: examined, Infested: x})
		}
		return groups
	}
	type method = func([]stats.Proportion) (stats.BetaBinomial, error)
	both := []method{stats.BetaBinomialByMoments, stats.BetaBinomialByLikelihood}
	for name, c := range map[string]struct {
		methods []method
		groups  []stats.Proportion
		path    string
		code    string
	}{
		"no group":                      {both, nil, "/groups", stats.CodeTooFewGroups},
		"one group":                     {both, counts(20, 3), "/groups", stats.CodeTooFewGroups},
		"nothing found":                 {both, counts(20, 0, 0, 0), "/groups", stats.CodeNoSpread},
		"all infested":                  {both, counts(20, 20, 20), "/groups", stats.CodeNoSpread},
		"all alike":                     {both, counts(20, 4, 4, 4), "/groups", stats.CodeNoSpread},
		"less spread than by chance":    {both[1:], counts(20, 9, 10, 11), "/groups", stats.CodeNoSpread},
		"single units":                  {both[1:], counts(1, 0, 1, 1, 0), "/groups", stats.CodeNoSpread},
		"empty or full, alike in size":  {both[1:], counts(20, 0, 20, 20, 0), "/groups", stats.CodeNoFiniteEstimate},
		"empty or full, by the moments": {both[:1], counts(20, 0, 20), "/groups", stats.CodeNoFiniteEstimate},
		"nothing examined":              {both, counts(0, 0, 0)[:2], "/groups/0/examined", stats.CodeNothingExamined},
	} {
		for _, method := range c.methods {
			got, err := method(c.groups)
			require.Error(t, err, name)
			require.Contains(t, pathsAndCodes(t, err), c.path+" "+c.code, name)
			require.Equal(t, stats.BetaBinomial{}, got, name)
		}
	}
	_, err := stats.BetaBinomial{Alpha: math.NaN(), Beta: 0}.Posterior(stats.Proportion{Examined: 1}, 0.95)
	require.Equal(t, []string{"/alpha " + stats.CodeOutOfRange, "/beta " + stats.CodeOutOfRange}, pathsAndCodes(t, err))
}
