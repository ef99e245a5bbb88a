package scouting_test

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

// number gives an id of a kind, so that blocks, lots and cultivars never meet.
func number(kind byte, n int) domain.ID {
	return domain.ID{0: kind, 14: byte(n >> 8), 15: byte(n)} //nolint:gosec // small numbers
}

var seed = scouting.SeedOf(domain.ID{15: 1}, domain.ID{15: 2}, domain.Week{Year: 2026, Number: 36})

// evenHouse is a house whose blocks hold so many plants each of one cultivar, of
// one arrival, nothing looked at yet.
func evenHouse(blocks, plants int) scouting.House {
	h := scouting.House{Limits: map[domain.ID]float64{}}
	for i := range blocks {
		h.Stands = append(h.Stands, scouting.Stand{
			BlockID: number('b', i), Position: i + 1, LotID: number('l', 1), CultivarID: number('c', 1), ArrivalID: number('a', 1), Plants: plants,
		})
	}
	return h
}

func plan(t require.TestingT, h scouting.House, rules scouting.Rules, minutes float64, s scouting.Seed) scouting.Plan {
	p, err := scouting.PlanRound(h, rules, minutes, s)
	require.NoError(t, err)
	return p
}

func rule(t require.TestingT, p scouting.Plan, name scouting.Rule) scouting.RuleKept {
	for _, r := range p.Rules {
		if r.Rule == name {
			return r
		}
	}
	require.Fail(t, "no such rule", name)
	return scouting.RuleKept{}
}

func blocksOf(p scouting.Plan) []domain.ID {
	var ids []domain.ID
	for _, b := range p.Blocks {
		ids = append(ids, b.BlockID)
	}
	return ids
}

func panelOf(p scouting.Plan) []domain.ID {
	var ids []domain.ID
	for _, b := range p.Blocks {
		if b.Panel {
			ids = append(ids, b.BlockID)
		}
	}
	return ids
}

// mostLots is the most lots that a drawn block holds: more than some rules want plants.
const mostLots = 18

// anyHouse draws a house of up to 20 blocks, some of them with several lots and
// some without plants.
func anyHouse(t *rapid.T) scouting.House {
	h := scouting.House{Limits: map[domain.ID]float64{}}
	cultivars := rapid.IntRange(1, 5).Draw(t, "cultivars")
	for c := range cultivars {
		if rapid.Bool().Draw(t, "limited") {
			h.Limits[number('c', c)] = rapid.SampledFrom([]float64{0, 0.1, 5, 20, 60, 100}).Draw(t, "limit")
		}
	}
	for b := range rapid.IntRange(0, 20).Draw(t, "blocks") {
		lookedOn := domain.NewDate(2026, time.August, rapid.IntRange(1, 28).Draw(t, "looked on"))
		for l := range rapid.SampledFrom([]int{1, 1, 1, 2, 3, mostLots}).Draw(t, "lots in a block") {
			c := rapid.IntRange(0, cultivars-1).Draw(t, "cultivar")
			s := scouting.Stand{
				BlockID: number('b', b), Position: rapid.IntRange(0, 9).Draw(t, "position"), LotID: number('l', 100*c+l), CultivarID: number('c', c),
				ArrivalID: number('a', rapid.IntRange(1, 4).Draw(t, "arrival")), Light: rapid.Bool().Draw(t, "light"), Found: rapid.Bool().Draw(t, "found"),
				Plants:   rapid.SampledFrom([]int{0, 1, 7, 15, 40, 333, 2500}).Draw(t, "plants"),
				LookedOn: lookedOn, Done: anyFound(t, 30),
			}
			for range rapid.IntRange(0, 4).Draw(t, "weeks") {
				s.Earlier = append(s.Earlier, anyFound(t, 30))
			}
			if slices.ContainsFunc(h.Stands, func(o scouting.Stand) bool { return o.BlockID == s.BlockID && o.LotID == s.LotID }) {
				continue
			}
			h.Stands = append(h.Stands, s)
		}
	}
	return h
}

func anyFound(t *rapid.T, most int) scouting.Found {
	n := rapid.IntRange(0, most).Draw(t, "looked at")
	return scouting.Found{Plants: n, Infested: rapid.SampledFrom([]int{0, n / 5, n / 2, n}).Draw(t, "infested")}
}

