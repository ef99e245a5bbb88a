package simulation

import (
	"context"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/scouting"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
)

func trialOf(t *testing.T, seasons int, seed uint64) Trial {
	t.Helper()
	trial, err := NewTrial(t.Context(), seasons, seed, 2)
	require.NoError(t, err)
	return trial
}

func TestATrialIsTheSameForTheSameSeedWhoeverRunsItsSeasons(t *testing.T) {
	t.Parallel()
	all := trialOf(t, 3, 7)
	require.Equal(t, all.String(), trialOf(t, 3, 7).String())
	require.NotEqual(t, all.String(), trialOf(t, 3, 8).String())

	var one trialResult
	for number := range 3 {
		result, err := tryOut(7, number)
		require.NoError(t, err)
		one.add(result)
	}
	require.Equal(t, one, all.trialResult)
}

func TestTheNumbersOfATrialAddUp(t *testing.T) {
	t.Parallel()
	trial := trialOf(t, 3, 11)
	require.NotEmpty(t, trial.calls)
	for _, arm := range []armResult{trial.fixed, trial.planned} {
		require.NotEmpty(t, arm.estimates)
		require.NotEmpty(t, arm.forecasts)
		for _, e := range arm.estimates {
			require.True(t, e.truth > 0 && e.truth < 1)
			require.True(t, e.alike >= 0 && e.alike <= 1)
			require.Positive(t, e.blocks)
			require.Positive(t, e.width)
		}
		for _, f := range arm.forecasts {
			require.True(t, f.weeksAhead >= 1 && f.weeksAhead <= mostWeeksAhead)
			require.True(t, f.in90 || !f.in50, "the band of 50 % lies in that of 90 %")
			require.False(t, f.in90 && f.below)
			require.Equal(t, f.came > trialLimit, f.over)
		}
	}
	for _, s := range trial.stops {
		require.Positive(t, s.fixed.plants)
		require.False(t, s.wrong(stopped{above: s.truth > s.limit}))
	}
	require.Equal(t, len(trial.fixed.estimates), sumOfAll(t, coverageRows(trial.fixed.estimates)))
	require.Equal(t, len(trial.planned.estimates), sumOfAll(t, coverageRows(trial.planned.estimates)))
	require.Equal(t, len(trial.fixed.forecasts), sumOfAll(t, trial.chanceTable()))
	require.Equal(t, 2*len(trial.calls), sumOfAll(t, trial.callTable()), "lost and not lost, by both")
	require.Equal(t, 2*3*len(trial.stops), sumOfAll(t, trial.stopTable()), "in parts and all, by three ways")
	for _, c := range trial.calls {
		require.True(t, c.baseline == never || c.baseline/7 == trialBaseline)
		require.True(t, c.advice == never || c.advice/7 >= trialFirstRound && c.advice/7 <= trialLimitWeek)
	}
}

// sumOfAll adds up the wholes in the parts of a table: 20 in "7 of 20".
func sumOfAll(t *testing.T, table string) int {
	t.Helper()
	sum := 0
	for _, found := range regexp.MustCompile(`\d+ of (\d+)  `).FindAllStringSubmatch(table, -1) {
		n, err := strconv.Atoi(found[1])
		require.NoError(t, err)
		sum += n
	}
	return sum
}

func TestTheTableOfATrialHasAllItsParts(t *testing.T) {
	t.Parallel()
	table := trialOf(t, 1, 5).String()
	require.True(t, strings.HasPrefix(table, "Trial of 1 invented seasons, seed 5\n"))
	for _, part := range []string{
		"1. Do the 95 % intervals hold", "2. Do the bands", "3. Is the chance", "4. Below or above", "5. How early", "False alarm:", "Lost:",
	} {
		require.Contains(t, table, part)
	}
	require.NotContains(t, table, "NaN")
	require.NotContains(t, table, "%!")
}

