package scouting_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

func plantsOf(p scouting.Plan, cultivar domain.ID) (plants int, reasons map[scouting.Reason]int) {
	reasons = map[scouting.Reason]int{}
	for _, b := range p.Blocks {
		for _, l := range b.Looks {
			if l.CultivarID == cultivar {
				plants += l.Plants
				for _, r := range l.Reasons {
					reasons[r]++
				}
			}
		}
	}
	return plants, reasons
}

// halves is a house of ten blocks, the first half of one cultivar and the second
// of another, both with a limit of 20 % and so many plants found infested of 20
// in each block last week.
func halves(first, second int) scouting.House {
	h := evenHouse(10, 150)
	for i := range h.Stands {
		s := &h.Stands[i]
		infested := first
		if i >= 5 {
			infested, s.CultivarID, s.LotID = second, number('c', 2), number('l', 2)
		}
		s.Earlier = []scouting.Found{{Plants: 20, Infested: infested}}
	}
	h.Limits[number('c', 1)], h.Limits[number('c', 2)] = 20, 20
	return h
}

func TestExtraPlantsGoWhereTheyChangeTheDecision(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct{ first, second int }{"far below": {4, 0}, "far above": {4, 16}} {
		p := plan(t, halves(c.first, c.second), scouting.UsualRules(), 60, seed)
		near, why := plantsOf(p, number('c', 1))
		far, _ := plantsOf(p, number('c', 2))
		require.Equal(t, 5, why[scouting.ForNearLimit], "%s: all its blocks", name)
		require.Greater(t, near, far, name)
		_, why = plantsOf(p, number('c', 2))
		require.Zero(t, why[scouting.ForNearLimit], name)
	}
}

func TestACultivarThatIsSettledGetsNoExtraPlants(t *testing.T) {
	t.Parallel()
	p := plan(t, halves(0, 0), scouting.UsualRules(), 500, seed)
	require.Equal(t, 75, p.Plants, "15 in half of the blocks, however much time there is")
	require.Len(t, p.Blocks, 5)
}

func TestWithLittleTimeExtrasGoToTheLeastSettledFirst(t *testing.T) {
	t.Parallel()
	rules := scouting.UsualRules()
	rules.BlocksPercent = 100
	for _, onLimit := range []int{1, 2} { // the cultivar with 20 % of 100; the other has 30 %
		h := halves(4, 6)
		if onLimit == 2 {
			h = halves(6, 4)
		}
		bare := plan(t, h, rules, 0, seed)
		require.Equal(t, 200, bare.Plants, "both are near, and nothing limits the time")
		p := plan(t, h, rules, bare.Minutes-5, seed) // 25 plants less
		most, _ := plantsOf(p, number('c', onLimit))
		fewer, _ := plantsOf(p, number('c', 3-onLimit))
		require.Equal(t, 175, most+fewer)
		require.Greater(t, most, fewer)
	}
}

// Five blocks of 0 of 20 last week, after 5 of 20 in each of three weeks: on even
// terms 19 %, with old news halved 12 %.
func TestOldNewsCountLess(t *testing.T) {
	t.Parallel()
	h := halves(0, 0)
	for i := range h.Stands[:5] {
		h.Stands[i].Earlier = []scouting.Found{{Plants: 20}, {Plants: 20, Infested: 5}, {Plants: 20, Infested: 5}, {Plants: 20, Infested: 5}}
	}
	_, why := plantsOf(plan(t, h, scouting.UsualRules(), 0, seed), number('c', 1))
	require.Zero(t, why[scouting.ForNearLimit])
	for i := range h.Stands[:5] {
		h.Stands[i].Earlier = []scouting.Found{{Plants: 20, Infested: 5}, {}, {}, {Plants: 20}}
	}
	_, why = plantsOf(plan(t, h, scouting.UsualRules(), 0, seed), number('c', 1))
	require.Positive(t, why[scouting.ForNearLimit])
}

