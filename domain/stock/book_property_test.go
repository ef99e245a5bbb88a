package stock_test

import (
	"math/big"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func TestTheBookIsWhatHappened(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawBook(t)
		book := stock.FoldBook(d.lots, d.movements)
		require.Empty(t, book.Conflicts, "what can have happened fits")
		require.Len(t, book.Accounts, len(d.lots))
		for _, m := range d.movements {
			require.NoError(t, m.Check())
		}
		for id, x := range d.world {
			got := account(t, book, id)
			want := x.tally
			want.In, want.Unplaced = x.got, x.pools[noBlock]
			for n := range byte(4) {
				if n > 0 {
					want.Placed += x.pools[block(n)]
					require.Equal(t, x.pools[block(n)], standingIn(got.Placements, block(n), d.at))
				}
			}
			require.Equal(t, want, got.Tally)
			require.Equal(t, x.stuckAt, got.Steps.StuckAt)
			require.Len(t, got.Composition, len(x.mixture))
			for arrival, part := range x.mixture {
				require.Zero(t, part.Cmp(got.Composition.Of(arrival)), "%s of %s", part, id)
			}
		}
	})
}

// drawAnything draws movements that fit nothing in particular.
func drawAnything(t *rapid.T) ([]stock.Lot, []stock.Movement) {
	lot := rapid.Custom(func(t *rapid.T) domain.ID { return lotNo(byte(rapid.IntRange(0, 6).Draw(t, "lot"))) })
	place := rapid.Custom(func(t *rapid.T) domain.ID {
		return rapid.SampledFrom([]domain.ID{noBlock, east, west}).Draw(t, "block")
	})
	var movements []stock.Movement
	for number := range rapid.IntRange(0, 25).Draw(t, "movements") {
		m := stock.Movement{
			ID: movementNo(byte(number + 1)), LotID: lot.Draw(t, "of"), Kind: rapid.SampledFrom(append(bookKinds, "teleport")).Draw(t, "kind"),
			MovedAt: day(rapid.IntRange(0, 5).Draw(t, "day")), Plants: rapid.IntRange(-1, 400).Draw(t, "plants"),
		}
		if m.Kind == stock.Split || m.Kind == stock.Merge {
			sum := 0
			for range rapid.IntRange(0, 3).Draw(t, "parts") {
				p := stock.Part{LotID: lot.Draw(t, "part"), Plants: rapid.IntRange(0, 150).Draw(t, "plants"), FromBlockID: place.Draw(t, "from"), ToBlockID: place.Draw(t, "to")}
				m.Parts, sum = append(m.Parts, p), sum+p.Plants
			}
			if rapid.IntRange(0, 9).Draw(t, "adds up") > 0 {
				m.Plants = sum
			}
		} else {
			m.FromBlockID, m.ToBlockID = place.Draw(t, "from"), place.Draw(t, "to")
		}
		if m.Kind == stock.Root {
			m.ToBlockID, m.Rooted = noBlock, rapid.IntRange(0, 400).Draw(t, "rooted")
		}
		if m.Kind == stock.Discard || m.Kind == stock.Dispatch || m.Kind == stock.Count {
			m.ToBlockID = noBlock
		}
		if m.Kind == stock.Dispatch {
			m.CustomerID = someone
		}
		if m.Kind == stock.Discard && rapid.IntRange(0, 9).Draw(t, "a reason") > 0 {
			m.Reason = "drawn"
		}
		if rapid.IntRange(0, 9).Draw(t, "withdrawn") == 0 {
			m.Withdrawn = "drawn"
		}
		movements = append(movements, m)
	}
	return someLots, movements
}

func drawSome(t *rapid.T) ([]stock.Lot, []stock.Movement) {
	if rapid.Bool().Draw(t, "anything") {
		return drawAnything(t)
	}
	d := drawBook(t)
	// Any few of them left out make others impossible.
	kept := slices.DeleteFunc(d.movements, func(stock.Movement) bool { return rapid.IntRange(0, 7).Draw(t, "left out") == 0 })
	return d.lots, kept
}

