package scouting_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

func TestABlockIsMissedWhenNoPlantOfItWasLookedAt(t *testing.T) {
	t.Parallel()
	block := func(n byte, done ...int) scouting.PlannedBlock {
		b := scouting.PlannedBlock{BlockID: domain.ID{15: n}, Minutes: 5}
		for _, d := range done {
			b.Looks = append(b.Looks, scouting.PlannedLook{Plants: 15, Done: d})
		}
		return b
	}
	plan := scouting.Plan{Blocks: []scouting.PlannedBlock{block(1, 15), block(2, 0, 3), block(3, 0), block(4, 40), block(9, 0)}}
	var w scouting.Walked
	w.Add(plan, func(id domain.ID) bool { return id[15] < 9 })
	require.Equal(t, scouting.Walked{
		Planned: 4, Done: 3, Plants: 75, PlantsDone: 33, Minutes: 20, Missed: []domain.ID{{15: 3}},
	}, w)
}

func TestARoundIsWorthReadingFromHalfOfItsBlocksOn(t *testing.T) {
	t.Parallel()
	for _, x := range []struct {
		planned, done int
		want          bool
	}{{0, 0, false}, {1, 0, false}, {9, 4, false}, {8, 4, true}, {9, 5, true}} {
		require.Equal(t, x.want, scouting.Walked{Planned: x.planned, Done: x.done}.WorthReading(), "%+v", x)
	}
}
