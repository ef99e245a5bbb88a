package trend_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
	"benchtrail/domain/trend"
)

var oneHouse = blockID(999)

func placed(weeksBack, block, lot, infested, plants, standing int) trend.Placed {
	return trend.Placed{
		Week: lastWeek.AddDays(-7 * weeksBack), HouseID: oneHouse, CultivarID: blockID(500), Stratum: trend.Stratum{Foliage: "light", AgeWeeks: 4},
		Cluster: trend.Cluster{LotID: blockID(100 + lot), BlockID: blockID(block), Looks: min(plants, 1), Plants: plants, Infested: infested, Standing: standing},
		AtEnd:   standing,
	}
}

func weeks(from, to int) trend.Period {
	return trend.Period{From: lastWeek.AddDays(-7 * from), To: lastWeek.AddDays(-7 * to)}
}

func TestAHouseSaysTheSameAsInItsWeeklySeries(t *testing.T) {
	t.Parallel()
	all := []trend.Placed{
		placed(1, 1, 1, 9, 20, 300), placed(0, 1, 1, 3, 20, 300), placed(0, 1, 2, 1, 10, 200), placed(0, 2, 1, 0, 15, 100), placed(0, 3, 1, 0, 0, 400),
	}
	alike := trend.BlockCorrelation{Correlation: 0.1}
	h := trend.HousesIn(all, weeks(0, 0))[oneHouse]
	c, err := trend.CompareHouses([]trend.HouseLooks{h}, lastWeek, alike, alike)
	require.NoError(t, err)
	series, err := trend.Estimate(trend.SampleOf(lastWeek, []trend.Cluster{all[1].Cluster, all[2].Cluster, all[3].Cluster}, 1000, 3), alike)
	require.NoError(t, err)
	require.Equal(t, series, c.Houses[0].Point)
}

// Ten weeks of the same two blocks are two clusters, not twenty.
func TestLooksAtTheSameBlockAgainAreNoLooksAtOthers(t *testing.T) {
	t.Parallel()
	var all []trend.Placed
	for back := range 10 {
		all = append(all, placed(back, 1, 1, 4, 20, 300), placed(back, 2, 1, 0, 20, 300))
	}
	h := trend.HousesIn(all, weeks(9, 0))[oneHouse]
	require.Len(t, h.Parts, 2)
	c, err := trend.CompareHouses([]trend.HouseLooks{h}, domain.Date{}, trend.BlockCorrelation{Correlation: 0.1}, trend.BlockCorrelation{})
	require.NoError(t, err)
	require.Equal(t, []int{400, 40}, []int{c.Houses[0].Point.Plants, c.Houses[0].Point.Infested})
	require.InDelta(t, 1/(0.1/2+0.9/400), c.Houses[0].Point.Effective, 1e-9)
}

// 5 % of 700 plants are 35, half of three blocks are two, 15 in a block that has more.
func TestAWalkIsHeldAgainstTheRules(t *testing.T) {
	t.Parallel()
	rules := scouting.UsualRules()
	walk := func(all ...trend.Placed) scouting.RulesMet {
		return rules.Met(trend.LookedAtIn(all, weeks(0, 0))[trend.HouseWeek{HouseID: oneHouse, Week: lastWeek}])
	}
	small := placed(0, 3, 1, 0, 10, 10)
	met := walk(placed(0, 1, 1, 0, 12, 200), placed(0, 1, 2, 0, 13, 190), small, placed(0, 2, 1, 0, 0, 300))
	require.Equal(t, scouting.RulesMet{CropShare: true, BlockShare: true, PlantsPerBlock: true, PlantsAsked: 35, BlocksAsked: 2}, met)
	require.True(t, met.All())
	few := walk(placed(0, 1, 1, 0, 14, 400), small, placed(0, 2, 1, 0, 0, 290))
	require.Equal(t, scouting.RulesMet{BlockShare: true, PlantsAsked: 35, BlocksAsked: 2}, few)
	require.False(t, walk(placed(0, 1, 1, 0, 0, 400)).All(), "a house nobody walked")
}

func TestALotIsReadAtItsLatestLookInTheHouse(t *testing.T) {
	t.Parallel()
	all := []trend.Placed{placed(2, 1, 1, 9, 20, 300), placed(1, 1, 1, 2, 20, 300), placed(0, 1, 1, 0, 0, 300), placed(1, 2, 2, 0, 20, 300)}
	lots, err := trend.LotsIn(all, weeks(2, 0), trend.BlockCorrelation{Correlation: 0.1})
	require.NoError(t, err)
	require.Len(t, lots, 2)
	require.Equal(t, []int{2, 0}, []int{lots[0].Point.Infested, lots[1].Point.Infested})
	require.Equal(t, lastWeek.AddDays(-7), lots[0].Point.WeekStart)
}
