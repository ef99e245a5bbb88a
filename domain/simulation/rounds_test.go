package simulation_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/place"
	"benchtrail/domain/scouting"
	"benchtrail/domain/simulation"
	"benchtrail/domain/stock"
)

func TestAllLooksButTheMistakesAreWhereTheLotStood(t *testing.T) {
	t.Parallel()
	for _, seed := range []uint64{simulation.DemoSeed, 1, 2, 3, 4, 5} {
		s := tell(t, seed, demoMorning(t))
		lives := livesOf(t, s)
		var nowhere, unknown, withdrawn int
		for _, l := range looksOf(s) {
			if l.Withdrawn != "" {
				withdrawn++
			}
			if l.LotID.IsZero() {
				unknown++
				continue
			}
			if !stock.StoodIn(lives[l.LotID].Placements, l.BlockID, l.LookedAt) {
				nowhere++
				for _, p := range lives[l.LotID].Placements {
					require.NotEqual(t, l.BlockID, p.BlockID, "it never stood there")
				}
			}
		}
		corrected := 0
		for _, e := range s.Events {
			if l, ok := e.Record.(scouting.Look); ok && e.Corrects == 1 && l.Withdrawn == "" {
				corrected++
			}
		}
		require.Equal(t, []int{1, 2, 1, 1}, []int{nowhere, unknown, withdrawn, corrected}, "seed %d", seed)
	}
}

// A phone measures looks made plant by plant only.
func TestLooksPlantByPlantHaveATimeAndTalliesHaveNone(t *testing.T) {
	t.Parallel()
	timed := 0
	for _, l := range looksOf(demo(t)) {
		if l.Purpose == scouting.OnPurpose {
			continue
		}
		plants := len(l.Targets[0].Plants)
		require.Equal(t, plants > 0, l.Seconds > 0)
		require.LessOrEqual(t, l.Seconds, 60*plants)
		if plants > 0 {
			timed++
		}
	}
	require.Positive(t, timed)
}

// The rates of Ontario extension (ONfloriculture, 25 September 2018, and Greenhouse
// Canada, 3 September 2019): 15 to 20 plants of a bench, at least half of the benches.
func TestHousesAreScoutedAtThePublishedRates(t *testing.T) {
	t.Parallel()
	s := demo(t)
	zones := zonesOf(t, s)
	blocks := latest(s, func(b place.Block) domain.ID { return b.ID })
	lives := livesOf(t, s)

	type round struct {
		house domain.ID
		week  domain.Week
	}
	looked := map[round]map[domain.ID]bool{}
	started := map[round]time.Time{}
	weekday := map[domain.ID]time.Weekday{}
	bySize, tallies, signs, onPurpose := map[int]int{}, 0, 0, 0
	for _, l := range looksOf(s) {
		b := blocks[l.BlockID]
		at := l.LookedAt.In(zones[b.SiteID])
		if l.Purpose == scouting.OnPurpose {
			onPurpose++
			continue
		}
		if !l.LotID.IsZero() && !stock.StoodIn(lives[l.LotID].Placements, l.BlockID, l.LookedAt) {
			continue // recorded in the wrong block
		}
		target := l.Targets[0]
		bySize[target.Count(nil).PlantsLookedAt]++
		if len(target.Plants) == 0 {
			tallies++
		}
		if target.SignsLookedFor {
			signs++
		}
		r := round{b.HouseID, domain.DateOf(at).Week()}
		if looked[r] == nil {
			looked[r], started[r] = map[domain.ID]bool{}, at
		}
		if at.Before(started[r]) {
			started[r] = at
		}
		looked[r][l.BlockID] = true
		if day, ok := weekday[b.HouseID]; ok {
			require.Equal(t, day, at.Weekday(), "always the same weekday")
		}
		weekday[b.HouseID] = at.Weekday()
	}
	require.Len(t, weekday, 14, "every house is scouted")
	few := 0
	for size, looks := range bySize {
		require.LessOrEqual(t, size, 20)
		if size < 15 {
			few += looks // the rest of a lot, all of it looked at
		}
	}
	require.Less(t, few, 12)
	for r, seen := range looked {
		filled := map[domain.ID]bool{}
		for _, life := range lives {
			for _, p := range life.Placements {
				if blocks[p.BlockID].HouseID == r.house && stock.StoodIn(life.Placements, p.BlockID, started[r]) {
					filled[p.BlockID] = true
				}
			}
		}
		require.GreaterOrEqual(t, 2*len(seen), len(filled), "week %s", r.week)
	}

	all := len(looksOf(s))
	require.Less(t, tallies, all/3, "mostly plant by plant")
	require.Greater(t, tallies, all/20)
	require.Greater(t, signs, all/5)
	require.Less(t, signs, all*3/4)
	require.Positive(t, onPurpose)
	require.Less(t, onPurpose, all/20)
}

func TestNoNewWeekHasBegunOnTheDemoMorning(t *testing.T) {
	t.Parallel()
	monday := domain.DateOf(demoMorning(t))
	for _, l := range looksOf(demo(t)) {
		require.True(t, domain.DateOf(l.LookedAt).Before(monday))
	}
}
