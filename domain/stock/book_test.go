package stock_test

import (
	"math/big"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// The lots of the examples: a and b arrived, the others are born here.
var (
	a, b, c, d, e = lotNo(1), lotNo(2), lotNo(3), lotNo(4), lotNo(5)
	someLots      = []stock.Lot{
		{ID: a, ShipmentID: domain.ID{0: 3, 15: 1}, Plants: 1000},
		{ID: b, ShipmentID: domain.ID{0: 3, 15: 2}, Plants: 500},
		{ID: c},
		{ID: d},
		{ID: e},
		{ID: lotNo(6)},
		{ID: lotNo(7)},
	}
)

func lotNo(n byte) domain.ID { return domain.ID{0: 9, 15: n} }

func movementNo(n byte) domain.ID { return domain.ID{0: 2, 15: n} }

// of makes a movement of a lot of the examples; what its kind needs besides is
// filled in.
func of(lot domain.ID, number byte, kind stock.Kind, dayAfter, plants int, from, to domain.ID) stock.Movement {
	m := moved(number, kind, dayAfter, plants, from, to)
	m.LotID = lot
	if kind == stock.Dispatch {
		m.CustomerID = someone
	}
	return m
}

func parted(lot domain.ID, number byte, kind stock.Kind, dayAfter int, parts ...stock.Part) stock.Movement {
	plants := 0
	for _, p := range parts {
		plants += p.Plants
	}
	m := of(lot, number, kind, dayAfter, plants, noBlock, noBlock)
	m.Parts = parts
	return m
}

func account(t require.TestingT, book stock.Book, lot domain.ID) stock.Account {
	x, known := book.Account(lot)
	require.True(t, known)
	return x
}

// folded folds the movements on the lots of the examples; all must fit.
func folded(t *testing.T, movements ...stock.Movement) stock.Book {
	book := stock.FoldBook(someLots, movements)
	require.Empty(t, book.Conflicts)
	return book
}

func TestALotGoesThroughTheStatesOfItsLife(t *testing.T) {
	t.Parallel()
	life := []struct {
		movement stock.Movement
		state    stock.State
		onHand   int
	}{
		{of(a, 1, stock.Receive, 0, 990, noBlock, noBlock), stock.Received, 990},
		{of(a, 2, stock.Stick, 1, 990, noBlock, east), stock.Stuck, 990},
		{stock.Movement{ID: movementNo(3), LotID: a, Kind: stock.Root, MovedAt: day(21), Plants: 990, Rooted: 940}, stock.HasRoots, 990},
		{of(a, 4, stock.Discard, 22, 50, east, noBlock), stock.HasRoots, 940},
		{of(a, 5, stock.Pot, 28, 940, east, west), stock.Potted, 940},
		{of(a, 6, stock.Pinch, 35, 940, west, noBlock), stock.Potted, 940},
		{of(a, 7, stock.Space, 45, 400, west, east), stock.Potted, 940},
		{of(a, 8, stock.Count, 60, 395, east, noBlock), stock.Potted, 935},
		{of(a, 9, stock.Dispatch, 110, 395, east, noBlock), stock.Potted, 540},
		{of(a, 10, stock.Dispatch, 111, 540, west, noBlock), stock.Gone, 0},
	}
	require.Equal(t, stock.Expected, account(t, folded(t), a).State)
	var movements []stock.Movement
	var ids []domain.ID
	for _, step := range life {
		movements, ids = append(movements, step.movement), append(ids, step.movement.ID)
		x := account(t, folded(t, movements...), a)
		require.Equal(t, step.state, x.State, step.movement.Kind)
		require.Equal(t, step.onHand, x.Tally.OnHand(), step.movement.Kind)
	}
	x := account(t, folded(t, movements...), a)
	require.Equal(t, stock.Tally{In: 990, Discarded: 50, Dispatched: 935, Lost: 5}, x.Tally)
	require.Equal(t, stock.Steps{StuckAt: day(1), RootedAt: day(21), PottedAt: day(28), PinchedAt: day(35), SpacedAt: day(45)}, x.Steps)
	require.Equal(t, stock.Strike{Stuck: 990, Rooted: 940}, x.Strike)
	require.Equal(t, []stock.Recount{{MovementID: movementNo(8), BlockID: east, At: day(60), Booked: 400, Found: 395}}, x.Recounts)
	require.Equal(t, ids, x.Movements)
	require.Equal(t, stock.Birth{At: day(0), MovementID: movementNo(1)}, x.Birth)
	require.Equal(t, []stock.Placement{
		{LotID: a, BlockID: east, From: day(1), To: day(22), Plants: 990},
		{LotID: a, BlockID: east, From: day(22), To: day(28), Plants: 940},
		{LotID: a, BlockID: east, From: day(45), To: day(60), Plants: 400},
		{LotID: a, BlockID: east, From: day(60), To: day(110), Plants: 395},
		{LotID: a, BlockID: west, From: day(28), To: day(45), Plants: 940},
		{LotID: a, BlockID: west, From: day(45), To: day(111), Plants: 540},
	}, x.Placements)
}

func TestWorkDoneWhereThePlantsStandIsNoNewPlacement(t *testing.T) {
	t.Parallel()
	x := account(t, folded(t,
		of(a, 1, stock.Stick, 1, 1000, noBlock, east), of(a, 2, stock.Pot, 20, 1000, east, east), of(a, 3, stock.Count, 21, 1000, east, noBlock),
		of(a, 4, stock.Move, 22, 600, east, west), of(a, 5, stock.Move, 22, 600, west, east),
	), a)
	require.Equal(t, []stock.Placement{{LotID: a, BlockID: east, From: day(1), Plants: 1000}}, x.Placements)
	require.Equal(t, day(20), x.Steps.PottedAt)
}

func TestACountCorrectsTheBookAndShowsTheDifference(t *testing.T) {
	t.Parallel()
	book := folded(t,
		of(a, 1, stock.Receive, 0, 1000, noBlock, noBlock), of(a, 2, stock.Stick, 1, 600, noBlock, east),
		of(a, 3, stock.Count, 5, 630, east, noBlock), of(a, 4, stock.Count, 6, 0, noBlock, noBlock))
	x := account(t, book, a)
	require.Equal(t, stock.Tally{In: 1000, Placed: 630, Gained: 30, Lost: 400}, x.Tally)
	balance := book.Balance(a)
	require.Equal(t, 1000, balance.Received)
	require.Zero(t, balance.OnHand.Cmp(big.NewRat(630, 1)))
	require.Zero(t, balance.Gained.Cmp(big.NewRat(30, 1)))
	require.Zero(t, balance.Lost.Cmp(big.NewRat(400, 1)))
}

func TestASplitMakesChildrenOfOneParentsPlants(t *testing.T) {
	t.Parallel()
	book := folded(t,
		of(a, 1, stock.Receive, 0, 900, noBlock, noBlock), of(a, 2, stock.Stick, 1, 900, noBlock, east),
		parted(a, 3, stock.Split, 10, stock.Part{LotID: c, Plants: 300, FromBlockID: east, ToBlockID: west}, stock.Part{LotID: d, Plants: 200, FromBlockID: east}),
		// Moved in the moment of its birth: a parent's split comes before its child's move.
		of(c, 0, stock.Move, 10, 300, west, block(3)))
	parent, moved, stayed := account(t, book, a), account(t, book, c), account(t, book, d)
	require.Equal(t, stock.Tally{In: 900, Placed: 400, SplitOff: 500}, parent.Tally)
	require.Equal(t, []domain.ID{c, d}, parent.Children)
	require.Equal(t, stock.Birth{At: day(10), MovementID: movementNo(3), Parents: []stock.Portion{{LotID: a, Plants: 300}}}, moved.Birth)
	require.Equal(t, []stock.Placement{{LotID: c, BlockID: block(3), From: day(10), Plants: 300}}, moved.Placements)
	require.Equal(t, []stock.Placement{{LotID: d, BlockID: east, From: day(10), Plants: 200}}, stayed.Placements, "where it stood")
	require.Equal(t, stock.Stuck, moved.State, "what was done to the parent was done to the child")
	require.Equal(t, day(1), moved.Steps.StuckAt)
	require.Equal(t, stock.NotBorn, account(t, book, e).State)
	from, single := moved.Composition.Single()
	require.True(t, single)
	require.Equal(t, a, from)
}

func TestAMergeKeepsTheCountsOfItsParents(t *testing.T) {
	t.Parallel()
	book := folded(t,
		of(a, 1, stock.Stick, 1, 1000, noBlock, east), of(b, 2, stock.Stick, 2, 500, noBlock, west), of(b, 3, stock.Pot, 9, 500, west, west),
		// 300 of a with 100 of b; then 100 of those 400 with 50 more of b.
		parted(c, 4, stock.Merge, 10, stock.Part{LotID: b, Plants: 100, FromBlockID: west, ToBlockID: east}, stock.Part{LotID: a, Plants: 300, FromBlockID: east}),
		parted(d, 5, stock.Merge, 20, stock.Part{LotID: c, Plants: 100, FromBlockID: east}, stock.Part{LotID: b, Plants: 50, FromBlockID: west, ToBlockID: east}))
	x := account(t, book, c)
	require.Equal(t, []stock.Portion{{LotID: a, Plants: 300}, {LotID: b, Plants: 100}}, x.Birth.Parents)
	require.Equal(t, stock.Tally{In: 400, Placed: 300, MergedAway: 100}, x.Tally)
	require.Equal(t, stock.Steps{StuckAt: day(2)}, x.Steps, "stuck when both were; potted only one of them")
	require.Equal(t, "3/4 1/4", parts(x.Composition))
	// (100 * 3/4) / 150 = 1/2 and (100 * 1/4 + 50) / 150 = 1/2.
	require.Equal(t, "1/2 1/2", parts(account(t, book, d).Composition))
	require.Zero(t, account(t, book, d).Composition.Of(b).Cmp(big.NewRat(1, 2)))
	require.Zero(t, account(t, book, d).Composition.Of(e).Sign())
	_, single := x.Composition.Single()
	require.False(t, single)
}

func parts(composition stock.Composition) string {
	text := ""
	for i, s := range composition {
		if i > 0 {
			text += " "
		}
		text += s.Part.RatString()
	}
	return text
}

func TestALotInheritsFromEachAncestorUpToTheMomentItsPlantsLeft(t *testing.T) {
	t.Parallel()
	book := folded(t,
		of(a, 1, stock.Stick, 1, 1000, noBlock, east), of(b, 2, stock.Stick, 1, 500, noBlock, east),
		parted(a, 3, stock.Split, 10, stock.Part{LotID: c, Plants: 100, FromBlockID: east}),
		parted(d, 4, stock.Merge, 20, stock.Part{LotID: c, Plants: 100, FromBlockID: east}, stock.Part{LotID: a, Plants: 100, FromBlockID: east}, stock.Part{LotID: b, Plants: 200, FromBlockID: east}),
		parted(d, 5, stock.Split, 30, stock.Part{LotID: e, Plants: 40, FromBlockID: east}))
	fraction := func(x, y int64) *big.Rat { return big.NewRat(x, y) }
	require.Equal(t, []stock.Ancestor{
		{LotID: d, From: day(20), Until: day(30), Share: fraction(1, 1)},
		{LotID: a, Arrival: true, Until: day(20), Share: fraction(1, 4)},
		{LotID: b, Arrival: true, Until: day(20), Share: fraction(1, 2)},
		{LotID: c, From: day(10), Until: day(20), Share: fraction(1, 4)},
		{LotID: a, Arrival: true, Until: day(10), Share: fraction(1, 4)},
	}, book.Ancestry(e))
	require.Equal(t, "1/2 1/2", parts(account(t, book, e).Composition))
	require.Empty(t, book.Ancestry(a))
	require.Empty(t, book.Ancestry(lotNo(99)))
	require.Equal(t, []domain.ID{c, d, e}, book.Descendants(a))
	require.Equal(t, []domain.ID{d, e}, book.Descendants(b))
	require.Equal(t, []domain.ID{d, e}, book.Descendants(a, c))
	require.Empty(t, book.Descendants(e, lotNo(99)))
}

// Split and merged again in two ways: nothing is counted twice or lost.
func TestPlantsThatMeetAgainAreCountedOnce(t *testing.T) {
	t.Parallel()
	book := folded(t,
		parted(a, 1, stock.Split, 1, stock.Part{LotID: c, Plants: 100}, stock.Part{LotID: d, Plants: 100}),
		parted(c, 2, stock.Split, 2, stock.Part{LotID: e, Plants: 50}),
		merge(3, 3, lotNo(6), d, c, 50), merge(4, 4, lotNo(7), e, lotNo(6), 25))
	whole := big.NewRat(1, 1)
	require.Equal(t, []stock.Ancestor{
		{LotID: e, From: day(2), Until: day(4), Share: big.NewRat(1, 2)},
		{LotID: lotNo(6), From: day(3), Until: day(4), Share: big.NewRat(1, 2)},
		{LotID: c, From: day(1), Until: day(3), Share: big.NewRat(1, 4)},
		{LotID: d, From: day(1), Until: day(3), Share: big.NewRat(1, 4)},
		{LotID: c, From: day(1), Until: day(2), Share: big.NewRat(1, 2)},
		{LotID: a, Arrival: true, Until: day(1), Share: whole},
	}, book.Ancestry(lotNo(7)))
	require.Equal(t, "1", parts(account(t, book, lotNo(7)).Composition))
}

func TestAMergeAddsUpAParentsPlantsFromSeveralBlocks(t *testing.T) {
	t.Parallel()
	book := folded(t,
		of(a, 1, stock.Stick, 1, 300, noBlock, east), of(a, 2, stock.Stick, 1, 200, noBlock, west),
		parted(c, 3, stock.Merge, 2, stock.Part{LotID: a, Plants: 100, FromBlockID: east}, stock.Part{LotID: b, Plants: 300, ToBlockID: east}, stock.Part{LotID: a, Plants: 200, FromBlockID: west, ToBlockID: east}))
	x := account(t, book, c)
	require.Equal(t, []stock.Portion{{LotID: a, Plants: 300}, {LotID: b, Plants: 300}}, x.Birth.Parents)
	require.Equal(t, "1/2 1/2", parts(x.Composition))
	require.Equal(t, 300, account(t, book, a).Tally.MergedAway)
	require.Equal(t, []stock.Placement{{LotID: c, BlockID: east, From: day(2), Plants: 600}}, x.Placements)
	require.Equal(t, []domain.ID{c}, account(t, book, a).Children)
}

// All in one moment, with ids against the order in which they must have been.
func TestWithinAMomentEachLotWaitsForItsBirth(t *testing.T) {
	t.Parallel()
	book := folded(t,
		of(lotNo(6), 1, stock.Stick, 5, 10, noBlock, east), merge(2, 5, lotNo(6), d, e, 5), merge(3, 5, e, d, b, 10),
		merge(4, 5, d, c, b, 40), split(5, 5, a, c, 50), of(c, 6, stock.Stick, 5, 8, noBlock, east))
	require.Equal(t, stock.Tally{In: 10, Placed: 10}, account(t, book, lotNo(6)).Tally)
	require.Equal(t, stock.Tally{In: 50, Unplaced: 2, Placed: 8, MergedAway: 40}, account(t, book, c).Tally)
}

func TestEveryPlantReceivedIsSomewhere(t *testing.T) {
	t.Parallel()
	book := folded(t,
		of(a, 1, stock.Receive, 0, 960, noBlock, east), of(b, 2, stock.Receive, 0, 500, noBlock, west),
		parted(c, 3, stock.Merge, 10, stock.Part{LotID: a, Plants: 200, FromBlockID: east}, stock.Part{LotID: b, Plants: 100, FromBlockID: west}),
		of(c, 4, stock.Discard, 11, 10, west, noBlock), of(c, 5, stock.Count, 12, 85, west, noBlock),
		of(c, 6, stock.Dispatch, 13, 50, east, noBlock), of(a, 7, stock.Count, 14, 763, east, noBlock))
	// Of the merged lot 2/3 are of a: 10 discarded, 5 lost, 50 dispatched, 235 there.
	x := book.Balance(a)
	require.Equal(t, 960, x.Received)
	for name, pair := range map[string][2]*big.Rat{
		"discarded": {x.Discarded, big.NewRat(20, 3)}, "lost": {x.Lost, big.NewRat(10, 3)}, "dispatched": {x.Dispatched, big.NewRat(100, 3)},
		"gained": {x.Gained, big.NewRat(3, 1)}, "on hand": {x.OnHand, big.NewRat(763*3+470, 3)},
	} {
		require.Zero(t, pair[0].Cmp(pair[1]), "%s: %s, not %s", name, pair[0], pair[1])
	}
	require.Zero(t, book.Balance(c).Received, "it did not arrive")
	require.Zero(t, book.Balance(c).OnHand.Sign())
}

// A winter of consolidating: the leftovers of each lot go into the next.
func TestCompositionIsExactThroughAnyDepth(t *testing.T) {
	t.Parallel()
	const depth = 300
	lots := []stock.Lot{{ID: numbered(9, 0), ShipmentID: someone, Plants: 1000}}
	var movements []stock.Movement
	for i := 1; i <= depth; i++ {
		arrived, merged := numbered(9, 2*i), numbered(9, 2*i-1)
		before := numbered(9, max(0, 2*i-3))
		lots = append(lots, stock.Lot{ID: arrived, ShipmentID: someone, Plants: 1000}, stock.Lot{ID: merged})
		m := parted(merged, 1, stock.Merge, i, stock.Part{LotID: before, Plants: 333}, stock.Part{LotID: arrived, Plants: 333 + i%7})
		m.ID = numbered(2, i)
		movements = append(movements, m)
	}
	book := stock.FoldBook(lots, movements)
	require.Empty(t, book.Conflicts)
	last := account(t, book, numbered(9, 2*depth-1))
	require.Len(t, last.Composition, depth+1)
	require.Zero(t, last.Composition.Sum().Cmp(big.NewRat(1, 1)))
	x := book.Balance(numbered(9, 0))
	require.Zero(t, x.OnHand.Cmp(big.NewRat(1000, 1)))
}

func TestAMomentOfTheBookIsTheSameOnClocksOfAnyZone(t *testing.T) {
	t.Parallel()
	late := of(a, 2, stock.Move, 1, 1000, east, west)
	late.MovedAt = day(2).In(time.FixedZone("", 9*60*60))
	x := account(t, folded(t, late, of(a, 1, stock.Stick, 1, 1000, noBlock, east)), a)
	require.True(t, stock.StoodIn(x.Placements, east, day(2).Add(-time.Minute)))
	require.True(t, stock.StoodIn(x.Placements, west, day(2)))
}
