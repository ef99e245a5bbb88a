package stock_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func split(number byte, dayAfter int, parent, child domain.ID, plants int) stock.Movement {
	return parted(parent, number, stock.Split, dayAfter, stock.Part{LotID: child, Plants: plants})
}

func merge(number byte, dayAfter int, child, one, other domain.ID, plants int) stock.Movement {
	return parted(child, number, stock.Merge, dayAfter, stock.Part{LotID: one, Plants: plants}, stock.Part{LotID: other, Plants: plants})
}

func TestWhatCannotBeIsSetAsideWithItsNumbers(t *testing.T) {
	t.Parallel()
	type conflict struct {
		number      byte
		code        stock.Code
		have, asked int
		with        []byte
	}
	wrongSum := split(1, 1, a, c, 100)
	wrongSum.Plants = 120
	otherCultivar := split(2, 1, a, lotNo(8), 10)
	for name, given := range map[string]struct {
		movements []stock.Movement
		want      []conflict
	}{
		"more moved than stood there": {
			[]stock.Movement{of(a, 1, stock.Stick, 1, 300, noBlock, east), of(a, 2, stock.Move, 2, 301, east, west)},
			[]conflict{{2, stock.MoreThanThere, 300, 301, nil}},
		},
		"what should have come was set aside as well": {
			[]stock.Movement{of(a, 1, stock.Stick, 1, 300, noBlock, east), of(a, 2, stock.Move, 2, 301, east, west), of(a, 3, stock.Discard, 3, 10, west, noBlock)},
			[]conflict{{2, stock.MoreThanThere, 300, 301, nil}, {3, stock.MoreThanThere, 0, 10, []byte{2}}},
		},
		"more dispatched than are left": {
			[]stock.Movement{of(a, 1, stock.Dispatch, 1, 700, noBlock, noBlock), of(a, 2, stock.Dispatch, 2, 700, noBlock, noBlock)},
			[]conflict{{2, stock.MoreThanThere, 300, 700, []byte{1}}},
		},
		"more pinched than stand there": {
			[]stock.Movement{of(a, 1, stock.Pinch, 1, 1001, noBlock, noBlock)},
			[]conflict{{1, stock.MoreThanThere, 1000, 1001, nil}},
		},
		"more rooted than stand there": {
			[]stock.Movement{of(a, 1, stock.Discard, 1, 600, noBlock, noBlock), {ID: movementNo(2), LotID: a, Kind: stock.Root, MovedAt: day(2), Plants: 900, Rooted: 401}},
			[]conflict{{2, stock.MoreThanThere, 400, 401, []byte{1}}},
		},
		"more stuck than ever were": {
			[]stock.Movement{of(a, 1, stock.Receive, 1, 900, noBlock, noBlock), {ID: movementNo(2), LotID: a, Kind: stock.Root, MovedAt: day(2), Plants: 901, Rooted: 800}},
			[]conflict{{2, stock.MoreThanEver, 900, 901, []byte{1}}},
		},
		"fewer received than were placed": {
			[]stock.Movement{of(a, 1, stock.Stick, 1, 700, noBlock, east), of(a, 2, stock.Receive, 2, 600, noBlock, noBlock)},
			[]conflict{{2, stock.FewerThanPlaced, 600, 700, []byte{1}}},
		},
		"more received into a block than are left of them": {
			[]stock.Movement{of(a, 1, stock.Stick, 1, 100, noBlock, east), of(a, 2, stock.Receive, 2, 600, noBlock, west)},
			[]conflict{{2, stock.MoreThanThere, 500, 600, []byte{1}}},
		},
		"counted at the dock before the dock received": {
			[]stock.Movement{of(a, 1, stock.Count, 1, 950, noBlock, noBlock), of(a, 2, stock.Receive, 2, 950, noBlock, noBlock)},
			[]conflict{{1, stock.NotYetReceived, 1000, 950, []byte{2}}},
		},
		"work done where the plants stand took none": {
			[]stock.Movement{of(a, 1, stock.Stick, 1, 300, noBlock, east), of(a, 2, stock.Pot, 2, 300, east, east), of(a, 3, stock.Discard, 3, 301, east, noBlock)},
			[]conflict{{3, stock.MoreThanThere, 300, 301, nil}},
		},
		"more stuck than ever were, as a count was set aside": {
			[]stock.Movement{of(a, 1, stock.Count, 1, 1100, noBlock, noBlock), of(a, 2, stock.Receive, 2, 1000, noBlock, noBlock), {ID: movementNo(3), LotID: a, Kind: stock.Root, MovedAt: day(3), Plants: 1050}},
			[]conflict{{1, stock.NotYetReceived, 1000, 1100, []byte{2}}, {3, stock.MoreThanEver, 1000, 1050, []byte{1, 2}}},
		},
		"a count of what was born here does not wait for a receipt": {
			[]stock.Movement{split(1, 1, a, c, 100), of(c, 2, stock.Count, 2, 90, noBlock, noBlock), of(c, 3, stock.Receive, 3, 90, noBlock, noBlock)},
			[]conflict{{3, stock.BornTwice, 0, 90, []byte{1}}},
		},
		"before the birth, and its parent is claimed as its child": {
			[]stock.Movement{of(c, 1, stock.Discard, 4, 10, noBlock, noBlock), split(2, 5, a, c, 100), split(3, 6, c, a, 50)},
			[]conflict{{1, stock.BeforeBirth, 0, 10, []byte{2}}, {3, stock.Circle, 0, 50, []byte{2}}},
		},
		"before the birth": {
			[]stock.Movement{of(c, 1, stock.Discard, 4, 10, noBlock, noBlock), split(2, 5, a, c, 100)},
			[]conflict{{1, stock.BeforeBirth, 0, 10, []byte{2}}},
		},
		"of a birth that was set aside": {
			[]stock.Movement{split(1, 5, a, c, 1001), of(c, 2, stock.Discard, 6, 10, noBlock, noBlock)},
			[]conflict{{1, stock.MoreThanThere, 1000, 1001, nil}, {2, stock.BeforeBirth, 0, 10, []byte{1}}},
		},
		"of no birth at all": {
			[]stock.Movement{of(c, 1, stock.Discard, 6, 10, noBlock, noBlock)},
			[]conflict{{1, stock.NeverBorn, 0, 10, nil}},
		},
		"born twice": {
			[]stock.Movement{split(1, 5, a, c, 100), split(2, 6, b, c, 50)},
			[]conflict{{2, stock.BornTwice, 100, 50, []byte{1}}},
		},
		"born though it arrived": {
			[]stock.Movement{of(b, 1, stock.Receive, 0, 500, noBlock, noBlock), split(2, 6, a, b, 50)},
			[]conflict{{2, stock.BornTwice, 500, 50, []byte{1}}},
		},
		"received though it was born here": {
			[]stock.Movement{split(1, 1, a, c, 100), of(c, 2, stock.Receive, 2, 100, noBlock, noBlock)},
			[]conflict{{2, stock.BornTwice, 0, 100, []byte{1}}},
		},
		"a lot that is its own grandparent": {
			[]stock.Movement{split(1, 1, a, c, 100), split(2, 2, c, d, 50), merge(3, 3, c, d, b, 10)},
			[]conflict{{3, stock.Circle, 0, 10, []byte{1, 2}}},
		},
		"an arrival that is its own child": {
			[]stock.Movement{split(1, 1, a, c, 100), split(2, 2, c, a, 50)},
			[]conflict{{2, stock.Circle, 0, 50, []byte{1}}},
		},
		"a circle that nothing ever came into": {
			[]stock.Movement{split(1, 1, c, d, 100), split(2, 2, d, e, 50), split(3, 3, e, c, 50)},
			[]conflict{{1, stock.Circle, 0, 100, []byte{2, 3}}, {2, stock.Circle, 0, 50, []byte{1, 3}}, {3, stock.Circle, 0, 50, []byte{1, 2}}},
		},
		"a merge with itself": {
			[]stock.Movement{merge(1, 1, c, c, a, 10)},
			[]conflict{{1, "with_itself", 0, 20, nil}},
		},
		"children that do not add up": {
			[]stock.Movement{wrongSum, of(c, 2, stock.Discard, 6, 10, noBlock, noBlock)},
			[]conflict{{1, "do_not_add_up", 100, 120, nil}, {2, stock.BeforeBirth, 0, 10, []byte{1}}},
		},
		"one child more than there are plants for": {
			[]stock.Movement{parted(b, 1, stock.Split, 1, stock.Part{LotID: c, Plants: 300}, stock.Part{LotID: d, Plants: 300})},
			[]conflict{{1, stock.MoreThanThere, 500, 600, nil}},
		},
		"a lot nobody knows":           {[]stock.Movement{of(lotNo(99), 1, stock.Pinch, 1, 10, noBlock, noBlock)}, []conflict{{1, stock.UnknownLot, 0, 10, nil}}},
		"a child nobody knows":         {[]stock.Movement{split(1, 1, a, lotNo(99), 10)}, []conflict{{1, stock.UnknownLot, 0, 10, nil}}},
		"a parent nobody knows":        {[]stock.Movement{merge(1, 1, c, a, lotNo(99), 10)}, []conflict{{1, stock.UnknownLot, 0, 10, nil}}},
		"a parent that was never born": {[]stock.Movement{merge(1, 1, c, a, d, 10)}, []conflict{{1, stock.NeverBorn, 0, 10, nil}}},
		"another cultivar":             {[]stock.Movement{otherCultivar}, []conflict{{2, stock.OtherCultivar, 0, 10, nil}}},
		"nothing at all":               {[]stock.Movement{{ID: movementNo(1)}}, []conflict{{1, "missing", 0, 0, nil}}},
	} {
		lots := append([]stock.Lot{{ID: lotNo(8), CultivarID: domain.ID{0: 4, 15: 2}}}, someLots...)
		lots[1].CultivarID = domain.ID{0: 4, 15: 1}
		book := stock.FoldBook(lots, given.movements)
		var got []conflict
		for _, x := range book.Conflicts {
			require.NotEmpty(t, x.Detail, name)
			with := []byte(nil)
			for _, id := range x.With {
				with = append(with, id[15])
			}
			got = append(got, conflict{x.Movement.ID[15], x.Code, x.Have, x.Asked, with})
		}
		require.Equal(t, given.want, got, name)
	}
}

