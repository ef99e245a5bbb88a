package stock_test

import (
	"maps"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// history is a drawn life of a lot with what it adds up to, counted while it was
// drawn and so without Fold.
type history struct {
	lot       stock.Lot
	movements []stock.Movement // as they happened
	received  int
	discarded int
	unplaced  int
	standing  map[domain.ID]int
	// What stood in each block after each moment.
	after map[time.Time]map[domain.ID]int
}

var kinds = []stock.Kind{stock.Receive, stock.Stick, stock.Pot, stock.Move, stock.Discard}

func drawHistory(t *rapid.T) history {
	h := history{standing: map[domain.ID]int{}, after: map[time.Time]map[domain.ID]int{}}
	h.lot = stock.Lot{ID: lotID, Plants: rapid.IntRange(1, 2000).Draw(t, "by the papers")}
	h.received, h.unplaced = h.lot.Plants, h.lot.Plants
	at, lastKind, received := dockDay, 0, false
	for number := range rapid.IntRange(0, 25).Draw(t, "movements") {
		kind := rapid.IntRange(0, len(kinds)-1).Draw(t, "kind")
		// Several movements can carry one moment, if they can have happened in the
		// order of a lot's lived.
		pause := rapid.IntRange(0, 3).Draw(t, "hours later")
		if kind < lastKind && pause == 0 {
			pause = 1
		}
		at, lastKind = at.Add(time.Duration(pause)*time.Hour), kind
		m := stock.Movement{
			// Ids that sort against the order of a lot's life must not change it.
			ID: domain.ID{0: 2, 1: byte(len(kinds) - kind), 15: byte(number + 1)}, LotID: lotID, Kind: kinds[kind], MovedAt: at, Reason: "drawn",
		}
		if h.draw(t, &m, &received) {
			h.movements = append(h.movements, m)
			h.after[at] = maps.Clone(h.standing)
		}
	}
	return h
}

// draw fills in a movement that the counts allow; false where they allow none.
func (h *history) draw(t *rapid.T, m *stock.Movement, received *bool) bool {
	somewhere := block(byte(rapid.IntRange(1, 4).Draw(t, "to")))
	if m.Kind == stock.Receive {
		gone := h.received - h.unplaced
		m.Plants = rapid.IntRange(1, 2000).Draw(t, "counted")
		if *received {
			h.received, h.unplaced = h.received+m.Plants, h.unplaced+m.Plants
		} else {
			m.Plants = max(m.Plants, gone)
			h.received, h.unplaced = m.Plants, m.Plants-gone
		}
		*received = true
		if m.Plants <= h.unplaced && rapid.Bool().Draw(t, "into a block") {
			m.ToBlockID = somewhere
			h.unplaced -= m.Plants
			h.standing[somewhere] += m.Plants
		}
		return true
	}
	there := h.unplaced
	if m.Kind == stock.Move || m.Kind != stock.Stick && rapid.Bool().Draw(t, "from a block") {
		m.FromBlockID = block(byte(rapid.IntRange(1, 4).Draw(t, "from")))
		there = h.standing[m.FromBlockID]
	}
	if there == 0 || m.Kind == stock.Move && m.FromBlockID == somewhere {
		return false
	}
	m.Plants = rapid.OneOf(rapid.IntRange(1, there), rapid.Just(there)).Draw(t, "plants")
	if m.FromBlockID.IsZero() {
		h.unplaced -= m.Plants
	} else {
		h.standing[m.FromBlockID] -= m.Plants
	}
	if m.Kind == stock.Discard {
		h.discarded += m.Plants
		return true
	}
	m.ToBlockID = somewhere
	h.standing[somewhere] += m.Plants
	return true
}

func TestCountsAlwaysAddUp(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		lived, err := fold(h.lot, h.movements)
		require.NoError(t, err)
		require.Equal(t, h.received, lived.Unplaced+lived.Placed+lived.Discarded)
		require.Equal(t, h.unplaced, lived.Unplaced)
		require.Equal(t, h.discarded, lived.Discarded)
		placed := 0
		for _, plants := range h.standing {
			placed += plants
		}
		require.Equal(t, placed, lived.Placed)
		require.Equal(t, lived.Unplaced+lived.Placed, lived.OnHand())
		for _, m := range h.movements {
			require.NoError(t, m.Check(), "a movement drawn is one that can be recorded")
		}
	})
}

func TestTheOrderInWhichMovementsBecomeKnownNeverMatters(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		want, err := fold(h.lot, h.movements)
		require.NoError(t, err)
		shuffled := rapid.Permutation(h.movements).Draw(t, "became known")
		kept := slices.Clone(shuffled)
		got, err := fold(h.lot, shuffled)
		require.NoError(t, err)
		require.Equal(t, want, got)
		require.Equal(t, kept, shuffled, "the movements themselves are left as they were")
	})
}