func TestTheBookDoesNotDependOnTheOrderInWhichItBecameKnown(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lots, movements := drawSome(t)
		want := stock.FoldBook(lots, movements)
		shuffled := rapid.Permutation(movements).Draw(t, "became known")
		kept := slices.Clone(shuffled)
		got := stock.FoldBook(rapid.Permutation(lots).Draw(t, "lots"), shuffled)
		require.Equal(t, want, got)
		require.Equal(t, kept, shuffled, "the movements themselves are left as they were")
	})
}

func TestNothingRecordedDisappearsFromTheBook(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lots, movements := drawSome(t)
		book := stock.FoldBook(lots, movements)
		entered, aside := map[domain.ID]bool{}, map[domain.ID]stock.Movement{}
		for _, x := range book.Accounts {
			for _, id := range x.Movements {
				entered[id] = true
			}
		}
		for _, x := range book.Conflicts {
			aside[x.Movement.ID] = x.Movement
			require.NotContains(t, x.With, x.Movement.ID)
			require.NotEmpty(t, x.Code)
			require.NotEmpty(t, x.Detail)
		}
		require.Len(t, aside, len(book.Conflicts), "each once")
		for _, m := range movements {
			kept, conflict := aside[m.ID]
			if conflict {
				require.Equal(t, m, kept)
			}
			require.Equal(t, m.Withdrawn == "", entered[m.ID] != conflict, "entered or set aside, never both: %v", m)
			require.False(t, m.Withdrawn != "" && (entered[m.ID] || conflict))
		}
	})
}

func TestCountsOfTheBookAlwaysAddUp(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lots, movements := drawSome(t)
		book := stock.FoldBook(lots, movements)
		for _, x := range book.Accounts {
			n := x.Tally
			require.Equal(t, n.In, n.Unplaced+n.Placed+n.Discarded+n.Dispatched+n.SplitOff+n.MergedAway+n.Lost-n.Gained)
			require.GreaterOrEqual(t, n.Unplaced, 0)
			for i, p := range x.Placements {
				require.Positive(t, p.Plants)
				require.True(t, p.To.IsZero() || p.From.Before(p.To), "a placement lasts")
				if i > 0 && x.Placements[i-1].BlockID == p.BlockID {
					before := x.Placements[i-1]
					require.False(t, before.To.IsZero())
					require.False(t, p.From.Before(before.To), "%v and %v overlap", before, p)
				}
			}
			if x.State == stock.NotBorn {
				require.Equal(t, stock.Tally{}, n)
				require.Empty(t, x.Composition)
				continue
			}
			require.Zero(t, x.Composition.Sum().Cmp(big.NewRat(1, 1)))
		}
	})
}

func TestEveryPlantOfEveryArrivalIsAccountedForExactly(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lots, movements := drawSome(t)
		book := stock.FoldBook(lots, movements)
		for _, lot := range lots {
			if lot.ShipmentID.IsZero() {
				continue
			}
			x := book.Balance(lot.ID)
			sum := new(big.Rat).Add(x.OnHand, x.Discarded)
			sum.Add(sum, x.Dispatched).Add(sum, x.Lost).Sub(sum, x.Gained)
			require.Equal(t, account(t, book, lot.ID).Tally.In, x.Received)
			require.Zero(t, sum.Cmp(big.NewRat(int64(x.Received), 1)), "%s of %d", sum, x.Received)
		}
	})
}

