package stats_test

import (
	"math"
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

// someLine draws groups with an intercept and one more term, often separated.
func someLine(t *rapid.T) []stats.Group {
	x := rapid.SliceOfN(rapid.IntRange(-3, 3), 1, 8).Draw(t, "term")
	var groups []stats.Group
	for _, value := range x {
		n := rapid.OneOf(rapid.IntRange(1, 6), rapid.IntRange(1, 3000)).Draw(t, "examined")
		infested := rapid.OneOf(rapid.IntRange(0, n), rapid.SampledFrom([]int{0, n})).Draw(t, "infested")
		groups = append(groups, stats.Group{
			Terms:      []float64{1, float64(value)},
			Proportion: stats.Proportion{Examined: n, Infested: infested},
		})
	}
	return groups
}

// With one term, separation can be read off a line: no free unit lies above an
// infested one, or none below.
func wantCode(groups []stats.Group) string {
	lowInfested, highInfested, lowFree, highFree := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, g := range groups {
		if g.Infested > 0 {
			lowInfested, highInfested = min(lowInfested, g.Terms[1]), max(highInfested, g.Terms[1])
		}
		if g.Infested < g.Examined {
			lowFree, highFree = min(lowFree, g.Terms[1]), max(highFree, g.Terms[1])
		}
	}
	switch {
	case min(lowInfested, lowFree) == max(highInfested, highFree):
		return stats.CodeCollinear
	case highFree <= lowInfested || highInfested <= lowFree:
		return stats.CodeSeparated
	}
	return ""
}

func TestSeparationIsReportedExactlyWhereALineShowsIt(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		groups := someLine(t)
		fit, err := stats.FitLogistic(groups)
		if want := wantCode(groups); want != "" {
			require.True(t, hasCode(err, want), "%v: %v", want, err)
			return
		}
		require.NoError(t, err)
		var score, scale [2]float64 // at the maximum observed and expected sums are equal
		for _, g := range groups {
			p := 1 / (1 + math.Exp(-fit.Coefficients[0]-fit.Coefficients[1]*g.Terms[1]))
			for j, term := range g.Terms {
				score[j] += term * (float64(g.Infested) - float64(g.Examined)*p)
				scale[j] += math.Abs(term) * float64(g.Examined)
			}
		}
		require.InDelta(t, 0, score[0], 1e-10*(1+scale[0]))
		require.InDelta(t, 0, score[1], 1e-10*(1+scale[1]))
		require.LessOrEqual(t, fit.Deviance, fit.NullDeviance+1e-9)
	})
}

func TestTheOrderAndTheSplittingOfGroupsChangeNoEstimate(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		groups := someLine(t)
		var split []stats.Group
		for _, g := range groups {
			part := g
			part.Examined = rapid.IntRange(0, g.Examined).Draw(t, "part examined")
			part.Infested = rapid.IntRange(max(0, part.Examined-g.Examined+g.Infested), min(part.Examined, g.Infested)).Draw(t, "part infested")
			rest := g
			rest.Examined -= part.Examined
			rest.Infested -= part.Infested
			for _, some := range []stats.Group{part, rest} {
				if some.Examined > 0 {
					split = append(split, some)
				}
			}
		}
		split = rapid.Permutation(split).Draw(t, "order")

		whole, err := stats.FitLogistic(groups)
		parts, errParts := stats.FitLogistic(split)
		require.Equal(t, err == nil, errParts == nil, "%v, %v", err, errParts)
		requireClose(t, whole.Coefficients, parts.Coefficients)
		penalised, err := stats.FitFirth(groups)
		penalisedParts, errParts := stats.FitFirth(split)
		require.Equal(t, err == nil, errParts == nil, "%v, %v", err, errParts)
		requireClose(t, penalised.Coefficients, penalisedParts.Coefficients)
		requireClose(t, []float64{penalised.PenalisedLogLikelihood}, []float64{penalisedParts.PenalisedLogLikelihood})
		if err != nil {
			return
		}
		limits, err := stats.FirthLimits(groups, 1, 0.95)
		require.NoError(t, err)
		limitsParts, err := stats.FirthLimits(split, 1, 0.95)
		require.NoError(t, err)
		requireClose(t, []float64{limits.Lower, limits.Upper}, []float64{limitsParts.Lower, limitsParts.Upper})
		require.Less(t, limits.Lower, penalised.Coefficients[1])
		require.Greater(t, limits.Upper, penalised.Coefficients[1])
		test, err := stats.FirthTermTest(groups, []int{1})
		require.NoError(t, err)
		if alike(groups) { // the likelihood can have two peaks, with the dip between inside the limits
			return
		}
		if inside := limits.Lower < 0 && 0 < limits.Upper; math.Abs(test.P-0.05) > 1e-6 {
			require.Equal(t, inside, test.P > 0.05, "%+v %+v", limits, test)
		}
	})
}