// Stuck 600; 300 moved on; 300 dispatched. A phone brings a discard of 100 late.
func TestALateMovementAndWhatItMakesImpossibleAreShownTogether(t *testing.T) {
	t.Parallel()
	movements := []stock.Movement{
		of(a, 1, stock.Stick, 1, 600, noBlock, east), of(a, 2, stock.Move, 3, 300, east, west), of(a, 3, stock.Dispatch, 4, 300, east, noBlock),
	}
	require.Empty(t, stock.FoldBook(someLots, movements).Conflicts)
	book := stock.FoldBook(someLots, append(movements, of(a, 4, stock.Discard, 2, 100, east, noBlock)))
	require.Len(t, book.Conflicts, 1)
	x := book.Conflicts[0]
	require.Equal(t, movements[2], x.Movement)
	require.Equal(t, []domain.ID{movementNo(4), movementNo(2)}, x.With)
	require.Equal(t, "300 plants are to go but only 200 stood there on 2026-07-31", x.Detail)
	require.Equal(t, a, x.LotID)
	require.Equal(t, east, x.BlockID)
	require.Equal(t, stock.Tally{In: 1000, Unplaced: 400, Placed: 500, Discarded: 100}, account(t, book, a).Tally, "the rest of the book goes on")
}

func TestAConflictNamesTheLatestMovementsOfMany(t *testing.T) {
	t.Parallel()
	var movements []stock.Movement
	for i := range 200 {
		movements = append(movements, of(a, byte(i+1), stock.Discard, i, 5, noBlock, noBlock))
	}
	movements = append(movements, of(a, 201, stock.Discard, 300, 5, noBlock, noBlock))
	book := stock.FoldBook(someLots, movements)
	require.Len(t, book.Conflicts, 1)
	require.Len(t, book.Conflicts[0].With, stock.ConflictMost)
	require.Equal(t, movementNo(151), book.Conflicts[0].With[0])
	require.Equal(t, movementNo(200), book.Conflicts[0].With[49])
}

