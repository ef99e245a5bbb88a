package stock_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// A biological control trial in Massachusetts in 2002: on 16 October the grower
// moved 783 plants of another cultivar from another, untreated house into the
// trial range; they carried 4.2 nymphs and pupae per leaf. (UMass Extension fact
// sheet on whitefly control on poinsettia with biological control.) The plants of
// the range, the house and the dates before are invented.
func TestPlantsMovedIntoATreatedRangeStayALotOfTheirOwn(t *testing.T) {
	t.Parallel()
	on := func(month time.Month, day int) time.Time { return time.Date(2002, month, day, 9, 0, 0, 0, time.UTC) }
	var (
		first, second, newcomer = lotNo(1), lotNo(2), lotNo(3)
		rangeA, rangeB, other   = block(1), block(2), block(3)
		lots                    = []stock.Lot{
			{ID: first, ShipmentID: domain.ID{0: 3, 15: 1}, CultivarID: domain.ID{0: 4, 15: 1}, Plants: 3000},
			{ID: second, ShipmentID: domain.ID{0: 3, 15: 2}, CultivarID: domain.ID{0: 4, 15: 1}, Plants: 2500},
			{ID: newcomer, ShipmentID: domain.ID{0: 3, 15: 3}, CultivarID: domain.ID{0: 4, 15: 2}, Plants: 2000},
		}
		number    byte
		movements []stock.Movement
	)
	note := func(lot domain.ID, kind stock.Kind, at time.Time, plants int, from, to domain.ID) {
		number++
		movements = append(movements, stock.Movement{ID: movementNo(number), LotID: lot, Kind: kind, MovedAt: at, Plants: plants, FromBlockID: from, ToBlockID: to, CustomerID: customerOf(kind)})
	}
	note(first, stock.Stick, on(time.July, 29), 3000, noBlock, rangeA)
	note(second, stock.Stick, on(time.August, 5), 2500, noBlock, rangeB)
	note(newcomer, stock.Stick, on(time.August, 12), 2000, noBlock, other)
	note(newcomer, stock.Move, on(time.October, 16), 783, other, rangeA)
	note(first, stock.Dispatch, on(time.November, 20), 3000, rangeA, noBlock)
	book := stock.FoldBook(lots, movements)
	require.Empty(t, book.Conflicts)

	in := func(block domain.ID, at time.Time) map[domain.ID]int {
		counts := map[domain.ID]int{}
		for _, x := range book.Accounts {
			if plants := standingIn(x.Placements, block, at); plants > 0 {
				counts[x.Lot.ID] = plants
			}
		}
		return counts
	}
	require.Equal(t, map[domain.ID]int{first: 3000}, in(rangeA, on(time.October, 15)))
	require.Equal(t, map[domain.ID]int{first: 3000, newcomer: 783}, in(rangeA, on(time.October, 17)), "the range is read lot by lot")
	require.Equal(t, map[domain.ID]int{newcomer: 1217}, in(other, on(time.October, 17)))
	for _, lot := range lots {
		from, single := account(t, book, lot.ID).Composition.Single()
		require.True(t, single, "a move mixes nothing")
		require.Equal(t, lot.ID, from)
	}

	require.Equal(t, []stock.Contact{{LotID: newcomer, BlockID: rangeA, From: on(time.October, 16), To: on(time.November, 20)}}, book.Contacts(first))
	require.Equal(t, []stock.Contact{{LotID: first, BlockID: rangeA, From: on(time.October, 16), To: on(time.November, 20)}}, book.Contacts(newcomer))
	require.Empty(t, book.Contacts(second))
	require.Empty(t, book.Contacts(lotNo(99)))
}

func customerOf(kind stock.Kind) domain.ID {
	if kind == stock.Dispatch {
		return someone
	}
	return domain.ID{}
}

func TestContactsLastWhileBothStandThere(t *testing.T) {
	t.Parallel()
	book := folded(t,
		of(a, 1, stock.Stick, 1, 600, noBlock, east), of(b, 2, stock.Stick, 3, 500, noBlock, east),
		of(a, 3, stock.Discard, 4, 50, east, noBlock), // fewer, but still there: one contact
		of(b, 4, stock.Move, 6, 500, east, west), of(b, 5, stock.Move, 8, 100, west, east),
		parted(a, 6, stock.Split, 9, stock.Part{LotID: c, Plants: 550, FromBlockID: east, ToBlockID: west}),
		of(c, 7, stock.Move, 12, 550, west, east)) // where a had stood
	require.Equal(t, []stock.Contact{
		{LotID: b, BlockID: east, From: day(3), To: day(6)},
		{LotID: b, BlockID: east, From: day(8), To: day(9)},
	}, book.Contacts(a))
	require.Equal(t, []stock.Contact{
		{LotID: b, BlockID: west, From: day(9), To: day(12)}, {LotID: b, BlockID: east, From: day(12)},
	}, book.Contacts(c))
}
