package arrival_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
)

// pace: four seconds a plant and a minute to fetch, open and write up a lot
// (common practice).
var pace = arrival.Pace{SecondsPerPlant: 4, MinutesPerLot: 1}

func waitingLots() []arrival.Waiting {
	var lots []arrival.Waiting
	for i := range 25 {
		lots = append(lots, arrival.Waiting{
			LotID: domain.ID{0: 7, 15: byte(i + 1)}, Code: fmt.Sprintf("31-%02d", i+1), Plants: 300 + 100*(i%9), FarmKnown: i%5 != 0,
			Foliage:  []stock.Foliage{stock.LightFoliage, stock.MediumFoliage, stock.DarkFoliage}[i%3],
			PastLots: i % 6, PastLotsWithFinds: (i % 6) / 2,
		})
	}
	return lots
}

func TestTwentyFiveLotsFitAnHour(t *testing.T) {
	t.Parallel()
	plan, err := arrival.PlanDock(waitingLots(), 60, 0.95, pace)
	require.NoError(t, err)
	require.InDelta(t, 60, plan.Minutes, 0)
	require.LessOrEqual(t, plan.MinutesUsed, 60.0)
	require.Greater(t, plan.MinutesUsed, 50.0, "the hour is used")
	require.Len(t, plan.Steps, 25)
	require.Empty(t, plan.LeftOut)
	for _, step := range plan.Steps {
		require.LessOrEqual(t, step.PlantsToLookAt, step.Plants)
		require.Positive(t, step.RulesOutPercent)
		require.LessOrEqual(t, step.RulesOutPercent, 20.0)
		require.NotEmpty(t, step.Reasons)
	}
}

// With Laplace's rule of succession 3 of 4 lots with finds is 4/6, no history 1/2,
// 1 of 4 is 2/6 and 0 of 10 is 1/12.
func TestTheRiskiestLotsComeFirst(t *testing.T) {
	t.Parallel()
	lot := func(n byte, past, withFinds, plants int, foliage stock.Foliage) arrival.Waiting {
		return arrival.Waiting{LotID: domain.ID{15: n}, PastLots: past, PastLotsWithFinds: withFinds, Plants: plants, Foliage: foliage, FarmKnown: true}
	}
	lots := []arrival.Waiting{
		lot(7, 10, 0, 900, stock.LightFoliage), lot(5, 4, 1, 100, stock.DarkFoliage), lot(4, 4, 1, 100, stock.DarkFoliage),
		lot(6, 4, 1, 800, stock.DarkFoliage), lot(3, 4, 1, 200, stock.LightFoliage), lot(2, 0, 0, 400, stock.DarkFoliage), lot(1, 4, 3, 400, stock.DarkFoliage),
	}
	plan, err := arrival.PlanDock(lots, 600, 0.95, pace)
	require.NoError(t, err)
	var order []byte
	for _, step := range plan.Steps {
		order = append(order, step.LotID[15])
	}
	require.Equal(t, []byte{1, 2, 3, 6, 4, 5, 7}, order, "by past finds, then light foliage, then size, then id")
}

func TestTheReasonsNameWhatIsKnownOfTheOrigin(t *testing.T) {
	t.Parallel()
	plan, err := arrival.PlanDock([]arrival.Waiting{
		{LotID: domain.ID{15: 1}, Plants: 500, PastLots: 8, PastLotsWithFinds: 6, FarmKnown: true},
		{LotID: domain.ID{15: 2}, Plants: 500, Foliage: stock.LightFoliage},
	}, 60, 0.95, pace)
	require.NoError(t, err)
	require.Equal(t, []arrival.Reason{{Code: "past_finds", Numbers: map[string]float64{"lots_with_finds": 6, "lots": 8}}}, plan.Steps[0].Reasons)
	require.Equal(t, []arrival.Reason{{Code: "no_history"}, {Code: "farm_not_known"}, {Code: "light_foliage"}}, plan.Steps[1].Reasons)
}