// The first plants of a further block tell more than the last of a visited one,
// unless the way there is long.
func TestTimeLeftGoesToFurtherBlocksUnlessTheyAreFar(t *testing.T) {
	t.Parallel()
	near := plan(t, halves(4, 4), scouting.UsualRules(), 5*4.5+4.5, seed)
	require.Len(t, near.Blocks, 6)
	require.Equal(t, 90, near.Plants)
	far := scouting.UsualRules()
	far.MinutesPerBlock = 30
	p := plan(t, halves(4, 4), far, 5*33+34, seed)
	require.Len(t, p.Blocks, 5)
	require.Equal(t, 100, p.Plants)
}

func TestLightFoliageAndArrivalsWithFindingsGetMore(t *testing.T) {
	t.Parallel()
	for reason, mark := range map[scouting.Reason]func(*scouting.Stand){
		scouting.ForLightFoliage:   func(s *scouting.Stand) { s.Light = true },
		scouting.ForArrivalFinding: func(s *scouting.Stand) { s.Found = true },
	} {
		h := evenHouse(10, 150)
		for i := range h.Stands {
			if i%2 == 0 {
				h.Stands[i].CultivarID, h.Stands[i].LotID = number('c', 2), number('l', 2)
				mark(&h.Stands[i])
			}
		}
		rules := scouting.UsualRules()
		rules.BlocksPercent = 100
		p := plan(t, h, rules, 0, seed)
		more, why := plantsOf(p, number('c', 2))
		require.Equal(t, 100, more, reason)
		require.Equal(t, 5, why[reason])
		usual, why := plantsOf(p, number('c', 1))
		require.Equal(t, 75, usual, reason)
		require.Zero(t, why[reason])

		// Where the share of the crop asks for 15 more and there is time for no others.
		rules.CropPercent = 11
		more, _ = plantsOf(plan(t, h, rules, 10*1.5+165*0.2, seed), number('c', 2))
		require.Equal(t, 90, more, reason)
	}
}

// 5 % of 9990 plants are 500: more than half of the blocks hold at 20 in each.
func TestTheShareOfTheCropTakesPlantsAndThenBlocks(t *testing.T) {
	t.Parallel()
	p := plan(t, evenHouse(30, 333), scouting.UsualRules(), 0, seed)
	require.Equal(t, 500, p.Plants)
	require.Len(t, p.Blocks, 25)
	require.True(t, rule(t, p, scouting.CropShare).Kept)
}

// Rules exclude each other: 5 % of 20000 plants are 1000, ten blocks hold 200.
// The share of the crop gives way; the 800 plants that lack take 160 minutes.
func TestTheShareOfTheCropGivesWayToTheMostPlantsOfABlock(t *testing.T) {
	t.Parallel()
	p := plan(t, evenHouse(10, 2000), scouting.UsualRules(), 0, seed)
	require.Equal(t, 200, p.Plants)
	share := rule(t, p, scouting.CropShare)
	require.Equal(t, scouting.RuleKept{Rule: scouting.CropShare, Asked: 1000, Planned: 200, MinutesMore: 160}, share)
}

// 15 blocks of 15 plants take 67.5 minutes. For 500 plants there have to be 25
// blocks of 20, which take 137.5.
func TestTheShareOfTheCropSaysWhatItWouldTake(t *testing.T) {
	t.Parallel()
	p := plan(t, evenHouse(30, 333), scouting.UsualRules(), 67.5, seed)
	require.Equal(t, scouting.RuleKept{Rule: scouting.CropShare, Asked: 500, Planned: 225, MinutesMore: 70}, rule(t, p, scouting.CropShare))
	require.True(t, rule(t, p, scouting.BlockShare).Kept)
}