func TestACountSettlesWhatCameBefore(t *testing.T) {
	t.Parallel()
	book := stock.FoldBook(someLots, []stock.Movement{
		of(a, 1, stock.Stick, 1, 600, noBlock, east), of(a, 2, stock.Discard, 2, 100, east, noBlock),
		of(a, 3, stock.Count, 3, 480, east, noBlock), of(a, 4, stock.Dispatch, 4, 500, east, noBlock),
	})
	require.Len(t, book.Conflicts, 1)
	require.Equal(t, []domain.ID{movementNo(3)}, book.Conflicts[0].With)
}

func TestFitsRefusesOnlineWithTheNumbers(t *testing.T) {
	t.Parallel()
	movements := []stock.Movement{
		of(a, 1, stock.Stick, 1, 600, noBlock, east), of(a, 2, stock.Dispatch, 5, 500, east, noBlock),
		of(b, 3, stock.Discard, 5, 501, noBlock, noBlock), // in conflict already
		split(4, 6, b, c, 20),
	}
	correction := movements[0]
	correction.Plants = 450
	withdrawal := movements[3]
	withdrawal.Withdrawn = "never happened"
	for name, want := range map[string]struct {
		candidate stock.Movement
		codes     []string
		message   string
	}{
		"fits":                     {of(a, 9, stock.Discard, 2, 100, east, noBlock), nil, ""},
		"too many":                 {of(a, 9, stock.Discard, 6, 101, east, noBlock), []string{"/plants more_than_there"}, "/plants: 101 plants are to go but only 100 stood there on 2026-08-02"},
		"too many in a part":       {split(9, 7, b, d, 481), []string{"/parts/0/plants more_than_there"}, "/parts/0/plants: 481 plants are to go but only 480 stood there on 2026-08-03"},
		"makes another impossible": {of(a, 9, stock.Discard, 2, 101, east, noBlock), []string{"/moved_at makes_impossible"}, "/moved_at: then the dispatch of 2026-08-01 no longer fits: 500 plants are to go but only 499 stood there on 2026-08-01"},
		"a correction":             {correction, []string{"/moved_at makes_impossible"}, "/moved_at: then the dispatch of 2026-08-01 no longer fits: 500 plants are to go but only 450 stood there on 2026-08-01"},
		"a withdrawal":             {withdrawal, nil, ""},
		"wrong by itself":          {of(a, 9, stock.Move, 2, 10, east, east), []string{"/to_block_id same_block"}, "/to_block_id: the plants are to move to the block they stand in"},
		"before the birth":         {of(c, 9, stock.Pinch, 2, 10, noBlock, noBlock), []string{"/lot_id before_birth"}, "/lot_id: 10 plants are asked for on 2026-07-29 but the lot had not begun (its split is of 2026-08-02)"},
	} {
		err := stock.Fits(someLots, movements, want.candidate)
		require.Equal(t, want.codes, codes(t, err), name)
		if want.message != "" {
			require.EqualError(t, err, want.message, name)
		}
	}
	withdrawal = movements[3]
	withdrawal.Withdrawn = "never happened"
	err := stock.Fits(someLots, append(movements, of(c, 5, stock.Pinch, 8, 20, noBlock, noBlock)), withdrawal)
	require.Equal(t, []string{"/moved_at makes_impossible"}, codes(t, err), "what was born cannot be unmade under its life")
}