func anyRules(t *rapid.T) scouting.Rules {
	r := scouting.UsualRules()
	r.CropPercent = rapid.SampledFrom([]float64{0.5, 5, 5, 20, 100}).Draw(t, "crop percent")
	r.BlocksPercent = rapid.SampledFrom([]float64{1, 50, 50, 100}).Draw(t, "blocks percent")
	r.PlantsLeast = rapid.SampledFrom([]int{1, 10, 15, 15}).Draw(t, "least")
	r.PlantsMost = r.PlantsLeast + rapid.SampledFrom([]int{0, 5, 5, 40}).Draw(t, "more")
	return r
}

func anyMinutes(t *rapid.T) float64 {
	return rapid.SampledFrom([]float64{0, 0, 0.1, 4, 20, 60, 1000}).Draw(t, "minutes")
}

func TestAPlanAddsUpAndAsksForPlantsThatStandThere(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h, rules, minutes := anyHouse(t), anyRules(t), anyMinutes(t)
		p := plan(t, h, rules, minutes, seed)
		standing := map[[2]domain.ID]int{}
		inBlock := map[domain.ID]int{}
		total := 0
		for _, s := range h.Stands {
			standing[[2]domain.ID{s.BlockID, s.LotID}] = s.Plants
			inBlock[s.BlockID] += s.Plants
			total += s.Plants
		}
		require.Equal(t, total, p.Standing)
		sum, took := 0, 0.0
		for _, b := range p.Blocks {
			plants := 0
			for _, l := range b.Looks {
				require.Equal(t, standing[[2]domain.ID{b.BlockID, l.LotID}], l.Standing)
				require.LessOrEqual(t, l.Plants, l.Standing)
				require.Positive(t, l.Plants)
				require.Len(t, l.Positions, l.Plants)
				require.True(t, slices.IsSorted(l.Positions))
				require.Len(t, slices.Compact(slices.Clone(l.Positions)), l.Plants, "positions are unique")
				require.GreaterOrEqual(t, l.Positions[0], 1)
				require.LessOrEqual(t, l.Positions[l.Plants-1], l.Standing)
				require.NotEmpty(t, l.Reasons)
				plants += l.Plants
			}
			require.GreaterOrEqual(t, plants, min(rules.PlantsLeast, inBlock[b.BlockID]), "the least of a visited block never gives way")
			require.LessOrEqual(t, plants, rules.PlantsMost)
			require.InDelta(t, rules.MinutesPerBlock+float64(plants)*rules.SecondsPerPlant/60, b.Minutes, 1e-9)
			sum, took = sum+plants, took+b.Minutes
		}
		require.Equal(t, sum, p.Plants)
		require.InDelta(t, took, p.Minutes, 1e-6)
		if minutes > 0 {
			require.LessOrEqual(t, p.Minutes, minutes+1e-6)
		}
		require.Equal(t, p, plan(t, h, rules, minutes, seed), "the same seed gives the same plan")
	})
}

func TestRulesMarkedKeptAreKept(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h, rules, minutes := anyHouse(t), anyRules(t), anyMinutes(t)
		p := plan(t, h, rules, minutes, seed)
		cultivars, arrivals := map[domain.ID]bool{}, map[domain.ID]bool{}
		looked := map[domain.ID]int{} // by block
		lookedCultivars := map[domain.ID]bool{}
		done := 0
		arrivalOf := map[[2]domain.ID]domain.ID{}
		for _, s := range h.Stands {
			arrivalOf[[2]domain.ID{s.BlockID, s.LotID}] = s.ArrivalID
			done += s.Done.Plants
			if s.Done.Plants > 0 {
				looked[s.BlockID] += s.Done.Plants
			}
			if s.Plants > 0 {
				cultivars[s.CultivarID], arrivals[s.ArrivalID] = true, true
				if s.Done.Plants > 0 {
					lookedCultivars[s.CultivarID] = true
				}
			}
		}
		planned, plannedArrivals := map[domain.ID]bool{}, map[domain.ID]bool{}
		for _, b := range p.Blocks {
			for _, l := range b.Looks {
				planned[l.CultivarID] = true
				plannedArrivals[arrivalOf[[2]domain.ID{b.BlockID, l.LotID}]] = true
			}
		}
		require.Equal(t, float64(100*p.Plants) >= rules.CropPercent*float64(p.Standing), rule(t, p, scouting.CropShare).Kept)
		require.Equal(t, 100*float64(len(p.Blocks)) >= rules.BlocksPercent*float64(p.BlocksWithPlants), rule(t, p, scouting.BlockShare).Kept)
		require.Equal(t, len(cultivars) == len(planned), rule(t, p, scouting.Cultivars).Kept)
		require.Equal(t, len(arrivals) == len(plannedArrivals), rule(t, p, scouting.Arrivals).Kept)
		require.Equal(t, len(cultivars) == len(lookedCultivars), rule(t, p, scouting.Cultivars).Met)
		require.Equal(t, float64(100*done) >= rules.CropPercent*float64(p.Standing), rule(t, p, scouting.CropShare).Met)
		require.Equal(t, 100*float64(len(looked)) >= rules.BlocksPercent*float64(p.BlocksWithPlants), rule(t, p, scouting.BlockShare).Met)
		require.True(t, rule(t, p, scouting.PlantsPerBlock).Kept)
		for _, r := range p.Rules {
			require.Equal(t, r.Kept, r.MinutesMore == 0, "%+v", r)
			if minutes == 0 && r.Rule != scouting.CropShare && rules.PlantsMost >= mostLots {
				require.True(t, r.Kept, "with time enough nothing else gives way: %+v", r)
			}
		}
	})
}

