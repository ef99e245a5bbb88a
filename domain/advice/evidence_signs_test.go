package advice_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/trend"
)

func TestASignNotLookedForIsNotAbsent(t *testing.T) {
	t.Parallel()
	lines := map[advice.EvidenceCode]func(*advice.Signs){
		advice.NewGrowthLine:   func(s *advice.Signs) { s.NewGrowth = 6 },
		advice.AdultsLine:      func(s *advice.Signs) { s.Adults = 6 },
		advice.DenseLeavesLine: func(s *advice.Signs) { s.DenseLeaves = 6 },
	}
	for code, set := range lines {
		x := reading(t, september(16), found{12, 60})
		require.Equal(t, []any{advice.NotLookedFor, advice.Open}, []any{line(t, x, code).Finding, line(t, x, code).Direction}, code)
		x.Signs = advice.Signs{Looks: 3, Plants: 60, PlantByPlant: 60}
		absent := line(t, x, code)
		require.Equal(t, []any{advice.NotFound, advice.ForBiological}, []any{absent.Finding, absent.Direction}, code)
		require.InDelta(t, 6.0, *absent.UpperPercent, 0.05, "none of 60 by Wilson")
		set(&x.Signs)
		e := line(t, x, code)
		require.Equal(t, []any{advice.WasFound, advice.AgainstBiological}, []any{e.Finding, e.Direction}, code)
		require.Equal(t, []int{6, 60, advice.SignWeeks}, []int{e.Infested, e.Plants, e.Weeks}, code)
		require.InDelta(t, 10, *e.Percent, 1e-9, code)
	}
}

func TestAFewPlantsWithASignLeaveItOpen(t *testing.T) {
	t.Parallel()
	x := reading(t, september(16), found{12, 60})
	for _, c := range []struct {
		with, plants int
		direction    advice.Direction
	}{
		{1, 65, advice.Open}, {2, 20, advice.Open}, {3, 60, advice.AgainstBiological}, {8, 347, advice.Open}, {18, 347, advice.AgainstBiological},
	} {
		x.Signs = advice.Signs{Looks: 3, Plants: c.plants, NewGrowth: c.with}
		e := line(t, x, advice.NewGrowthLine)
		require.Equal(t, []any{advice.WasFound, c.direction}, []any{e.Finding, e.Direction}, c)
		x.Contrast = trend.FoliageContrast{Code: trend.DarkToo, DarkPlants: c.plants, DarkInfested: c.with}
		require.Equal(t, c.direction, line(t, x, advice.FoliageLine).Direction, c)
	}
}

// Three plants and one in twenty: common practice.
func TestAFewPlantsWithASignPointNowhere(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		with, plants int
		want         advice.Direction
	}{{1, 65, advice.Open}, {2, 20, advice.Open}, {3, 61, advice.Open}, {3, 60, advice.AgainstBiological}, {6, 109, advice.AgainstBiological}} {
		x := reading(t, september(16), found{12, 60})
		x.Signs = advice.Signs{Looks: 3, Plants: c.plants, NewGrowth: c.with}
		e := line(t, x, advice.NewGrowthLine)
		require.Equal(t, []any{advice.WasFound, c.want}, []any{e.Finding, e.Direction}, c)
	}
	x := reading(t, september(16), found{12, 60})
	x.Contrast = trend.FoliageContrast{Code: trend.DarkToo, DarkPlants: 347, DarkInfested: 8}
	require.Equal(t, advice.Open, line(t, x, advice.FoliageLine).Direction)
}

