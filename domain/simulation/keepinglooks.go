package simulation

import (
	"cmp"
	"math"
	"slices"
	"time"

	"benchtrail/domain/scouting"
)

// countUntil notes the true counts of the weeks over by the moment: in the
// morning of Monday, before anybody is at work anywhere.
func (k *keeping) countUntil(at time.Time) {
	for len(k.counts) > 0 && !at.Before(k.counts[0].WeekStart.AddDays(7).Time().Add(8*time.Hour)) {
		week, found := k.counts[0].WeekStart, map[spot]int{}
		for ; len(k.counts) > 0 && k.counts[0].WeekStart == week; k.counts = k.counts[1:] {
			c := k.counts[0]
			told := spot{c.LotID, c.BlockID}
			for _, p := range k.of(told) {
				i, seen := found[p.kept]
				if !seen {
					i = len(k.truth.WeeklyCount)
					found[p.kept] = i
					k.truth.WeeklyCount = append(k.truth.WeeklyCount, TrueCount{WeekStart: week, LotID: p.kept.lot, BlockID: p.kept.block})
				}
				n := &k.truth.WeeklyCount[i]
				n.Plants += p.plants
				n.Infested += min(p.plants, share(c.Infested, p.plants, c.Plants))
			}
		}
	}
}

// share gives the part of n that some have of all.
func share(n, some, all int) int {
	return int(math.Round(float64(n) * float64(some) / float64(all)))
}

// lookWhereItStands names the lot and block that the book has for the plants looked at.
func (k *keeping) lookWhereItStands(x *scouting.Look, corrects int) {
	told := spot{x.LotID, x.BlockID}
	at, known := k.looks[x.ID]
	if !known || corrects == 0 {
		at = told
		if there := k.of(told); len(there) > 0 {
			at = slices.MaxFunc(there, func(a, b *portion) int { return cmp.Compare(a.plants, b.plants) }).kept
		}
		k.looks[x.ID] = at
	}
	if x.LotID.IsZero() {
		return
	}
	x.LotID, x.BlockID = at.lot, at.block
	k.lives[at.lot].infested = x.Targets[0].Count(nil).InfestedPlants > 0
}