// ISPM 31 (2008), appendix 2, table 1: 57 plants of a lot of 1,000 rule out 5 %
// with 95 % confidence. At four seconds a plant and one minute that is 4.8 minutes.
func TestAPlanLooksAtThePublishedNumberOfPlants(t *testing.T) {
	t.Parallel()
	lots := []arrival.Waiting{{LotID: lotID, Plants: 1000}}
	plan, err := arrival.PlanDock(lots, 4.9, 0.95, pace)
	require.NoError(t, err)
	require.Equal(t, publishedSample(t, 1000, 0.05, 0.95), plan.Steps[0].PlantsToLookAt)
	require.InDelta(t, 5, plan.Steps[0].RulesOutPercent, 1e-9)
	require.InDelta(t, 4.8, plan.Steps[0].Minutes, 1e-9)
}

func TestWithLittleTimeTheRiskiestLotsAreLookedAt(t *testing.T) {
	t.Parallel()
	all, err := arrival.PlanDock(waitingLots(), 600, 0.95, pace)
	require.NoError(t, err)
	plan, err := arrival.PlanDock(waitingLots(), 10, 0.95, pace)
	require.NoError(t, err)
	require.NotEmpty(t, plan.Steps)
	require.NotEmpty(t, plan.LeftOut)
	for i, step := range plan.Steps {
		require.Equal(t, all.Steps[i].LotID, step.LotID)
	}
	none, err := arrival.PlanDock(waitingLots(), 0, 0.95, pace)
	require.NoError(t, err)
	require.Empty(t, none.Steps)
	require.Len(t, none.LeftOut, 25)
	nothing, err := arrival.PlanDock(nil, 60, 0.95, pace)
	require.NoError(t, err)
	require.Equal(t, arrival.DockPlan{Minutes: 60}, nothing)
}

func TestALotOfNoPlantsCannotBePlanned(t *testing.T) {
	t.Parallel()
	_, err := arrival.PlanDock([]arrival.Waiting{{Code: "31-07"}}, 60, 0.95, pace)
	require.ErrorContains(t, err, "31-07")
	require.Equal(t, []string{"/lot out_of_range"}, codes(t, err))
}

func TestADockPlanLosesNothingAndKeepsItsTime(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var lots []arrival.Waiting
		for i := range rapid.IntRange(0, 30).Draw(t, "lots") {
			past := rapid.IntRange(0, 9).Draw(t, "past lots")
			lots = append(lots, arrival.Waiting{
				LotID: domain.ID{15: byte(i + 1)}, Plants: rapid.IntRange(1, 3000).Draw(t, "plants"),
				Foliage:  rapid.SampledFrom([]stock.Foliage{stock.LightFoliage, stock.DarkFoliage}).Draw(t, "foliage"),
				PastLots: past, PastLotsWithFinds: rapid.IntRange(0, past).Draw(t, "with finds"),
			})
		}
		minutes := rapid.Float64Range(0, 300).Draw(t, "minutes")
		pace := arrival.Pace{
			SecondsPerPlant: rapid.Float64Range(0, 20).Draw(t, "seconds a plant"), MinutesPerLot: rapid.Float64Range(0, 5).Draw(t, "minutes a lot"),
		}
		given := slices.Clone(lots)
		plan, err := arrival.PlanDock(lots, minutes, 0.95, pace)
		require.NoError(t, err)
		require.Equal(t, given, lots, "the list itself is left as it was")

		sum, seen := 0.0, map[domain.ID]bool{}
		for _, id := range plan.LeftOut {
			seen[id] = true
		}
		for _, step := range plan.Steps {
			seen[step.LotID] = true
			sum += step.Minutes
			require.InDelta(t, pace.MinutesPerLot+float64(step.PlantsToLookAt)*pace.SecondsPerPlant/60, step.Minutes, 1e-9)
			require.GreaterOrEqual(t, step.PlantsToLookAt, 1)
			require.LessOrEqual(t, step.PlantsToLookAt, step.Plants)
			level, err := stats.DetectableLevel(step.Plants, step.PlantsToLookAt, 0.95, 1)
			require.NoError(t, err)
			require.InDelta(t, 100*level.Share, step.RulesOutPercent, 1e-9)
		}
		require.LessOrEqual(t, plan.MinutesUsed, minutes)
		require.InDelta(t, plan.MinutesUsed, sum, 1e-6)
		require.Len(t, seen, len(lots))
		require.Equal(t, len(lots), len(plan.Steps)+len(plan.LeftOut))

		again, err := arrival.PlanDock(rapid.Permutation(lots).Draw(t, "in another order"), minutes, 0.95, pace)
		require.NoError(t, err)
		require.Equal(t, plan, again, "the order of the list does not matter")
	})
}
