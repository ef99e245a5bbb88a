package simulation

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain/stock"
)

// row gives plants of which the first are infested.
func row(plants, infested int) []age {
	r := make([]age, plants)
	for i := range infested {
		r[i] = 4
	}
	return r
}

func outbreakOf(seed uint64, r rates, blocks int, guarded bool) *outbreak {
	beside, all := make([][]int, blocks), make([]bool, blocks)
	for i := range blocks {
		all[i] = guarded
		if i > 0 {
			beside[i] = append(beside[i], i-1)
			beside[i-1] = append(beside[i-1], i)
		}
	}
	return newOutbreak(r, rand.New(rand.NewPCG(seed, 1)), beside, all)
}

func closed() rates {
	r := usualRates()
	r.fromOutside = 0
	return r
}

func TestWithoutAnInfestedPlantNothingSpreads(t *testing.T) {
	t.Parallel()
	o := outbreakOf(1, closed(), 2, false)
	o.place(0, 0, stock.LightFoliage, row(300, 0))
	o.place(1, 1, stock.LightFoliage, row(300, 0))
	for range 20 {
		o.week()
	}
	require.Zero(t, o.stands[0].infested()+o.stands[1].infested())
}

// One week's spread reaches the block beside and no further.
func TestSpreadGoesFromBlockToBlock(t *testing.T) {
	t.Parallel()
	o := outbreakOf(2, closed(), 3, false)
	o.place(0, 0, stock.LightFoliage, row(400, 400))
	o.place(1, 1, stock.LightFoliage, row(400, 0))
	o.place(2, 2, stock.LightFoliage, row(400, 0))
	o.week()
	require.Positive(t, o.stands[1].infested())
	require.Zero(t, o.stands[2].infested())
	for range 4 {
		o.week()
	}
	require.Positive(t, o.stands[2].infested())
}

func TestGrowthSlowsAsPlantsRunOut(t *testing.T) {
	t.Parallel()
	o := outbreakOf(3, closed(), 1, false)
	o.place(0, 0, stock.LightFoliage, row(4000, 80))
	var counts []int
	for range 26 {
		counts = append(counts, o.stands[0].infested())
		o.week()
	}
	early := float64(counts[6]) / float64(counts[3])
	late := float64(counts[25]) / float64(counts[22])
	require.Greater(t, early, 1.5)
	require.Less(t, late, 1.2)
	require.Less(t, counts[25], 4000)
}

func TestNaturalEnemiesAndDarkLeavesSlowIt(t *testing.T) {
	t.Parallel()
	after := func(guarded bool, tone stock.Foliage) int {
		o := outbreakOf(4, closed(), 1, guarded)
		o.place(0, 0, tone, row(4000, 80))
		for range 8 {
			o.week()
		}
		return o.stands[0].infested()
	}
	light := after(false, stock.LightFoliage)
	require.Less(t, 2*after(true, stock.LightFoliage), light)
	require.Less(t, after(false, stock.DarkFoliage), after(false, stock.MediumFoliage))
	require.Less(t, after(false, stock.MediumFoliage), light)
}

// Whatever is done with plants, none is lost or made.
func TestPlantsAreNeitherLostNorMade(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		o := outbreakOf(rapid.Uint64().Draw(t, "seed"), usualRates(), 6, rapid.Bool().Draw(t, "guarded"))
		total := 0
		for lot := range 3 {
			n := rapid.IntRange(1, 300).Draw(t, "plants")
			o.place(lot, lot, stock.LightFoliage, o.arriving(n, 0.1, stock.LightFoliage))
			total += n
		}
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			switch rapid.IntRange(0, 2).Draw(t, "step") {
			case 0:
				o.week()
			case 1:
				from := rapid.SampledFrom(o.stands).Draw(t, "from")
				n := rapid.IntRange(0, len(from.plants)).Draw(t, "n")
				o.place(from.lot, rapid.IntRange(0, 5).Draw(t, "to"), from.foliage, from.takeOff(n))
				o.tidy()
			case 2:
				s := rapid.SampledFrom(o.stands).Draw(t, "stand")
				n := rapid.IntRange(0, len(s.plants)-1).Draw(t, "thrown out")
				s.plants = o.throwOut(s.plants, n)
				total -= n
			}
		}
		sum, inBlocks := 0, 0
		for _, s := range o.stands {
			sum += len(s.plants)
			require.LessOrEqual(t, s.infested(), len(s.plants))
		}
		for b := range o.inBlock {
			inBlocks += o.plantsIn(b)
		}
		require.Equal(t, total, sum)
		require.Equal(t, total, inBlocks)
	})
}

func TestLotsOfOneFarmDiffer(t *testing.T) {
	t.Parallel()
	o := outbreakOf(5, usualRates(), 1, false)
	none, high := 0, 0
	for range 200 {
		infested := (&stand{plants: o.arriving(800, 0.1, stock.MediumFoliage)}).infested()
		if infested == 0 {
			none++
		}
		if infested > 160 {
			high++
		}
	}
	require.Positive(t, none)
	require.Positive(t, high)
	require.Less(t, none+high, 100)
}