// A tally has no place to note a densely covered leaf on.
func TestDenseLeavesAreAbsentOnlyFromPlantsNotedOneByOne(t *testing.T) {
	t.Parallel()
	x := reading(t, september(16), found{12, 60})
	x.Signs = advice.Signs{Looks: 3, Plants: 144}
	e := line(t, x, advice.DenseLeavesLine)
	require.Equal(t, []any{advice.NotLookedFor, advice.Open, 0}, []any{e.Finding, e.Direction, e.Plants})
	require.Equal(t, advice.NotFound, line(t, x, advice.AdultsLine).Finding)
	x.Signs.PlantByPlant = 18
	e = line(t, x, advice.DenseLeavesLine)
	require.Equal(t, []any{advice.NotFound, advice.ForBiological, 18}, []any{e.Finding, e.Direction, e.Plants})
	require.Equal(t, 144, line(t, x, advice.NewGrowthLine).Plants)
}

// With Eretmocerus eremicus parasitism was only 16 to 28 % where 5 to 6 % of the
// whiteflies reached adulthood (Hoddle et al. 1999, Bull. Entomol. Res. 89:41-51):
// most had been fed on. So parasitism by itself never points anywhere.
func TestLateNymphsAreReadByAllThatIsNotAliveAndHealthy(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		signs     advice.Signs
		finding   advice.Finding
		direction advice.Direction
		share     float64
	}{
		"low parasitism, most fed on": {
			advice.Signs{LateAlive: 5, LateParasitised: 20, LateHostFed: 60, LateDried: 15}, advice.MostNotHealthy, advice.ForBiological, 95,
		},
		"most healthy":                     {advice.Signs{LateAlive: 80, LateParasitised: 15, LateHostFed: 5}, advice.MostHealthy, advice.AgainstBiological, 20},
		"half and half":                    {advice.Signs{LateAlive: 10, LateHostFed: 10}, advice.CannotSay, advice.Open, 50},
		"nine healthy":                     {advice.Signs{LateAlive: 9}, advice.CannotSay, advice.Open, 0},
		"nine healthy ones, which are few": {advice.Signs{LateAlive: 9}, advice.CannotSay, advice.Open, 0},
		"two dead ones":                    {advice.Signs{LateDried: 2}, advice.CannotSay, advice.Open, 100},
		"none":                             {advice.Signs{}, advice.NotFound, advice.Open, -1},
	} {
		x := reading(t, september(16), found{12, 60})
		x.Signs = c.signs
		require.Equal(t, advice.NotLookedFor, line(t, x, advice.LateNymphsLine).Finding, name)
		x.Signs.Looks, x.Signs.Plants = 3, 60
		e := line(t, x, advice.LateNymphsLine)
		require.Equal(t, c.finding, e.Finding, name)
		require.Equal(t, c.direction, e.Direction, name)
		require.Equal(t, []int{c.signs.LateNotHealthy(), c.signs.Late()}, []int{e.Infested, e.Plants}, name)
		if c.share >= 0 {
			require.InDelta(t, c.share, *e.Percent, 1e-9, name)
		}
	}
}