// Of 30 blocks with 333 plants, 4 cultivars and 6 arrivals: a block with 15 plants
// takes 4.5 minutes, with 20 plants 5.5.
func TestRulesGiveWayInOrder(t *testing.T) {
	t.Parallel()
	h := evenHouse(30, 333)
	for i := range h.Stands {
		s := &h.Stands[i]
		s.CultivarID, s.LotID, s.ArrivalID = number('c', i%4), number('l', i%12), number('a', i%6)
		s.LookedOn = domain.NewDate(2026, time.August, 1+i%20)
	}
	order := []scouting.Rule{scouting.CropShare, scouting.BlockShare, scouting.Arrivals, scouting.Panel, scouting.Cultivars}
	last := len(order)
	seen := map[int]bool{}
	for minutes := 140.0; minutes > 0; minutes -= 0.5 {
		p := plan(t, h, scouting.UsualRules(), minutes, seed)
		kept := 0
		for kept < len(order) && rule(t, p, order[len(order)-1-kept]).Kept {
			kept++
		}
		for i, name := range order {
			require.Equal(t, i >= len(order)-kept, rule(t, p, name).Kept, "%v minutes: %s", minutes, name)
		}
		require.LessOrEqual(t, kept, last)
		last = kept
		seen[kept] = true
	}
	require.True(t, seen[0] && seen[len(order)])
	require.Equal(t, 25*5.5, plan(t, h, scouting.UsualRules(), 0, seed).Minutes)
	// 15 blocks of 15 plants are 67.5 minutes; with 60 there are 13.
	block := rule(t, plan(t, h, scouting.UsualRules(), 60, seed), scouting.BlockShare)
	require.Equal(t, scouting.RuleKept{Rule: scouting.BlockShare, Asked: 15, Planned: 13, MinutesMore: 9}, block)
}

func TestALotThatIsSmallInItsBlockIsSeen(t *testing.T) {
	t.Parallel()
	h := evenHouse(1, 400)
	h.Stands = append(h.Stands, h.Stands[0])
	h.Stands[1].LotID, h.Stands[1].CultivarID, h.Stands[1].Plants = number('l', 2), number('c', 2), 20
	rules := scouting.UsualRules()
	rules.CropPercent = 1
	p := plan(t, h, rules, 0, seed)
	require.Len(t, p.Blocks[0].Looks, 2)
	small, _ := plantsOf(p, number('c', 2))
	require.GreaterOrEqual(t, small, 4, "a quarter of the plants is its even half")
	require.Equal(t, []scouting.Reason{scouting.ForCultivar, scouting.ForPanel}, p.Blocks[0].Looks[0].Reasons)
	for lot := 3; lot <= 18; lot++ { // more lots than the least plants
		h.Stands = append(h.Stands, h.Stands[1])
		h.Stands[lot-1].LotID, h.Stands[lot-1].Plants = number('l', lot), 1
	}
	p = plan(t, h, rules, 0, seed)
	require.Len(t, p.Blocks[0].Looks, 18)
}

func TestPositionsAreSpreadEvenlyFromARandomStart(t *testing.T) {
	t.Parallel()
	starts := map[int]bool{}
	for week := 1; week <= 52; week++ {
		s := scouting.SeedOf(domain.ID{15: 1}, domain.ID{15: 2}, domain.Week{Year: 2026, Number: week})
		at := plan(t, evenHouse(1, 150), scouting.UsualRules(), 0, s).Blocks[0].Looks[0].Positions
		for i := 1; i < len(at); i++ {
			require.Equal(t, 10, at[i]-at[i-1], "15 of 150")
		}
		starts[at[0]] = true
	}
	require.Len(t, starts, 10, "every start comes up in a year")
}

// A house as large as they come: 30 blocks, 8 cultivars, four weeks of looks.
func BenchmarkPlanRound(b *testing.B) {
	h := evenHouse(30, 333)
	for i := range h.Stands {
		s := &h.Stands[i]
		s.CultivarID, s.LotID, s.ArrivalID, s.Light = number('c', i%8), number('l', i%16), number('a', i%6), i%3 == 0
		for week := range 4 {
			s.Earlier = append(s.Earlier, scouting.Found{Plants: 18, Infested: (i + week) % 8})
		}
		h.Limits[s.CultivarID] = 20
	}
	for b.Loop() {
		if _, err := scouting.PlanRound(h, scouting.UsualRules(), 90, seed); err != nil {
			b.Fatal(err)
		}
	}
}
