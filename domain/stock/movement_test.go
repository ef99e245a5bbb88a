package stock_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/domain/stock"
)

func TestEveryKindOfMovementSaysWhatItNeeds(t *testing.T) {
	t.Parallel()
	change := func(m stock.Movement, by func(*stock.Movement)) stock.Movement {
		by(&m)
		return m
	}
	good := split(1, 0, a, c, 10)
	rooted := of(a, 1, stock.Root, 0, 10, noBlock, noBlock)
	for name, x := range map[string]struct {
		movement stock.Movement
		want     []string
	}{
		"root":                           {change(rooted, func(m *stock.Movement) { m.Rooted = 10 }), nil},
		"root, none rooted":              {rooted, nil},
		"root, more than stuck":          {change(rooted, func(m *stock.Movement) { m.Rooted = 11 }), []string{"/rooted more_than_stuck"}},
		"root, fewer than none":          {change(rooted, func(m *stock.Movement) { m.Rooted = -1 }), []string{"/rooted too_small"}},
		"root into a block":              {of(a, 1, stock.Root, 0, 10, east, west), []string{"/to_block_id not_wanted"}},
		"pinch":                          {of(a, 1, stock.Pinch, 0, 10, east, noBlock), nil},
		"pinch into a block":             {of(a, 1, stock.Pinch, 0, 10, east, east), []string{"/to_block_id not_wanted"}},
		"space":                          {of(a, 1, stock.Space, 0, 10, east, east), nil},
		"space nowhere":                  {of(a, 1, stock.Space, 0, 10, noBlock, noBlock), []string{"/from_block_id missing", "/to_block_id missing"}},
		"count":                          {of(a, 1, stock.Count, 0, 0, east, noBlock), nil},
		"count of fewer than none":       {of(a, 1, stock.Count, 0, -1, east, noBlock), []string{"/plants too_small"}},
		"count into a block":             {of(a, 1, stock.Count, 0, 1, east, east), []string{"/to_block_id not_wanted"}},
		"dispatch":                       {of(a, 1, stock.Dispatch, 0, 10, east, noBlock), nil},
		"dispatch to nobody":             {moved(1, stock.Dispatch, 0, 10, east, noBlock), []string{"/customer_id missing"}},
		"dispatch into a block":          {of(a, 1, stock.Dispatch, 0, 10, east, west), []string{"/to_block_id not_wanted"}},
		"split":                          {good, nil},
		"split, one child in two blocks": {parted(a, 1, stock.Split, 0, stock.Part{LotID: c, Plants: 1, FromBlockID: east}, stock.Part{LotID: c, Plants: 2, FromBlockID: west}), nil},
		"split, to two blocks":           {parted(a, 1, stock.Split, 0, stock.Part{LotID: c, Plants: 1, FromBlockID: east}, stock.Part{LotID: c, Plants: 2, FromBlockID: east, ToBlockID: west}), nil},
		"split, the same twice":          {parted(a, 1, stock.Split, 0, stock.Part{LotID: c, Plants: 1, FromBlockID: east}, stock.Part{LotID: c, Plants: 2, FromBlockID: east, ToBlockID: east}), []string{"/parts/1 twice"}},
		"split into nothing":             {of(a, 1, stock.Split, 0, 10, noBlock, noBlock), []string{"/parts too_few", "/plants do_not_add_up"}},
		"split with blocks of its own":   {change(good, func(m *stock.Movement) { m.FromBlockID, m.ToBlockID = east, west }), []string{"/from_block_id not_wanted", "/to_block_id not_wanted"}},
		"split that does not add up":     {change(good, func(m *stock.Movement) { m.Plants = 11 }), []string{"/plants do_not_add_up"}},
		"split into itself":              {split(1, 0, a, a, 10), []string{"/parts/0/lot_id with_itself"}},
		"split into an empty child":      {parted(a, 1, stock.Split, 0, stock.Part{LotID: c, Plants: 10}, stock.Part{}), []string{"/parts/1/lot_id missing", "/parts/1/plants too_small"}},
		"merge":                          {merge(1, 0, c, a, b, 10), nil},
		"merge of one lot":               {parted(c, 1, stock.Merge, 0, stock.Part{LotID: a, Plants: 1, FromBlockID: east}, stock.Part{LotID: a, Plants: 2, FromBlockID: west}), []string{"/parts too_few"}},
		"merge with itself":              {merge(1, 0, a, a, b, 10), []string{"/parts/0/lot_id with_itself"}},
		"parts of a move":                {change(of(a, 1, stock.Move, 0, 10, east, west), func(m *stock.Movement) { m.Parts = good.Parts }), []string{"/parts not_wanted"}},
		"rooted plants of a move":        {change(of(a, 1, stock.Move, 0, 10, east, west), func(m *stock.Movement) { m.Rooted = 1 }), []string{"/rooted not_wanted"}},
		"customer of a discard":          {change(of(a, 1, stock.Discard, 0, 10, east, noBlock), func(m *stock.Movement) { m.CustomerID = someone }), []string{"/customer_id not_wanted"}},
	} {
		require.Equal(t, x.want, codes(t, x.movement.Check()), name)
	}
	require.EqualError(t, change(good, func(m *stock.Movement) { m.Plants = 11 }).Check(), "/plants: the parts add up to 10 plants, not to 11")
}
