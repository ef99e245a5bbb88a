package stock_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

var (
	lotID       = domain.ID{0: 9}
	east, west  = block(1), block(2)
	dockDay     = time.Date(2026, time.July, 27, 8, 0, 0, 0, time.UTC)
	thousandLot = stock.Lot{ID: lotID, Plants: 1000}
	noBlock     = domain.ID{}
	stillStands = time.Time{}
)

func block(n byte) domain.ID { return domain.ID{0: 1, 15: n} }

// day gives the dock's hour some days after arrival.
func day(n int) time.Time { return dockDay.AddDate(0, 0, n) }

// moved makes a movement on a day; its id follows from its number in the test.
func moved(number byte, kind stock.Kind, dayAfter, plants int, from, to domain.ID) stock.Movement {
	return stock.Movement{
		ID: domain.ID{0: 2, 15: number}, LotID: lotID, Kind: kind, MovedAt: day(dayAfter), Plants: plants,
		FromBlockID: from, ToBlockID: to, Reason: "as told",
	}
}

func codes(t require.TestingT, err error) []string {
	if err == nil {
		return nil
	}
	var faults domain.Faults
	require.ErrorAs(t, err, &faults)
	var all []string
	for _, f := range faults {
		all = append(all, f.Path+" "+f.Code)
	}
	return all
}

func TestALotWithoutMovementsIsAllAtTheDock(t *testing.T) {
	t.Parallel()
	lived, err := fold(thousandLot, nil)
	require.NoError(t, err)
	require.Equal(t, life{Unplaced: 1000}, lived)
	require.Equal(t, 1000, lived.OnHand())
}

func TestALotsLifeFollowsFromItsMovements(t *testing.T) {
	t.Parallel()
	lived, err := fold(thousandLot, []stock.Movement{
		moved(1, stock.Receive, 0, 990, noBlock, noBlock),
		moved(2, stock.Discard, 0, 20, noBlock, noBlock),
		moved(3, stock.Stick, 1, 600, noBlock, east),
		moved(4, stock.Stick, 2, 370, noBlock, west),
		moved(5, stock.Discard, 20, 10, east, noBlock),
		moved(6, stock.Move, 30, 590, east, west),
	})
	require.NoError(t, err)
	require.Equal(t, life{
		Placements: []stock.Placement{
			{LotID: lotID, BlockID: east, From: day(1), To: day(20), Plants: 600},
			{LotID: lotID, BlockID: east, From: day(20), To: day(30), Plants: 590},
			{LotID: lotID, BlockID: west, From: day(2), To: day(30), Plants: 370},
			{LotID: lotID, BlockID: west, From: day(30), To: stillStands, Plants: 960},
		},
		Placed: 960, Discarded: 30, StuckAt: day(1),
	}, lived)
	require.Equal(t, 960, lived.OnHand())
}

func TestTheCountOfTheDockReplacesThatOfThePapers(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		movements []stock.Movement
		unplaced  int
		placed    int
	}{
		"short":                      {[]stock.Movement{moved(1, stock.Receive, 0, 950, noBlock, noBlock)}, 950, 0},
		"over":                       {[]stock.Movement{moved(1, stock.Receive, 0, 1040, noBlock, noBlock)}, 1040, 0},
		"in two parts":               {[]stock.Movement{moved(1, stock.Receive, 0, 600, noBlock, noBlock), moved(2, stock.Receive, 1, 380, noBlock, noBlock)}, 980, 0},
		"straight into a block":      {[]stock.Movement{moved(1, stock.Receive, 0, 950, noBlock, east)}, 0, 950},
		"counted after the sticking": {[]stock.Movement{moved(1, stock.Stick, 0, 700, noBlock, east), moved(2, stock.Receive, 1, 950, noBlock, noBlock)}, 250, 700},
	} {
		lived, err := fold(thousandLot, c.movements)
		require.NoError(t, err, name)
		require.Equal(t, c.unplaced, lived.Unplaced, name)
		require.Equal(t, c.placed, lived.Placed, name)
	}
}

func TestMoreThanThereIsRefusedWithTheNumbers(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		movements []stock.Movement
		code      string
		numbers   []string
	}{
		"sticking more than arrived": {
			[]stock.Movement{moved(1, stock.Stick, 1, 1001, noBlock, east)},
			"/plants more_than_there",
			[]string{"1001 plants", "only 1000", "2026-07-28"},
		},
		"moving more than stand there": {
			[]stock.Movement{moved(1, stock.Stick, 1, 300, noBlock, east), moved(2, stock.Move, 2, 301, east, west)},
			"/plants more_than_there",
			[]string{"301 plants", "only 300", "2026-07-29"},
		},
		"moving what came later": {
			[]stock.Movement{moved(1, stock.Stick, 3, 300, noBlock, east), moved(2, stock.Move, 2, 300, east, west)},
			"/plants more_than_there",
			[]string{"300 plants", "only 0", "2026-07-29"},
		},
		"discarding twice": {
			[]stock.Movement{moved(1, stock.Discard, 1, 700, noBlock, noBlock), moved(2, stock.Discard, 2, 700, noBlock, noBlock)},
			"/plants more_than_there",
			[]string{"700 plants", "only 300", "2026-07-29"},
		},
		"a dock count below what was placed": {
			[]stock.Movement{moved(1, stock.Stick, 1, 700, noBlock, east), moved(2, stock.Discard, 1, 50, noBlock, noBlock), moved(3, stock.Receive, 2, 600, noBlock, noBlock)},
			"/plants fewer_than_placed",
			[]string{"600 plants", "750", "2026-07-29"},
		},
	} {
		lived, err := fold(thousandLot, c.movements)
		require.Equal(t, []string{c.code}, codes(t, err), name)
		for _, number := range c.numbers {
			require.ErrorContains(t, err, number, name)
		}
		require.Zero(t, lived, name)
	}
}

func TestALotStandsInABlockFromItsArrivalThereUntilItLeaves(t *testing.T) {
	t.Parallel()
	lived, err := fold(thousandLot, []stock.Movement{
		moved(1, stock.Stick, 1, 1000, noBlock, east), moved(2, stock.Move, 5, 1000, east, west),
	})
	require.NoError(t, err)
	for name, c := range map[string]struct {
		block domain.ID
		at    time.Time
		want  bool
	}{
		"before it came":         {east, day(1).Add(-time.Second), false},
		"when it came":           {east, day(1), true},
		"while it stood":         {east, day(3), true},
		"when it left":           {east, day(5), false},
		"where it went":          {west, day(5), true},
		"where it still stands":  {west, day(500), true},
		"not where it went next": {west, day(3), false},
	} {
		require.Equal(t, c.want, stock.StoodIn(lived.Placements, c.block, c.at), name)
	}
}

func TestAMomentIsTheSameOnClocksOfAnyZone(t *testing.T) {
	t.Parallel()
	elsewhere := time.FixedZone("", -6*60*60)
	stick, move := moved(1, stock.Stick, 1, 1000, noBlock, east), moved(2, stock.Move, 2, 1000, east, west)
	stick.MovedAt = stick.MovedAt.In(elsewhere)
	lived, err := fold(thousandLot, []stock.Movement{move, stick})
	require.NoError(t, err)
	require.True(t, stock.StoodIn(lived.Placements, east, day(1)))
	require.False(t, stock.StoodIn(lived.Placements, east, day(2).In(elsewhere)))
}
