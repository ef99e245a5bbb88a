package scouting_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

func TestThePanelStaysFromWeekToWeek(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := anyHouse(t)
		first := plan(t, h, scouting.UsualRules(), 0, seed)
		later := h
		later.Stands = slices.Clone(h.Stands)
		for i := range later.Stands {
			s := &later.Stands[i]
			s.LookedOn, s.Earlier, s.Done = domain.NewDate(2026, time.September, 1+i%20), []scouting.Found{s.Done}, scouting.Found{}
		}
		next := scouting.SeedOf(domain.ID{15: 1}, domain.ID{15: 2}, domain.Week{Year: 2026, Number: 37})
		require.Equal(t, seed.Season, next.Season)
		require.NotEqual(t, seed.Week, next.Week)
		require.Equal(t, panelOf(first), panelOf(plan(t, later, scouting.UsualRules(), 0, next)))
	})
}

func TestAPanelBlockStaysWhenAnotherBlockIsEmptied(t *testing.T) {
	t.Parallel()
	for emptied := range 30 {
		h := evenHouse(30, 200)
		before := panelOf(plan(t, h, scouting.UsualRules(), 0, seed))
		require.Len(t, before, 8, "half of half of 30, rounded up")
		h.Stands[emptied].Plants = 0
		after := panelOf(plan(t, h, scouting.UsualRules(), 0, seed))
		kept := 0
		for _, id := range before {
			if slices.Contains(after, id) {
				kept++
			}
		}
		require.GreaterOrEqual(t, kept, 7, "only the emptied block leaves")
		if !slices.Contains(before, h.Stands[emptied].BlockID) {
			require.Equal(t, before, after)
		}
	}
}

// Rounds of some weeks: the blocks outside the panel come one after another, also
// where as many cultivars as blocks are asked for.
func TestEveryBlockGetsItsTurn(t *testing.T) {
	t.Parallel()
	for cultivars, weeks := range map[int]int{1: 4, 16: 5} {
		h := evenHouse(32, 150)
		for i := range h.Stands {
			h.Stands[i].CultivarID, h.Stands[i].LotID = number('c', i%cultivars), number('l', i%cultivars)
		}
		visits := map[domain.ID]int{}
		for week := 30; week < 30+weeks; week++ {
			s := scouting.SeedOf(domain.ID{15: 1}, domain.ID{15: 2}, domain.Week{Year: 2026, Number: week})
			p := plan(t, h, scouting.UsualRules(), 0, s)
			require.LessOrEqual(t, len(p.Blocks), 20)
			for _, id := range blocksOf(p) {
				visits[id]++
				for i := range h.Stands {
					if h.Stands[i].BlockID == id {
						h.Stands[i].LookedOn = domain.Week{Year: 2026, Number: week}.Monday()
					}
				}
			}
		}
		require.Len(t, visits, 32, "%d cultivars", cultivars)
	}
}
