package scouting_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stats"
)

// limited is an even house whose cultivar has a limit, all blocks planned.
func limited(t require.TestingT, blocks int, percent float64, rules scouting.StopRules) scouting.Stop {
	h := evenHouse(blocks, 400)
	h.Limits[number('c', 1)] = percent
	r := scouting.UsualRules()
	r.BlocksPercent, r.CropPercent, r.Stop = 100, 0.01, rules
	p := plan(t, h, r, 0, seed)
	require.Len(t, p.Stops, 1)
	return p.Stops[0]
}

// NIST/SEMATECH e-Handbook of Statistical Methods, section 6.2.6, its worked plan
// for 0.01 against 0.10 with risks of 0.05 and 0.10, from memory: 0 of 24 is the
// first that is enough, and 3 are too many until then.
func TestStopLinesAgreeWithTheExampleOfTheNISTHandbook(t *testing.T) {
	t.Parallel()
	s := limited(t, 3, 5, scouting.StopRules{Acceptable: 0.2, Action: 2, Alpha: 0.05, Beta: 0.10})
	require.InDelta(t, 1, s.AcceptablePercent, 1e-12)
	require.InDelta(t, 10, s.ActionPercent, 1e-12)
	require.Len(t, s.Lines.Lines, 60, "20 in each of three blocks")
	require.Equal(t, stats.StopLine{Examined: 24, BelowIfAtMost: 0, AboveIfAtLeast: 3}, s.Lines.Lines[23])
	require.Equal(t, -1, s.Lines.Lines[22].BelowIfAtMost)
	s.PlantsLeast = 0 // as if there were no least
	call, _ := s.At(24, 0, 3)
	require.Equal(t, scouting.CallBelow, call)
	call, more := s.At(23, 0, 3)
	require.Equal(t, scouting.CallMore, call)
	require.Equal(t, 1, more)
	call, _ = s.At(24, 3, 3)
	require.Equal(t, scouting.CallAbove, call)
}

func TestTheUsualLinesLieAroundTheLimit(t *testing.T) {
	t.Parallel()
	s := limited(t, 6, 20, scouting.UsualStopRules())
	require.InDelta(t, 11, s.AcceptablePercent, 1e-9)
	require.InDelta(t, 29, s.ActionPercent, 1e-9)
	require.Equal(t, 6, s.Blocks)
	require.Equal(t, 90, s.PlantsLeast, "15 in each of six blocks")
	require.Len(t, s.Usable(), 31, "from 90 to 120")
	require.Equal(t, 90, s.Usable()[0].Examined)
	plain, err := stats.NewStopLines(0.11, 0.29, 0.10, 0.10, 120)
	require.NoError(t, err)
	effect := 1 + (20-1)*0.05
	require.InDelta(t, plain.Slope, s.Lines.Slope, 1e-12)
	require.InDelta(t, effect*plain.BelowIntercept, s.Lines.BelowIntercept, 1e-9, "apart by the design effect of 20 plants in a block")
	require.InDelta(t, effect*plain.AboveIntercept, s.Lines.AboveIntercept, 1e-9)
}

// 3 of 20 from the only block planned is 5 to 36 %: neither below 20 % nor above.
func TestOneBlockIsLeftOpenUpToAHundredPlants(t *testing.T) {
	t.Parallel()
	s := limited(t, 1, 20, scouting.UsualStopRules())
	require.Equal(t, 15, s.PlantsLeast)
	require.Len(t, s.Lines.Lines, 100)
	call, more := s.At(20, 3, 1)
	require.Equal(t, scouting.CallMore, call)
	require.Positive(t, more)
	call, _ = s.At(100, 20, 1)
	require.Equal(t, scouting.CallBelow, call, "the limit is passed by more than 20 %")
	call, _ = s.At(100, 21, 1)
	require.Equal(t, scouting.CallAbove, call)

	h := evenHouse(1, 60)
	h.Limits[number('c', 1)] = 20
	require.Len(t, plan(t, h, scouting.UsualRules(), 0, seed).Stops[0].Lines.Lines, 60, "no more than stand there")
}

func TestItIsNeverEnoughBeforeTheLeastPlantsAndAllPlannedBlocks(t *testing.T) {
	t.Parallel()
	s := limited(t, 3, 20, scouting.UsualStopRules())
	for _, infested := range []int{0, 44} {
		call, more := s.At(44, infested, 3)
		require.Equal(t, scouting.CallMore, call)
		require.Equal(t, 1, more)
		call, more = s.At(60, infested, 2)
		require.Equal(t, scouting.CallMore, call, "one block was not visited")
		require.Equal(t, 1, more)
	}
	call, _ := s.At(45, 0, 3)
	require.Equal(t, scouting.CallBelow, call)
	call, _ = s.At(45, 45, 3)
	require.Equal(t, scouting.CallAbove, call)
	call, more := s.At(0, 0, 0)
	require.Equal(t, scouting.CallMore, call)
	require.Equal(t, 45, more)
	call, more = scouting.Stop{}.At(10, 10, 3)
	require.Equal(t, scouting.CallNoLimit, call)
	require.Zero(t, more)
}

// The fewest more are reachable, with no further find or with nothing but finds,
// and nothing less is. Past the last line it is always settled.
func TestTheFewestMoreCouldBeEnoughAndNoFewerCould(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := limited(t, rapid.IntRange(1, 12).Draw(t, "blocks"), rapid.SampledFrom([]float64{0, 0.5, 5, 20, 50, 99, 100}).Draw(t, "limit"), scouting.UsualStopRules())
		n := rapid.IntRange(0, 300).Draw(t, "plants")
		x := rapid.IntRange(0, n).Draw(t, "infested")
		call, more := s.At(n, x, s.Blocks)
		if call != scouting.CallMore {
			require.Zero(t, more)
			return
		}
		require.Less(t, n, len(s.Lines.Lines))
		for d := 1; d <= more; d++ {
			none, _ := s.At(n+d, x, s.Blocks)
			all, _ := s.At(n+d, x+d, s.Blocks)
			require.Equal(t, d == more, none == scouting.CallBelow || all == scouting.CallAbove, "%d more", d)
		}
	})
}

