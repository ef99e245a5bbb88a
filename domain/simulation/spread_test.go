package simulation_test

import (
	"cmp"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/arrival"
	"benchtrail/domain/place"
	"benchtrail/domain/simulation"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// pool is a number of plants and the infested among them.
type pool struct{ plants, infested int }

func (p *pool) add(plants, infested int) { p.plants += plants; p.infested += infested }

func (p *pool) share() float64 { return float64(p.infested) / float64(p.plants) }

func TestOverManySeasonsTheInfestationSpreadsAsItShould(t *testing.T) {
	t.Parallel()
	var (
		atEnd           = map[stock.Foliage]*pool{stock.LightFoliage: {}, stock.MediumFoliage: {}, stock.DarkFoliage: {}}
		badFarm, others pool // plants looked at on the dock
		guarded, left   pool // plants in houses with natural enemies and without, at the end
		byWeek          = map[int]*pool{30: {}, 33: {}, 35: {}, 37: {}}
	)
	const seasons = 12
	for seed := uint64(100); seed < 100+seasons; seed++ {
		s := tell(t, seed, demoMorning(t))
		grown := cultivarsOf(s)
		cultivars := latest(s, func(c stock.Cultivar) domain.ID { return c.ID })
		blocks := latest(s, func(b place.Block) domain.ID { return b.ID })
		for _, c := range s.Truth.WeeklyCount {
			if c.WeekStart.Week().Number != 37 {
				continue
			}
			atEnd[cultivars[grown[c.LotID]].Foliage].add(c.Plants, c.Infested)
			if slices.Contains(s.Truth.HousesGuarded, blocks[c.BlockID].HouseID) {
				guarded.add(c.Plants, c.Infested)
			} else {
				left.add(c.Plants, c.Infested)
			}
		}
		for _, x := range simulation.All[arrival.Inspection](s.Events) {
			if x.Occasion != arrival.AtDock {
				continue
			}
			f := x.Findings[0]
			if s.Truth.FarmShares[s.Truth.FarmOfLot[x.LotID]] > 0.05 {
				badFarm.add(f.PlantsLookedAt, f.InfestedPlants)
			} else {
				others.add(f.PlantsLookedAt, f.InfestedPlants)
			}
		}
		for _, l := range looksOf(s) {
			if p := byWeek[domain.DateOf(l.LookedAt).Week().Number]; p != nil && l.Counts() {
				c := l.Targets[0].Count(nil)
				p.add(c.PlantsLookedAt, c.InfestedPlants)
			}
		}
	}
	require.Greater(t, atEnd[stock.LightFoliage].share(), 1.2*atEnd[stock.MediumFoliage].share())
	require.Greater(t, atEnd[stock.MediumFoliage].share(), 1.2*atEnd[stock.DarkFoliage].share())
	require.Greater(t, badFarm.share(), 4*others.share())
	require.Less(t, guarded.share(), 0.6*left.share())
	require.Greater(t, byWeek[33].share(), byWeek[30].share())
	require.Greater(t, byWeek[35].share(), byWeek[33].share())
	require.Greater(t, byWeek[37].share(), byWeek[35].share())
}

// People see fewer infested plants than there are.
func TestLooksSeeLessThanThereIs(t *testing.T) {
	t.Parallel()
	s := demo(t)
	type stand struct {
		week       domain.Week
		lot, block domain.ID
	}
	truth := map[stand]pool{}
	for _, c := range s.Truth.WeeklyCount {
		truth[stand{c.WeekStart.Week(), c.LotID, c.BlockID}] = pool{c.Plants, c.Infested}
	}
	expected, seen := 0.0, 0.0
	for _, l := range looksOf(s) {
		there, ok := truth[stand{domain.DateOf(l.LookedAt).Week(), l.LotID, l.BlockID}]
		if !ok || !l.Counts() {
			continue
		}
		c := l.Targets[0].Count(nil)
		expected += there.share() * float64(c.PlantsLookedAt)
		seen += float64(c.InfestedPlants)
	}
	require.Less(t, seen, 0.95*expected)
	require.Greater(t, seen, 0.6*expected)
}

func TestTheDemoHasCultivarsOnEachSideOfTheLimit(t *testing.T) {
	t.Parallel()
	s := demo(t)
	grown := cultivarsOf(s)
	counts := map[domain.ID]trend.Counts{}
	shares := []float64{}
	for _, l := range looksOf(s) {
		day := domain.DateOf(l.LookedAt)
		if day.Week().Number != 37 || !l.Counts() || l.LotID.IsZero() {
			continue
		}
		target := l.Targets[0].Count(nil)
		c := counts[grown[l.LotID]]
		c.Plants, c.Infested, c.WeekStart = c.Plants+target.PlantsLookedAt, c.Infested+target.InfestedPlants, day.Week().Monday()
		counts[grown[l.LotID]] = c
		shares = append(shares, float64(target.InfestedPlants)/float64(target.PlantsLookedAt))
	}
	season := simulation.All[stock.Season](s.Events)[0]
	limits := advice.StarterThresholds(season, simulation.All[stock.Crop](s.Events)[0].MainOrganismID)
	standings := map[advice.Standing]int{}
	for id, c := range counts {
		p, err := trend.PointOf(c)
		require.NoError(t, err)
		answer := advice.Judge([]trend.Point{p}, limits, domain.DateOf(demoMorning(t)))
		require.InDelta(t, 20, answer.Limit.Percent, 0)
		standings[answer.Standing]++
		t.Logf("%s: %d of %d, %s", nameOf(s, id), c.Infested, c.Plants, answer.Standing)
	}
	require.GreaterOrEqual(t, standings[advice.Above], 2)
	require.GreaterOrEqual(t, standings[advice.TooClose], 3)
	require.GreaterOrEqual(t, standings[advice.Below], 10)
	slices.SortFunc(shares, cmp.Compare)
	require.Less(t, shares[len(shares)*6/10], 0.07, "most blocks are low")
	require.Greater(t, shares[len(shares)-1], 0.5)
}

func nameOf(s simulation.Season, cultivar domain.ID) string {
	for _, c := range simulation.All[stock.Cultivar](s.Events) {
		if c.ID == cultivar {
			return c.Name
		}
	}
	return ""
}