func TestATrialNeedsASeasonAndTime(t *testing.T) {
	t.Parallel()
	for _, seasons := range []int{-1, 0, MostSeasons + 1} {
		_, err := NewTrial(t.Context(), seasons, 1, 1)
		require.Error(t, err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := NewTrial(ctx, 2, 1, 2)
	require.ErrorIs(t, err, context.Canceled)
}

// What arms of a trial look at changes nothing in the season.
func TestTheSpreadDoesNotDependOnLooks(t *testing.T) {
	t.Parallel()
	quiet, scouted := newTrialSeason(3, 0), newTrialSeason(3, 0)
	arm := newTrialArm(source(3, 0, plannedStream))
	for quiet.week < trialLimitWeek {
		if scouted.week >= trialFirstRound {
			_, err := scouted.roundByPlan(arm, source(3, 0, comparedStream), limitOn(trialLimits()))
			require.NoError(t, err)
			scouted.note(arm, scouted.lookFixed(arm.rng, scouted.halfOfBlocks(arm.rng, 0)))
		}
		quiet.end()
		scouted.end()
	}
	require.Equal(t, quiet.spread.stands, scouted.spread.stands)
}

// The truth that estimates are held against is what looks show in the long run.
func TestTheVisibleShareIsTheMeanOfManyLooks(t *testing.T) {
	t.Parallel()
	s := newTrialSeason(9, 1)
	for s.week < trialLimitWeek {
		s.end()
	}
	groups, stands := s.groups()
	tried := 0
	for _, g := range groups {
		h := s.houses[g.house]
		block := stands[g][0].block
		if len(s.spread.inBlock[block]) > 1 {
			continue
		}
		looked, infested := 0, 0
		for range 3000 {
			for _, l := range s.lookFixed(s.rng, []int{block}) {
				looked += l.plants
				infested += l.infested
			}
		}
		tried++
		require.Equal(t, 3000*perBlock, looked)
		require.InDelta(t, visibleOn(stands[g][:1], h.observer), float64(infested)/float64(looked), 0.01)
	}
	require.Positive(t, tried)
}

func TestHowAlikeTheBlocksAre(t *testing.T) {
	t.Parallel()
	in := func(block, plants, infested int) *stand {
		return &stand{block: block, foliage: stock.LightFoliage, plants: row(plants, infested)}
	}
	sees := 1 / visible(4)
	alike, known := alikeIn([]*stand{in(0, 100, 100), in(1, 100, 0)}, sees)
	require.True(t, known)
	require.InDelta(t, 1, alike, 1e-9)

	alike, known = alikeIn([]*stand{in(0, 100, 30), in(1, 60, 18), in(1, 40, 12)}, sees)
	require.True(t, known)
	require.InDelta(t, 0, alike, 1e-9)

	// Shares of 0.1 and 0.3 in equal blocks: 0.02 between them, 0.15 within.
	alike, known = alikeIn([]*stand{in(0, 100, 10), in(1, 100, 30)}, sees)
	require.True(t, known)
	require.InDelta(t, 0.02/0.17, alike, 1e-9)

	_, known = alikeIn([]*stand{in(0, 100, 10)}, sees)
	require.False(t, known)
	_, known = alikeIn([]*stand{in(0, 100, 0), in(1, 100, 0)}, sees)
	require.False(t, known)
}

func TestStoppingKeepsTheFloorUnderEveryBlock(t *testing.T) {
	t.Parallel()
	lines, err := stats.NewStopLines(0.1, 0.3, 0.1, 0.1, 60)
	require.NoError(t, err)
	stop := scouting.Stop{Limited: true, LimitPercent: 20, Blocks: 3, PlantsLeast: 35, Lines: lines}
	var walks []walk
	for _, least := range []int{15, 15, 5} { // in the last the cultivar shares the block
		w := walk{least: least}
		st := &stand{plants: row(100, 0)}
		for range 20 {
			w.plants = append(w.plants, walked{stand: st})
		}
		walks = append(walks, w)
	}
	answer, looks := untilStopped(walks, stop, true)
	require.Equal(t, stopped{plants: 44}, answer)
	require.Equal(t, []int{15, 15, 14}, []int{looks[0].plants, looks[1].plants, looks[2].plants})
	answer, looks = untilStopped(walks, stop, false)
	require.Len(t, looks, 3, "every planned block is visited all the same")
	free := slices.IndexFunc(lines.Lines, func(l stats.StopLine) bool { return l.BelowIfAtMost >= 0 }) + 1
	require.Equal(t, stopped{plants: max(3, free)}, answer)
	for i := range walks {
		for j := range walks[i].plants {
			walks[i].plants[j].seen = true
		}
	}
	answer, _ = untilStopped(walks, stop, true)
	require.Equal(t, stopped{plants: 44, above: true}, answer)
}

// Seasons are worth a trial only if they are not all alike: crops end on both sides
// of the limit, blocks are alike to different degrees, control comes and goes.
func TestTrialSeasonsDiffer(t *testing.T) {
	t.Parallel()
	lost, kept, changed, tones := 0, 0, 0, map[stock.Foliage]bool{}
	classes := [3]int{}
	for number := range 20 {
		s := newTrialSeason(2, number)
		for s.week < trialLimitWeek {
			s.end()
		}
		groups, stands := s.groups()
		for _, g := range groups {
			h := s.houses[g.house]
			if 100*visibleOn(stands[g], h.grower) > trialLimit {
				lost++
			} else {
				kept++
			}
			if alike, known := alikeIn(stands[g], h.grower); known {
				classes[trialEstimate{alike: alike}.alikeClass()]++
			}
			tones[s.cultivars[g.cultivar].foliage] = true
		}
		for _, h := range s.houses {
			require.True(t, len(h.blocks) >= 8 && len(h.blocks) <= 16)
			if h.guardedFrom > 0 || h.guardedUntil > 0 && h.guardedUntil < math.MaxInt {
				changed++
			}
			for _, b := range h.blocks {
				require.True(t, s.spread.plantsIn(b) >= 150 && s.spread.plantsIn(b) <= 400)
			}
		}
	}
	require.Greater(t, lost, 20)
	require.Greater(t, kept, 2*lost)
	require.Greater(t, changed, 5)
	require.Len(t, tones, 3)
	for _, n := range classes {
		require.Greater(t, n, 20)
	}
}
