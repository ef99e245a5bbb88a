package stats_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

type logisticCase struct {
	ID           string
	LogDose      []float64 `json:"ldose_log2"`
	Dose         []float64
	Sex          []string
	Dead, N      []int
	Coef, SE     map[string]float64
	Deviance     float64
	DF           int
	NullDeviance float64 `json:"null_deviance"`
	NullDF       int     `json:"null_df"`
	VCov         [][]float64
	Published    struct {
		Coef, SE     []float64
		Deviance     float64
		NullDeviance float64 `json:"null_deviance"`
	}
}

// groups has the terms in the order intercept, male, dose, male times dose, or
// intercept and dose.
func (c logisticCase) groups() []stats.Group {
	var groups []stats.Group
	for i, n := range c.N {
		g := stats.Group{Proportion: stats.Proportion{Examined: n, Infested: c.Dead[i]}}
		if c.Dose != nil {
			g.Terms = []float64{1, c.Dose[i]}
		} else {
			male := 0.0
			if c.Sex[i] == "M" {
				male = 1
			}
			g.Terms = []float64{1, male, c.LogDose[i], male * c.LogDose[i]}
		}
		groups = append(groups, g)
	}
	return groups
}

// first keeps the first terms of the groups.
func first(terms int, groups []stats.Group) []stats.Group {
	var kept []stats.Group
	for _, g := range groups {
		kept = append(kept, stats.Group{Terms: g.Terms[:terms], Proportion: g.Proportion})
	}
	return kept
}

func logisticCases(t *testing.T) map[string][]stats.Group {
	t.Helper()
	groups := map[string][]stats.Group{}
	for _, c := range published[logisticCase](t, "logistic_glm") {
		if c.N != nil {
			groups[c.ID] = c.groups()
		}
	}
	groups["budworm_additive"] = first(3, groups["budworm_interaction"])
	return groups
}

func TestLogisticRegressionAgreesWithVenablesAndRipley2002AndBliss1935(t *testing.T) {
	t.Parallel()
	names := map[string][]string{
		"budworm_interaction": {"(Intercept)", "sexM", "ldose", "sexM:ldose"},
		"budworm_additive":    {"(Intercept)", "sexM", "ldose"},
		"beetle_logit":        {"(Intercept)", "x"},
	}
	groups := logisticCases(t)
	var full, relative, printed differences
	cases := published[logisticCase](t, "logistic_glm")
	require.Len(t, cases, len(names))
	for _, c := range cases {
		fit, err := stats.FitLogistic(groups[c.ID])
		require.NoError(t, err, c.ID)
		require.Len(t, fit.Coefficients, len(names[c.ID]))
		for i, name := range names[c.ID] {
			se := math.Sqrt(fit.Covariance[i][i])
			require.Less(t, full.add(fit.Coefficients[i], c.Coef[name]), 1e-8, "%s %s", c.ID, name)
			// R takes the covariance one step before the end, which shows in the sixth digit.
			require.Less(t, relative.add(se/c.SE[name], 1), 5e-6, "%s %s", c.ID, name)
			decimals := 1e-4
			if c.ID == "beetle_logit" {
				decimals = 1e-2
			}
			require.LessOrEqual(t, printed.add(fit.Coefficients[i], c.Published.Coef[i]), 0.51*decimals, "%s %s", c.ID, name)
			require.LessOrEqual(t, printed.add(se, c.Published.SE[i]), 0.51*decimals, "%s %s", c.ID, name)
			for j := range c.VCov[i] {
				require.Less(t, relative.add(fit.Covariance[i][j]/c.VCov[i][j], 1), 1e-5, "%s covariance %d %d", c.ID, i, j)
			}
		}
		require.Less(t, full.add(fit.Deviance, c.Deviance), 1e-9, c.ID)
		require.Less(t, full.add(fit.NullDeviance, c.NullDeviance), 1e-9, c.ID)
		require.Equal(t, c.DF, fit.DF)
		require.Equal(t, c.NullDF, fit.NullDF)
		require.LessOrEqual(t, printed.add(fit.Deviance, c.Published.Deviance), 0.005, c.ID)
		require.Less(t, fit.Steps, 15)
	}
	full.log(t, "coefficients and deviances")
	relative.log(t, "standard errors and covariances, relative")
	printed.log(t, "printed")
}