// What keeping the rules would take is enough to keep the share of blocks, the
// first of them to give way after the share of the crop.
func TestTheMinutesMoreAreEnough(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := anyHouse(t)
		p := plan(t, h, scouting.UsualRules(), rapid.Float64Range(0.1, 150).Draw(t, "minutes"), seed)
		enough := p.Minutes
		for _, r := range p.Rules {
			if r.Rule != scouting.CropShare {
				enough += r.MinutesMore
			}
		}
		if enough > p.Minutes {
			require.True(t, rule(t, plan(t, h, scouting.UsualRules(), enough, seed), scouting.BlockShare).Kept)
		}
	})
}

func TestWhatWasLookedAtThisWeekDoesNotChangeThePlan(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h, minutes := anyHouse(t), anyMinutes(t)
		walked := plan(t, h, scouting.UsualRules(), minutes, seed)
		for i := range h.Stands {
			h.Stands[i].Done = scouting.Found{}
		}
		before := plan(t, h, scouting.UsualRules(), minutes, seed)
		for i, b := range walked.Blocks {
			for j := range b.Looks {
				walked.Blocks[i].Looks[j].Done = 0
			}
		}
		require.Equal(t, before.Blocks, walked.Blocks)
		for i, s := range before.Stops {
			require.Equal(t, s.Lines, walked.Stops[i].Lines)
		}
	})
}

func TestNothingStandingIsAnEmptyPlanThatKeepsItsRules(t *testing.T) {
	t.Parallel()
	for _, minutes := range []float64{0, 30} {
		p := plan(t, scouting.House{}, scouting.UsualRules(), minutes, seed)
		require.Empty(t, p.Blocks)
		require.Empty(t, p.Stops)
		for _, r := range p.Rules {
			require.True(t, r.Kept && r.Met, "%+v", r)
		}
	}
}

func TestWrongInputIsRefusedWithAllFaults(t *testing.T) {
	t.Parallel()
	rules := scouting.UsualRules()
	rules.CropPercent, rules.BlocksPercent, rules.PlantsMost, rules.SecondsPerPlant = 0, 101, 3, math.NaN()
	_, err := scouting.PlanRound(scouting.House{}, rules, 0, seed)
	require.ElementsMatch(t, []string{
		"/crop_percent out_of_range", "/blocks_percent out_of_range", "/plants_per_block_most out_of_range", "/seconds_per_plant out_of_range",
	}, codes(t, err))

	h := evenHouse(2, 10)
	h.Stands[1].BlockID = h.Stands[0].BlockID
	h.Stands[0].Plants = -1
	h.Stands[1].Done = scouting.Found{Plants: 3, Infested: 4}
	h.Limits[number('c', 1)] = math.NaN()
	_, err = scouting.PlanRound(h, scouting.UsualRules(), math.NaN(), seed)
	require.ElementsMatch(t, []string{
		"/minutes out_of_range", "/stands/0 out_of_range", "/stands/1 twice", "/stands/1 out_of_range",
		fmt.Sprintf("/limits/%s out_of_range", number('c', 1)),
	}, codes(t, err))
}