// Also what is refused is refused alike: here the movements fit nothing.
func TestTheOrderDoesNotMatterForARefusalEither(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var movements []stock.Movement
		for number := range rapid.IntRange(1, 12).Draw(t, "movements") {
			movements = append(movements, moved(byte(number+1), rapid.SampledFrom(kinds).Draw(t, "kind"),
				rapid.IntRange(0, 3).Draw(t, "day"), rapid.IntRange(1, 600).Draw(t, "plants"),
				block(byte(rapid.IntRange(1, 2).Draw(t, "from"))), block(byte(rapid.IntRange(3, 4).Draw(t, "to")))))
			if rapid.Bool().Draw(t, "from the dock") {
				movements[number].FromBlockID = noBlock
			}
		}
		want, wantErr := fold(thousandLot, movements)
		got, gotErr := fold(thousandLot, rapid.Permutation(movements).Draw(t, "became known"))
		require.Equal(t, wantErr, gotErr)
		require.Equal(t, want, got)
	})
}

func TestWithdrawnMovementsDoNotCount(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		want, err := fold(h.lot, h.movements)
		require.NoError(t, err)
		all := slices.Clone(h.movements)
		for range rapid.IntRange(1, 5).Draw(t, "withdrawn") {
			wrong := moved(200, rapid.SampledFrom(kinds).Draw(t, "kind"), rapid.IntRange(0, 3).Draw(t, "day"),
				rapid.IntRange(1, 9999).Draw(t, "plants"), block(byte(rapid.IntRange(0, 4).Draw(t, "from"))), east)
			wrong.Withdrawn = "written down twice"
			all = slices.Insert(all, rapid.IntRange(0, len(all)).Draw(t, "at"), wrong)
		}
		got, err := fold(h.lot, all)
		require.NoError(t, err)
		require.Equal(t, want, got)
	})
}

func TestPlacementsOfABlockNeverOverlap(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		lived, err := fold(h.lot, h.movements)
		require.NoError(t, err)
		for i, p := range lived.Placements {
			require.Equal(t, lotID, p.LotID)
			require.Positive(t, p.Plants)
			require.True(t, p.To.IsZero() || p.From.Before(p.To), "a placement lasts")
			if i > 0 && lived.Placements[i-1].BlockID == p.BlockID {
				before := lived.Placements[i-1]
				require.False(t, before.To.IsZero(), "only the last one of a block is open")
				require.False(t, p.From.Before(before.To), "%v and %v overlap", before, p)
			}
		}
	})
}

func TestPlacementsSayWhatStoodWhereAtEveryMoment(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		lived, err := fold(h.lot, h.movements)
		require.NoError(t, err)
		moments := slices.SortedFunc(maps.Keys(h.after), time.Time.Compare)
		for i, from := range moments {
			inside := []time.Time{from, from.Add(time.Minute)}
			if i+1 < len(moments) {
				inside = append(inside, moments[i+1].Add(-time.Nanosecond))
			}
			for n := range byte(5) {
				for _, at := range inside {
					require.Equal(t, h.after[from][block(n)] > 0, stock.StoodIn(lived.Placements, block(n), at), "block %d at %s", n, at)
					require.Equal(t, h.after[from][block(n)], standingIn(lived.Placements, block(n), at))
				}
				require.False(t, stock.StoodIn(lived.Placements, block(n), dockDay.Add(-time.Nanosecond)))
			}
		}
	})
}

func standingIn(placements []stock.Placement, in domain.ID, at time.Time) int {
	plants := 0
	for _, p := range placements {
		if p.BlockID == in && !at.Before(p.From) && (p.To.IsZero() || at.Before(p.To)) {
			plants += p.Plants
		}
	}
	return plants
}

func TestTakingMoreThanThereIsAlwaysRefusedWithBothNumbers(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		from := block(byte(rapid.IntRange(1, 4).Draw(t, "from")))
		there := h.standing[from]
		if rapid.Bool().Draw(t, "from the dock") {
			from, there = noBlock, h.unplaced
		}
		tooMany := moved(100, stock.Discard, 300, there+rapid.IntRange(1, 500).Draw(t, "too many"), from, noBlock)
		lived, err := fold(h.lot, append(slices.Clone(h.movements), tooMany))
		require.Equal(t, []string{"/plants more_than_there"}, codes(t, err))
		require.EqualError(t, err, sentence("/plants: %d plants are to go but only %d stood there on %s", tooMany.Plants, there, "2027-05-23"))
		require.Zero(t, lived)
	})
}
