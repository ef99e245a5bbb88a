package trend_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

func foliage(t require.TestingT, light, dark []trend.Point) trend.FoliageContrast {
	c, err := trend.ContrastFoliage(map[stock.Foliage][]trend.Point{stock.LightFoliage: light, stock.DarkFoliage: dark})
	require.NoError(t, err)
	return c
}

// None found among n plants leaves up to 1 - 0.05^(1/n) infested: 4.95 % for 59, 5.03 %
// for 58; and for 99 2.98 %, so that 3 of 100 on light foliage would have been noticed
// on 99 dark plants, not on 98 (3.01 %).
func TestFoliageSaysWhetherInfestationIsWidespread(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		light, dark [2]int // infested, plants
		want        trend.FoliageCode
	}{
		"light only":                               {[2]int{12, 60}, [2]int{0, 59}, trend.LightOnly},
		"too few dark plants to notice 5 %":        {[2]int{12, 60}, [2]int{0, 58}, trend.FoliageCannotSay},
		"enough to notice what is on light":        {[2]int{3, 100}, [2]int{0, 99}, trend.LightOnly},
		"too few to notice what is on light":       {[2]int{3, 100}, [2]int{0, 98}, trend.FoliageCannotSay},
		"on both":                                  {[2]int{12, 60}, [2]int{6, 60}, trend.DarkToo},
		"on both, more on dark but not clearly":    {[2]int{6, 60}, [2]int{12, 60}, trend.DarkToo},
		"clearly more on dark":                     {[2]int{6, 60}, [2]int{24, 60}, trend.DarkMore},
		"one dark plant is found however few":      {[2]int{12, 60}, [2]int{1, 10}, trend.DarkToo},
		"only on dark, not clearly":                {[2]int{0, 60}, [2]int{1, 60}, trend.DarkToo},
		"only on dark, clearly":                    {[2]int{0, 60}, [2]int{12, 60}, trend.DarkMore},
		"none found":                               {[2]int{0, 59}, [2]int{0, 59}, trend.NoneFound},
		"none found on too few dark plants":        {[2]int{0, 59}, [2]int{0, 58}, trend.FoliageCannotSay},
		"none found on too few light plants":       {[2]int{0, 58}, [2]int{0, 59}, trend.FoliageCannotSay},
		"all infested":                             {[2]int{20, 20}, [2]int{20, 20}, trend.DarkToo},
		"one plant each":                           {[2]int{1, 1}, [2]int{0, 1}, trend.FoliageCannotSay},
		"all of light, none of hardly any of dark": {[2]int{60, 60}, [2]int{0, 4}, trend.FoliageCannotSay},
	} {
		got := foliage(t, []trend.Point{week(t, 0, c.light[0], c.light[1])}, []trend.Point{week(t, 0, c.dark[0], c.dark[1])})
		require.Equal(t, c.want, got.Code, name)
		require.True(t, got.DifferenceKnown, name)
		require.Equal(t, [4]int{c.light[0], c.light[1], c.dark[0], c.dark[1]},
			[4]int{got.LightInfested, got.LightPlants, got.DarkInfested, got.DarkPlants}, name)
	}
}

// Newcombe (1998), Stat. Med. 17:873-890, the example 56 of 70 against 48 of 80 by
// method 10: 0.2, 0.0524 to 0.3339.
func TestTheFoliageDifferenceIsNewcombes(t *testing.T) {
	t.Parallel()
	c := foliage(t, []trend.Point{week(t, 1, 40, 60), week(t, 0, 8, 20)}, []trend.Point{week(t, 0, 56, 70)})
	require.InDelta(t, 20, c.Difference, 1e-9)
	require.InDelta(t, 5.24, c.LowerDifference, 0.005)
	require.InDelta(t, 33.39, c.UpperDifference, 0.005)
	require.Equal(t, trend.DarkMore, c.Code)
}

func TestPlantsOfABlockAreAlikeAlsoForFoliage(t *testing.T) {
	t.Parallel()
	// 118 plants with a design effect of 2 tell as much as 59.
	c := foliage(t, []trend.Point{week(t, 0, 12, 60)}, []trend.Point{clustered(t, 0, 0, 118, 2)})
	require.Equal(t, trend.LightOnly, c.Code)
	c = foliage(t, []trend.Point{week(t, 0, 12, 60)}, []trend.Point{clustered(t, 0, 0, 117, 2)})
	require.Equal(t, trend.FoliageCannotSay, c.Code)
}

func TestFoliageIsComparedOverTheSameWeeks(t *testing.T) {
	t.Parallel()
	c := foliage(t, []trend.Point{week(t, 0, 12, 60)}, []trend.Point{week(t, 2, 30, 60)})
	require.Equal(t, trend.FoliageContrast{Code: trend.FoliageCannotSay, LightPlants: 60, LightInfested: 12}, c)

	c, err := trend.ContrastFoliage(map[stock.Foliage][]trend.Point{
		stock.LightFoliage: {week(t, 2, 12, 60)}, stock.DarkFoliage: {week(t, 2, 3, 60)}, stock.MediumFoliage: {week(t, 0, 3, 60)},
	})
	require.NoError(t, err)
	require.Equal(t, trend.FoliageContrast{Code: trend.FoliageCannotSay}, c, "the weeks are those of any foliage")

	require.Equal(t, trend.FoliageContrast{Code: trend.FoliageCannotSay}, foliage(t, nil, nil))
}

func TestContradictingCountsOfFoliageAreAnError(t *testing.T) {
	t.Parallel()
	bad := week(t, 0, 1, 5)
	bad.Infested = 6
	_, err := trend.ContrastFoliage(map[stock.Foliage][]trend.Point{stock.LightFoliage: {bad}, stock.DarkFoliage: {week(t, 0, 1, 5)}})
	require.ErrorContains(t, err, "dark against light")
}
