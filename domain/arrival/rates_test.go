package arrival_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/arrival"
	"benchtrail/domain/stats"
)

func lots(rates ...stats.Proportion) []stats.Proportion { return rates }

func TestALossThatFellOnOneLotIsLessSureThanOneSpreadOverAll(t *testing.T) {
	t.Parallel()
	spread := lots(stats.Proportion{Examined: 400, Infested: 40}, stats.Proportion{Examined: 400, Infested: 38}, stats.Proportion{Examined: 400, Infested: 42}, stats.Proportion{Examined: 400, Infested: 40})
	fell := lots(stats.Proportion{Examined: 400, Infested: 160}, stats.Proportion{Examined: 400}, stats.Proportion{Examined: 400}, stats.Proportion{Examined: 400})
	even, err := arrival.RatesOf([][]stats.Proportion{spread}, 0.95)
	require.NoError(t, err)
	one, err := arrival.RatesOf([][]stats.Proportion{fell}, 0.95)
	require.NoError(t, err)
	require.Equal(t, []int{160, 1600, 160, 1600}, []int{even[0].Count, even[0].Of, one[0].Count, one[0].Of})
	plain, err := stats.Wilson(stats.Proportion{Examined: 1600, Infested: 160}, 0.95)
	require.NoError(t, err)
	require.InDelta(t, plain.Lower, even[0].Lower, 1e-9, "lots that fare as plants drawn one by one need no widening")
	require.InDelta(t, plain.Upper, even[0].Upper, 1e-9)
	require.Less(t, one[0].Lower, 0.03, "it may as well be a rare event")
	require.Greater(t, one[0].Upper, 0.35)
}

func TestOneLotAloneIsReadWithTheCautiousLikeness(t *testing.T) {
	t.Parallel()
	alone, err := arrival.RatesOf([][]stats.Proportion{lots(stats.Proportion{Examined: 400, Infested: 40})}, 0.95)
	require.NoError(t, err)
	want, err := stats.WilsonOfShare(0.1, 400/(1+399*0.10), 0.95)
	require.NoError(t, err)
	require.InDelta(t, want.Lower, alone[0].Lower, 1e-9)
	require.InDelta(t, want.Upper, alone[0].Upper, 1e-9)
}

func TestOfNothingThereIsNoRate(t *testing.T) {
	t.Parallel()
	rates, err := arrival.RatesOf([][]stats.Proportion{{}, lots(stats.Proportion{})}, 0.95)
	require.NoError(t, err)
	require.Equal(t, []arrival.Rate{{Upper: 1}, {Upper: 1}}, rates)
}