// The rule as a phone follows it, from what it is sent: the lines from the least
// plants on, and the count that ends the last one.
func TestAPhoneSaysTheSameFromTheTable(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := limited(t, rapid.IntRange(1, 12).Draw(t, "blocks"), rapid.SampledFrom([]float64{0.5, 5, 20, 50, 100}).Draw(t, "limit"), scouting.UsualStopRules())
		table := map[int]stats.StopLine{}
		last := 0
		for _, line := range s.Usable() {
			table[line.Examined], last = line, line.Examined
		}
		n := rapid.IntRange(0, 300).Draw(t, "plants")
		x := rapid.IntRange(0, n).Draw(t, "infested")
		want := scouting.CallMore
		switch line, ok := table[n]; {
		case n < s.PlantsLeast:
		case n >= last && x*last <= s.Lines.BelowAtMaximum*n:
			want = scouting.CallBelow
		case n >= last:
			want = scouting.CallAbove
		case ok && x <= line.BelowIfAtMost:
			want = scouting.CallBelow
		case ok && x >= line.AboveIfAtLeast:
			want = scouting.CallAbove
		}
		got, _ := s.At(n, x, s.Blocks)
		require.Equal(t, want, got)
	})
}

func TestStopsSumWhatWasFoundOverTheBlocksOfTheCultivar(t *testing.T) {
	t.Parallel()
	h := evenHouse(4, 400)
	h.Limits[number('c', 1)] = 20
	h.Stands[0].Done = scouting.Found{Plants: 15, Infested: 1}
	h.Stands[1].Done = scouting.Found{Plants: 14, Infested: 2}
	h.Stands = append(h.Stands, scouting.Stand{BlockID: number('b', 2), Done: scouting.Found{Plants: 9, Infested: 9}}) // a lot nobody named
	rules := scouting.UsualRules()
	rules.BlocksPercent = 100
	s := plan(t, h, rules, 0, seed).Stops[0]
	require.Equal(t, scouting.Found{Plants: 29, Infested: 3}, s.Done)
	require.Equal(t, 1, s.DoneBlocks, "14 are not the least of a block")
	require.Equal(t, 60, s.PlantsLeast)
}

// The limit of the first week of October is judged from 100 plants on.
func TestALimitThatAsksForPlantsIsNotSettledByFewer(t *testing.T) {
	t.Parallel()
	for standing, want := range map[int]int{400: 100, 16: 48} {
		h := evenHouse(3, standing)
		h.Limits[number('c', 1)], h.Smallest = 20, map[domain.ID]int{number('c', 1): 100}
		rules := scouting.UsualRules()
		rules.BlocksPercent = 100
		s := plan(t, h, rules, 0, seed).Stops[0]
		require.Equal(t, want, s.PlantsLeast, "as many as stand there at most")
		call, more := s.At(want-1, 0, 3)
		require.Equal(t, scouting.CallMore, call)
		require.Equal(t, 1, more)
		call, _ = s.At(want, 0, 3)
		require.Equal(t, scouting.CallBelow, call)
	}
}

func TestEveryHouseGetsLinesThatAreInOrder(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := anyHouse(t)
		p := plan(t, h, anyRules(t), anyMinutes(t), seed)
		cultivars := map[domain.ID]bool{}
		for _, s := range p.Stops {
			cultivars[s.CultivarID] = true
			_, limited := h.Limits[s.CultivarID]
			require.Equal(t, limited, s.Limited)
			require.LessOrEqual(t, len(s.Usable()), 500)
			if limited {
				require.Less(t, s.AcceptablePercent, s.ActionPercent)
				require.NotEmpty(t, s.Usable())
				require.GreaterOrEqual(t, len(s.Lines.Lines), s.PlantsLeast)
			}
			call, more := s.At(s.Done.Plants, s.Done.Infested, s.DoneBlocks)
			require.Equal(t, call == scouting.CallMore, more > 0)
		}
		for _, s := range h.Stands {
			require.True(t, s.Plants == 0 || cultivars[s.CultivarID])
		}
	})
}

func TestStopRulesAreChecked(t *testing.T) {
	t.Parallel()
	rules := scouting.UsualRules()
	rules.Stop = scouting.StopRules{Acceptable: 1, Action: 1, Alpha: 0, Beta: 0.5, Likeness: -0.1, OpenUpTo: -1}
	require.ElementsMatch(t, []string{
		"/stop/acceptable out_of_range", "/stop/action out_of_range", "/stop/alpha out_of_range", "/stop/beta out_of_range", "/stop/likeness out_of_range",
		"/stop/open_up_to out_of_range",
	}, codes(t, rules.Check()))
	// Plants all alike, 200 in a block, ask for lines further apart than can be laid.
	rules = scouting.UsualRules()
	rules.PlantsMost = 200
	rules.Stop = scouting.StopRules{Acceptable: 0.6, Action: 1.4, Alpha: 0.001, Beta: 0.4, Likeness: 1}
	h := evenHouse(1, 400)
	h.Limits[number('c', 1)] = 20
	s := plan(t, h, rules, 0, seed).Stops[0]
	require.Len(t, s.Lines.Lines, 200)
	require.Equal(t, -1, s.Lines.Lines[49].BelowIfAtMost)
}
