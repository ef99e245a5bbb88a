package stats_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/stats"
)

type firthCase struct {
	Rows      [][]float64 // the terms without the intercept, then units and cases
	Coef      []float64
	SE        []float64
	Fisher    []float64                              `json:"se_fisher"`
	Lower     []float64                              `json:"profile_pl_ci_lower"`
	Upper     []float64                              `json:"profile_pl_ci_upper"`
	P         []float64                              `json:"plr_p"`
	Height    float64                                `json:"penalized_loglik"`
	Published struct{ Coef, Lower, Upper []float64 } `json:"published_2dp"`
}

// firth reads one case; the case of ridge regression in the same file has another shape.
func firth(t *testing.T, id string) firthCase {
	t.Helper()
	for _, text := range published[json.RawMessage](t, "logistic_firth") {
		var named struct{ ID string }
		require.NoError(t, json.Unmarshal(text, &named))
		if named.ID == id {
			var c firthCase
			require.NoError(t, json.Unmarshal(text, &c))
			return c
		}
	}
	require.FailNow(t, "no such case", id)
	return firthCase{}
}

func (c firthCase) groups() []stats.Group {
	var groups []stats.Group
	for _, row := range c.Rows {
		last := len(row) - 2
		groups = append(groups, stats.Group{
			Terms:      append([]float64{1}, row[:last]...),
			Proportion: stats.Proportion{Examined: int(row[last]), Infested: int(row[last+1])},
		})
	}
	return groups
}

func TestFirthAgreesWithHeinzeAndSchemper2002(t *testing.T) {
	t.Parallel()
	c := firth(t, "sex2")
	groups := c.groups()
	fit, err := stats.FitFirth(groups)
	require.NoError(t, err)
	require.Len(t, fit.Coefficients, len(c.Coef))
	var estimates, limits, chances, printed differences
	require.Less(t, estimates.add(fit.PenalisedLogLikelihood, c.Height), 1e-8)
	for i := range c.Coef {
		require.Less(t, estimates.add(fit.Coefficients[i], c.Coef[i]), 1e-8, "term %d", i)
		require.Less(t, estimates.add(math.Sqrt(fit.Covariance[i][i]), c.Fisher[i]), 1e-8, "term %d", i)
		ends, err := stats.FirthLimits(groups, i, 0.95)
		require.NoError(t, err)
		require.Less(t, limits.add(ends.Lower, c.Lower[i]), 1e-5, "term %d", i)
		require.Less(t, limits.add(ends.Upper, c.Upper[i]), 1e-5, "term %d", i)
		test, err := stats.FirthTermTest(groups, []int{i})
		require.NoError(t, err)
		require.Less(t, chances.add(test.P, c.P[i]), 1e-8, "term %d", i)
		require.LessOrEqual(t, printed.add(fit.Coefficients[i], c.Published.Coef[i]), 0.0051, "term %d", i)
		require.LessOrEqual(t, printed.add(ends.Lower, c.Published.Lower[i]), 0.0051, "term %d", i)
		require.LessOrEqual(t, printed.add(ends.Upper, c.Published.Upper[i]), 0.0051, "term %d", i)
	}
	estimates.log(t, "estimates, standard errors, penalised likelihood")
	limits.log(t, "profile limits")
	chances.log(t, "probabilities")
	printed.log(t, "printed, 2 decimals")
}

// The likelihood-ratio test of all six terms of sex2, 49.09 on 6 degrees of
// freedom, is printed in the manual of the R package logistf.
func TestTheModelWithoutTheTermsKeepsTheirPenalty(t *testing.T) {
	t.Parallel()
	test, err := stats.FirthTermTest(firth(t, "sex2").groups(), []int{1, 2, 3, 4, 5, 6})
	require.NoError(t, err)
	require.InDelta(t, 49.0907, test.ChiSquared, 5e-4)
	require.Equal(t, 6, test.DF)
}

// With as many groups as terms the penalty adds half a unit to each cell.
func TestASaturatedModelAddsHalfAUnitToEachCell(t *testing.T) {
	t.Parallel()
	c := firth(t, "separated_2x2")
	fit, err := stats.FitFirth(twoGroups(0, 10, 5, 10))
	require.NoError(t, err)
	require.InDelta(t, math.Log(21), fit.Coefficients[1], 1e-9)
	for i := range c.Coef {
		require.InDelta(t, c.Coef[i], fit.Coefficients[i], 1e-9)
		require.InDelta(t, c.SE[i], math.Sqrt(fit.Covariance[i][i]), 1e-9)
	}
	one, err := stats.FitFirth(first(1, twoGroups(0, 1, 0, 1))[:1])
	require.NoError(t, err)
	require.InDelta(t, math.Log(0.5/1.5), one.Coefficients[0], 1e-9)
}

func TestTheLimitsOfASeparatedTermAreFiniteAndLopsided(t *testing.T) {
	t.Parallel()
	groups := twoGroups(0, 10, 5, 10)
	fit, err := stats.FitFirth(groups)
	require.NoError(t, err)
	limits, err := stats.FirthLimits(groups, 1, 0.95)
	require.NoError(t, err)
	require.Greater(t, limits.Upper-fit.Coefficients[1], fit.Coefficients[1]-limits.Lower)
	_, err = stats.FirthLimits(groups, 1, math.NaN())
	require.Equal(t, []string{"/confidence " + stats.CodeOutOfRange}, pathsAndCodes(t, err))
	_, err = stats.FirthLimits(groups, 2, 0.95)
	require.Equal(t, []string{"/terms/0 " + stats.CodeNoSuchTerm}, pathsAndCodes(t, err))
}