func TestAncestryAgreesWithComposition(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lots, movements := drawSome(t)
		book := stock.FoldBook(lots, movements)
		for _, x := range book.Accounts {
			shares := map[domain.ID]*big.Rat{}
			for _, from := range book.Ancestry(x.Lot.ID) {
				require.False(t, from.Until.Before(from.From))
				require.False(t, x.Birth.At.Before(from.Until))
				require.Contains(t, book.Descendants(from.LotID), x.Lot.ID)
				if from.Arrival {
					if shares[from.LotID] == nil {
						shares[from.LotID] = new(big.Rat)
					}
					shares[from.LotID].Add(shares[from.LotID], from.Share)
				}
			}
			for id, share := range shares {
				require.Zero(t, share.Cmp(x.Composition.Of(id)))
			}
			if !x.Lot.ShipmentID.IsZero() {
				require.Empty(t, shares)
			} else {
				require.Len(t, shares, len(x.Composition))
			}
		}
	})
}

// What a late movement makes impossible leads back to it through the conflicts.
func TestALateMovementIsNamedByWhatItMakesImpossible(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawBook(t)
		late := of(rapid.SampledFrom(d.alive).Draw(t, "lot"), 99,
			rapid.SampledFrom([]stock.Kind{stock.Receive, stock.Move, stock.Split, stock.Discard, stock.Count}).Draw(t, "kind"),
			0, rapid.IntRange(1, 100).Draw(t, "plants"), block(byte(rapid.IntRange(1, 3).Draw(t, "from"))), noBlock)
		late.MovedAt = dockDay.Add(time.Duration(rapid.IntRange(0, 12).Draw(t, "hours")) * time.Hour)
		if rapid.Bool().Draw(t, "from the dock") || late.Kind == stock.Receive {
			late.FromBlockID = noBlock
		}
		switch late.Kind {
		case stock.Move:
			late.ToBlockID = block(4)
		case stock.Split:
			late.Parts = []stock.Part{{LotID: rapid.SampledFrom(d.alive).Draw(t, "child"), Plants: late.Plants, FromBlockID: late.FromBlockID}}
			late.FromBlockID = noBlock
		}
		reached := map[domain.ID]bool{late.ID: true}
		conflicts := stock.FoldBook(d.lots, append(d.movements, late)).Conflicts
		for range conflicts { // within a moment a cause can come after what it makes impossible
			for _, x := range conflicts {
				if slices.ContainsFunc(x.With, func(id domain.ID) bool { return reached[id] }) {
					reached[x.Movement.ID] = true
				}
			}
		}
		for _, x := range conflicts {
			require.True(t, reached[x.Movement.ID], "%v is impossible, but not by %v", x, late)
		}
	})
}

// Where the lots have nothing to do with each other and all fits, the book says
// what the fold of one lot says.
func TestTheBookOfOneLotIsItsFold(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		h.lot.ShipmentID = someone
		lived, err := fold(h.lot, h.movements)
		require.NoError(t, err)
		book := stock.FoldBook([]stock.Lot{h.lot}, h.movements)
		require.Empty(t, book.Conflicts)
		x := book.Accounts[0]
		require.Equal(t, []int{lived.Unplaced, lived.Placed, lived.Discarded}, []int{x.Tally.Unplaced, x.Tally.Placed, x.Tally.Discarded})
		require.Equal(t, lived.StuckAt, x.Steps.StuckAt)
		for at := range h.after {
			for n := range byte(5) {
				require.Equal(t, standingIn(lived.Placements, block(n), at), standingIn(x.Placements, block(n), at))
			}
		}
	})
}

func TestFitsRefusesExactlyWhatWouldBeSetAside(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := drawBook(t)
		_, others := drawAnything(t)
		if len(others) == 0 {
			return
		}
		candidate := others[0]
		candidate.ID, candidate.Withdrawn = domain.ID{0: 2, 1: 99}, ""
		err := stock.Fits(d.lots, d.movements, candidate)
		conflicts := stock.FoldBook(d.lots, append(slices.Clone(d.movements), candidate)).Conflicts
		require.Equal(t, len(conflicts) > 0, err != nil)
		for _, x := range conflicts {
			if candidate.Check() == nil {
				require.ErrorContains(t, err, x.Detail)
			}
		}
	})
}