// 15 to 20 plants on at least half of the benches (ONfloriculture, 25 September
// 2018), or 5 % of the crop (2023, in Floral Daily, article 9569199).
func TestTheSamplingLineSaysWhetherTheRoundWasEnough(t *testing.T) {
	t.Parallel()
	enough := []found{{4, 50}, {4, 50}, {4, 50}} // 150 of 3 000 plants, three of six blocks
	for name, c := range map[string]struct {
		change  func(*advice.Reading)
		finding advice.Finding
	}{
		"met":                             {func(*advice.Reading) {}, advice.Met},
		"less than 5 % of the plants":     {func(x *advice.Reading) { x.StandingPlants = 3001 }, advice.NotMet},
		"less than half of the blocks":    {func(x *advice.Reading) { x.StandingBlocks = 7 }, advice.NotMet},
		"fewer than 15 in a block":        {func(x *advice.Reading) { x.Blocks[1].Plants = 14 }, advice.NotMet},
		"15 in it with other cultivars":   {func(x *advice.Reading) { x.Blocks[1].Plants, x.Blocks[1].AllPlants = 7, 15 }, advice.Met},
		"14 of a block of 15":             {func(x *advice.Reading) { x.Blocks[1].Plants, x.Blocks[1].AllStanding = 14, 15 }, advice.NotMet},
		"14 of a block of 14":             {func(x *advice.Reading) { x.Blocks[1].Plants, x.Blocks[1].AllStanding = 14, 14 }, advice.Met},
		"too old":                         {func(x *advice.Reading) { x.Today = september(20).AddDays(15) }, advice.NotMet},
		"just not too old":                {func(x *advice.Reading) { x.Today = september(20).AddDays(14) }, advice.Met},
		"what stands there is not known":  {func(x *advice.Reading) { x.StandingPlants, x.StandingBlocks = 0, 0 }, advice.Met},
		"where it was found is not known": {func(x *advice.Reading) { x.Blocks = nil }, advice.NotMet},
	} {
		x := reading(t, september(16), found{12, 150})
		x.Blocks = inBlocks(enough...)
		c.change(&x)
		e := line(t, x, advice.SamplingLine)
		require.Equal(t, c.finding, e.Finding, name)
		require.Equal(t, advice.Open, e.Direction, name)
		require.Equal(t, 150, e.Plants, name)
		require.Equal(t, x.StandingBlocks, e.OfBlocks, name)
	}
	require.Equal(t, advice.CannotSay, line(t, reading(t, september(16)), advice.SamplingLine).Finding)
}

func TestTheSamplingLineGoesByTheRulesItIsGiven(t *testing.T) {
	t.Parallel()
	x := reading(t, september(16), found{12, 210})
	x.Blocks = inBlocks(found{4, 70}, found{4, 70}, found{4, 70}) // of six
	met := func(change func(*advice.Rules)) bool {
		r := advice.UsualRules()
		change(&r)
		for _, e := range r.Evidence(x) {
			if e.Code == advice.SamplingLine {
				return e.Finding == advice.Met
			}
		}
		return false
	}
	require.True(t, met(func(r *advice.Rules) { r.LeastShare = 0.07 }), "210 are 7 % of 3 000, though 0.07 times 3 000 is a little more in binary numbers")
	require.False(t, met(func(r *advice.Rules) { r.LeastShare = 0.071 }))
	require.False(t, met(func(r *advice.Rules) { r.LeastInBlock = 71 }))
	require.False(t, met(func(r *advice.Rules) { r.LeastBlockShare = 0.51 }))
}

func TestTheTimeLeftIsCountedInDays(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		today     int
		finding   advice.Finding
		direction advice.Direction
		days      int
	}{
		{28, advice.EnoughTime, advice.ForBiological, 14},
		{29, advice.ShortTime, advice.Open, 13},
		{42, advice.ShortTime, advice.Open, 0},
		{43, advice.PastTime, advice.Open, -1},
	} {
		e := line(t, reading(t, september(c.today), found{12, 60}), advice.TimeLeftLine)
		require.Equal(t, c.finding, e.Finding)
		require.Equal(t, c.direction, e.Direction)
		require.Equal(t, c.days, *e.Days)
		require.Equal(t, domain.NewDate(2026, time.October, 12), e.On)
	}
	over := line(t, reading(t, september(16), found{40, 60}), advice.TimeLeftLine)
	require.Equal(t, []any{advice.EnoughTime, advice.Open}, []any{over.Finding, over.Direction}, "time speaks for nothing once the crop is over its limit")
	e := line(t, reading(t, september(16), found{50, 60}), advice.TimeLeftLine)
	require.Equal(t, []any{advice.EnoughTime, advice.Open}, []any{e.Finding, e.Direction}, "time to wait speaks for nothing once the crop is over its limit")
	x := reading(t, september(16), found{12, 60})
	x.ActBy = domain.Date{}
	require.Equal(t, september(25), line(t, x, advice.TimeLeftLine).On, "else to the end of the limit")
	x.Limits = nil
	require.Equal(t, advice.CannotSay, line(t, x, advice.TimeLeftLine).Finding)
}