// The drop from the model with both slopes to the one with a common slope is the
// difference of the two published deviances, 6.7571 - 4.9937 on 1 degree of
// freedom; the probability is that of a squared normal deviate.
func TestTheAnalysisOfDevianceIsTheDifferenceOfThePublishedDeviances(t *testing.T) {
	t.Parallel()
	groups := logisticCases(t)["budworm_interaction"]
	test, err := stats.LogisticTermTest(groups, []int{3})
	require.NoError(t, err)
	require.InDelta(t, 6.757064232229-4.99372730762, test.ChiSquared, 1e-9)
	require.Equal(t, 1, test.DF)
	require.InDelta(t, math.Erfc(math.Sqrt(test.ChiSquared/2)), test.P, 1e-12)

	test, err = stats.LogisticTermTest(groups, []int{3, 1, 2})
	require.NoError(t, err)
	require.InDelta(t, 124.875592604408-4.99372730762, test.ChiSquared, 1e-9)
	require.Equal(t, 3, test.DF)
}

// With one term tested, F is the square of a t deviate, and Student's t with 8
// degrees of freedom has a closed form: with s = t/sqrt(8+t^2) and c = 1-s^2, the
// probability within is s (1 + c/2 + 3c^2/8 + 5c^3/16).
// Abramowitz and Stegun (1964), Handbook of Mathematical Functions, 26.7.4.
func TestWithDispersionTheDropIsTestedByF(t *testing.T) {
	t.Parallel()
	groups := logisticCases(t)["budworm_interaction"]
	fit, err := stats.FitLogistic(groups)
	require.NoError(t, err)
	expected := 0.0
	for _, g := range groups {
		n, eta := float64(g.Examined), 0.0
		for j, c := range fit.Coefficients {
			eta += c * g.Terms[j]
		}
		p := 1 / (1 + math.Exp(-eta))
		expected += math.Pow(float64(g.Infested)-n*p, 2) / (n * p * (1 - p))
	}
	dispersion, err := fit.Dispersion()
	require.NoError(t, err)
	require.InDelta(t, expected/8, dispersion, 1e-12)

	test, err := stats.QuasiLogisticTermTest(groups, []int{3})
	require.NoError(t, err)
	require.InDelta(t, (6.757064232229-4.99372730762)/dispersion, test.F, 1e-8)
	require.Equal(t, 8, test.ResidualDF)
	within := func(deviate float64) float64 {
		s := deviate / math.Sqrt(8+deviate*deviate)
		c := 1 - s*s
		return s * (1 + c/2 + 3*c*c/8 + 5*c*c*c/16)
	}
	require.InDelta(t, 1-within(math.Sqrt(test.F)), test.P, 1e-12)

	limits, err := fit.QuasiWald(2, 0.95)
	require.NoError(t, err)
	reach := (limits.Upper - limits.Lower) / 2 / math.Sqrt(dispersion*fit.Covariance[2][2])
	require.InDelta(t, 0.95, within(reach), 1e-12)
}

// 1.959964 is the normal deviate of 97.5 %, known from every table.
func TestTheWaldIntervalReachesSoManyStandardErrors(t *testing.T) {
	t.Parallel()
	fit, err := stats.FitLogistic(logisticCases(t)["budworm_additive"])
	require.NoError(t, err)
	limits, err := fit.Wald(1, 0.95)
	require.NoError(t, err)
	require.InDelta(t, 1.100743362995-1.959964*0.355827065728, limits.Lower, 1e-6)
	require.InDelta(t, 1.100743362995+1.959964*0.355827065728, limits.Upper, 1e-6)

	_, err = fit.Wald(3, 1)
	require.Equal(t, []string{"/terms/0 " + stats.CodeNoSuchTerm, "/confidence " + stats.CodeOutOfRange}, pathsAndCodes(t, err))
}

// A group of two by two has its coefficient in closed form: the log odds ratio.
func TestTwoGroupsGiveTheLogOddsRatio(t *testing.T) {
	t.Parallel()
	fit, err := stats.FitLogistic(twoGroups(3, 60, 11, 45))
	require.NoError(t, err)
	require.InDelta(t, math.Log(11.0/34/(3.0/57)), fit.Coefficients[1], 1e-12)
	require.InDelta(t, 1.0/11+1.0/34+1.0/3+1.0/57, fit.Covariance[1][1], 1e-12)
	require.InDelta(t, 0, fit.Deviance, 1e-12)
	_, err = fit.Dispersion()
	require.Equal(t, []string{"/groups " + stats.CodeNoDispersion}, pathsAndCodes(t, err))
	_, err = stats.QuasiLogisticTermTest(twoGroups(3, 60, 11, 45), []int{1})
	require.Equal(t, []string{"/groups " + stats.CodeNoDispersion}, pathsAndCodes(t, err))
}

func TestOneFindInThousandMillionIsNoSeparation(t *testing.T) {
	t.Parallel()
	fit, err := stats.FitLogistic(twoGroups(1, stats.LargestCount, 1, 2))
	require.NoError(t, err)
	require.InEpsilon(t, math.Log(stats.LargestCount-1), fit.Coefficients[1], 1e-9)
}