// alike reports whether nothing, or everything, was infested.
func alike(groups []stats.Group) bool {
	found, free := 0, 0
	for _, g := range groups {
		found += g.Infested
		free += g.Examined - g.Infested
	}
	return found == 0 || free == 0
}

func requireClose(t require.TestingT, want, got []float64) {
	require.Len(t, got, len(want))
	for i := range want {
		require.InDelta(t, want[i], got[i], 1e-6*(1+math.Abs(want[i])))
	}
}

func TestAShrunkenShareLiesBetweenTheGroupsOwnAndTheMeanOfAll(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		prior := stats.BetaBinomial{
			Alpha: rapid.Float64Range(stats.SmallestBeta, stats.LargestBeta).Draw(t, "alpha"),
			Beta:  rapid.Float64Range(stats.SmallestBeta, stats.LargestBeta).Draw(t, "beta"),
		}
		p := someProportion(t)
		own, err := p.Share()
		require.NoError(t, err)
		got, err := prior.Posterior(p, rapid.Float64Range(0.01, 0.999999).Draw(t, "confidence"))
		require.NoError(t, err)
		require.GreaterOrEqual(t, got.Share, min(own, prior.Mean())-1e-15)
		require.LessOrEqual(t, got.Share, max(own, prior.Mean())+1e-15)
		require.GreaterOrEqual(t, got.Lower, 0.0)
		require.LessOrEqual(t, got.Lower, got.Upper)
		require.LessOrEqual(t, got.Upper, 1.0)
		require.True(t, got.SD >= 0 && got.SD <= 0.5)
	})
}

func TestTheSpreadDoesNotDependOnTheOrderOfTheGroups(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var groups []stats.Proportion
		for range rapid.IntRange(2, 12).Draw(t, "groups") {
			n := rapid.IntRange(1, 200).Draw(t, "examined")
			groups = append(groups, stats.Proportion{Examined: n, Infested: rapid.IntRange(0, n).Draw(t, "infested")})
		}
		for _, method := range []func([]stats.Proportion) (stats.BetaBinomial, error){stats.BetaBinomialByMoments, stats.BetaBinomialByLikelihood} {
			want, err := method(groups)
			got, errOther := method(rapid.Permutation(slices.Clone(groups)).Draw(t, "order"))
			require.Equal(t, err == nil, errOther == nil)
			require.False(t, hasCode(err, stats.CodeNotConverged), "%v", err)
			requireClose(t, []float64{want.Alpha, want.Beta}, []float64{got.Alpha, got.Beta})
		}
	})
}

func TestFunnelLimitsNarrowWithMoreConfidenceGivenUp(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		target := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "target")
		n := someProportion(t).Examined
		confidence := rapid.Float64Range(0.01, 0.9999).Draw(t, "confidence")
		inner, err := stats.FunnelLimits(target, n, confidence)
		require.NoError(t, err)
		outer, err := stats.FunnelLimits(target, n, rapid.Float64Range(confidence, 0.99999).Draw(t, "surer"))
		require.NoError(t, err)
		require.LessOrEqual(t, outer.Lower, inner.Lower+1e-9)
		require.GreaterOrEqual(t, outer.Upper, inner.Upper-1e-9)
		require.True(t, 0 <= inner.Lower && inner.Lower <= inner.Upper && inner.Upper <= 1, "%+v", inner)
	})
}

// FuzzModels reads groups of three terms from bytes and holds every function to
// numbers that are numbers, faults that are faults, and a bounded time.
func FuzzModels(f *testing.F) {
	f.Add([]byte{0, 1, 2, 20, 0, 1, 3, 4, 20, 0, 1, 5, 9, 20, 0}, 1.0, 0.95)
	f.Add([]byte{0, 1, 2, 20, 20, 1, 3, 4, 20, 20, 1, 5, 9, 20, 20}, 1.0, 0.95)
	f.Add([]byte{1, 0, 0, 20, 3}, 1e9, 0.95)
	f.Add([]byte{1, 1, 1, 20, 3, 1, 1, 1, 9, 4, 1, 2, 2, 9, 4, 1, 3, 1, 9, 4}, 1.0, 0.95)
	f.Add([]byte{1, 1, 1, 20, 0, 1, 2, 4, 9, 4, 1, 3, 9, 9, 9, 1, 4, 1, 9, 9}, 1e-7, 0.9999999999999999)
	f.Add([]byte{1, 0, 1, 255, 1, 1, 1, 4, 1, 1, 1, 1, 2, 3, 1, 1, 4, 1, 9, 2}, -1e9, 5e-324)
	f.Add([]byte{1, 0, 1, 5, 1, 1, 1, 4, 1, 1}, math.NaN(), math.NaN())
	f.Fuzz(func(t *testing.T, bytes []byte, scale, confidence float64) {
		if len(bytes) > 200 {
			return
		}
		var groups []stats.Group
		var counts []stats.Proportion
		for ; len(bytes) >= 5; bytes = bytes[5:] {
			n := int(bytes[3])
			if n > 200 {
				n = stats.LargestCount >> (255 - n)
			}
			p := stats.Proportion{Examined: n, Infested: int(bytes[4])}
			if bytes[4] == 255 {
				p.Infested = n
			}
			counts = append(counts, p)
			groups = append(groups, stats.Group{Terms: []float64{float64(bytes[0] & 1), float64(bytes[1]), scale * float64(bytes[2])}, Proportion: p})
		}
		begun := time.Now()
		fit, err := stats.FitLogistic(groups)
		requireNumbers(t, fit, err)
		if err == nil {
			limits, err := fit.Wald(2, confidence)
			requireNumbers(t, limits, err)
			limits, err = fit.QuasiWald(2, confidence)
			requireNumbers(t, limits, err)
		}
		test, err := stats.LogisticTermTest(groups, []int{2, 0})
		requireNumbers(t, test, err)
		dispersed, err := stats.QuasiLogisticTermTest(groups, []int{1})
		requireNumbers(t, dispersed, err)
		penalised, err := stats.FitFirth(groups)
		requireNumbers(t, penalised, err)
		test, err = stats.FirthTermTest(groups, []int{2})
		requireNumbers(t, test, err)
		limits, err := stats.FirthLimits(groups, 2, confidence)
		requireNumbers(t, limits, err)
		prior, err := stats.BetaBinomialByMoments(counts)
		requireNumbers(t, prior, err)
		prior, err = stats.BetaBinomialByLikelihood(counts)
		requireNumbers(t, prior, err)
		if len(counts) > 0 {
			shrunken, err := prior.Posterior(counts[0], confidence)
			requireNumbers(t, shrunken, err)
			funnel, err := stats.FunnelLimits(scale, counts[0].Examined, confidence)
			requireNumbers(t, funnel, err)
		}
		require.Less(t, time.Since(begun), 5*time.Second)
	})
}

// requireNumbers goes through all numbers of a result.
func requireNumbers(t require.TestingT, result any, err error) {
	if err != nil {
		var faults domain.Faults
		require.ErrorAs(t, err, &faults)
		require.True(t, reflect.ValueOf(result).IsZero(), "%+v with %v", result, err)
		return
	}
	var visit func(v reflect.Value)
	visit = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Float64:
			require.False(t, math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0), "%+v", result)
		case reflect.Struct:
			for i := range v.NumField() {
				visit(v.Field(i))
			}
		case reflect.Slice:
			for i := range v.Len() {
				visit(v.Index(i))
			}
		}
	}
	visit(reflect.ValueOf(result))
}