func twoGroups(infested, examined, otherInfested, otherExamined int) []stats.Group {
	return []stats.Group{
		{Terms: []float64{1, 0}, Proportion: stats.Proportion{Examined: examined, Infested: infested}},
		{Terms: []float64{1, 1}, Proportion: stats.Proportion{Examined: otherExamined, Infested: otherInfested}},
	}
}

// line has an intercept and one number per group.
func line(x []float64, infested []int, examined int) []stats.Group {
	var groups []stats.Group
	for i := range x {
		groups = append(groups, stats.Group{Terms: []float64{1, x[i]}, Proportion: stats.Proportion{Examined: examined, Infested: infested[i]}})
	}
	return groups
}

func TestWhatHasNoEstimateIsRefusedWithTheReason(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		groups []stats.Group
		path   string
		code   string
	}{
		"nothing found anywhere":      {line([]float64{1, 2, 3}, []int{0, 0, 0}, 20), "/groups", stats.CodeSeparated},
		"all infested":                {line([]float64{1, 2, 3}, []int{20, 20, 20}, 20), "/groups", stats.CodeSeparated},
		"one group, nothing found":    {first(1, twoGroups(0, 20, 0, 20))[:1], "/groups", stats.CodeSeparated},
		"complete separation":         {line([]float64{1, 2, 3, 4}, []int{0, 0, 20, 20}, 20), "/groups", stats.CodeSeparated},
		"quasi-complete separation":   {line([]float64{1, 2, 3}, []int{0, 7, 20}, 20), "/groups", stats.CodeSeparated},
		"a group without a find":      {twoGroups(0, 10, 5, 10), "/groups", stats.CodeSeparated},
		"separation in large counts":  {twoGroups(0, stats.LargestCount, 5, 10), "/groups", stats.CodeSeparated},
		"separation on a small scale": {line([]float64{1, 1 + 1e-6, 1 + 2e-6}, []int{0, 7, 20}, 20), "/groups", stats.CodeSeparated},
		"a term twice":                {line([]float64{1, 1, 1}, []int{3, 7, 9}, 20), "/terms/1", stats.CodeCollinear},
		"a term of nothing":           {line([]float64{0, 0, 0}, []int{3, 7, 9}, 20), "/terms/1", stats.CodeCollinear},
		"one group, two terms":        {twoGroups(3, 20, 4, 20)[:1], "/terms/1", stats.CodeCollinear},
		"no groups":                   {nil, "/groups", stats.CodeOutOfRange},
		"no terms":                    {first(0, twoGroups(3, 20, 4, 20)), "/groups/0/terms", stats.CodeOutOfRange},
		"unequal terms":               {append(twoGroups(3, 20, 4, 20), first(1, twoGroups(3, 20, 4, 20))[0]), "/groups/2/terms", stats.CodeUnequalTerms},
		"a term that is no number":    {line([]float64{0, math.NaN()}, []int{3, 7}, 20), "/groups/1/terms/1", stats.CodeOutOfRange},
		"nothing examined":            {twoGroups(3, 20, 0, 0), "/groups/1/examined", stats.CodeNothingExamined},
		"more infested than examined": {twoGroups(3, 20, 30, 20), "/groups/1/infested", stats.CodeOutOfRange},
	} {
		fit, err := stats.FitLogistic(c.groups)
		require.Equal(t, []string{c.path + " " + c.code}, pathsAndCodes(t, err), name)
		require.Equal(t, stats.Logistic{}, fit, name)
		if c.code != stats.CodeSeparated {
			_, err = stats.FitFirth(c.groups)
			require.Equal(t, []string{c.path + " " + c.code}, pathsAndCodes(t, err), name)
			continue
		}
		_, err = stats.FitFirth(c.groups)
		require.NoError(t, err, "%s has an estimate with the penalty", name)
	}
	for _, terms := range [][]int{nil, {2}, {-1}, {1, 1}} {
		_, err := stats.LogisticTermTest(twoGroups(3, 20, 4, 20), terms)
		require.True(t, hasCode(err, stats.CodeNoSuchTerm), "%v", terms)
		_, err = stats.FirthTermTest(twoGroups(3, 20, 4, 20), terms)
		require.True(t, hasCode(err, stats.CodeNoSuchTerm), "%v", terms)
	}
}

func hasCode(err error, code string) bool {
	var faults domain.Faults
	if !errors.As(err, &faults) {
		return false
	}
	for _, fault := range faults {
		if fault.Code == code {
			return true
		}
	}
	return false
}
