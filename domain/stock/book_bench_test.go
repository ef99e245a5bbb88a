package stock_test

import (
	"encoding/binary"
	"math/rand/v2"
	"testing"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func numbered(kind byte, n int) domain.ID {
	id := domain.ID{0: kind}
	binary.BigEndian.PutUint64(id[8:], uint64(n)+1)
	return id
}

// largeBook invents a book of so many lots and movements: four in five lots
// arrive, the others are born of splits and merges, everything is moved about.
func largeBook(lots, movements int) ([]stock.Lot, []stock.Movement) {
	source := rand.New(rand.NewPCG(1, 2))
	var all []stock.Lot
	var events []stock.Movement
	note := func(m stock.Movement) {
		m.ID, m.MovedAt = numbered(2, len(events)), dockDay.Add(time.Duration(len(events))*time.Minute)
		events = append(events, m)
	}
	place := func() domain.ID { return numbered(1, source.IntN(400)) }
	where, count := make([]domain.ID, lots), make([]int, lots)
	for i := range lots {
		lot := stock.Lot{ID: numbered(9, i), SiteID: someone}
		at := place()
		switch {
		case i%5 != 4:
			lot.ShipmentID, lot.Plants = numbered(3, i/10), 4000
			note(stock.Movement{LotID: lot.ID, Kind: stock.Receive, Plants: 4000})
			note(stock.Movement{LotID: lot.ID, Kind: stock.Stick, Plants: 4000, ToBlockID: at})
			count[i] = 4000
		case i%2 == 0:
			parent := source.IntN(i)
			count[i] = max(1, count[parent]/3)
			count[parent] -= count[i]
			note(stock.Movement{LotID: numbered(9, parent), Kind: stock.Split, Plants: count[i], Parts: []stock.Part{
				{LotID: lot.ID, Plants: count[i], FromBlockID: where[parent], ToBlockID: at},
			}})
		default:
			one, other := source.IntN(i-1), i-1
			if one == other {
				one--
			}
			x, y := max(1, count[one]/3), max(1, count[other]/3)
			count[one], count[other], count[i] = count[one]-x, count[other]-y, x+y
			note(stock.Movement{LotID: lot.ID, Kind: stock.Merge, Plants: x + y, Parts: []stock.Part{
				{LotID: numbered(9, one), Plants: x, FromBlockID: where[one], ToBlockID: at},
				{LotID: numbered(9, other), Plants: y, FromBlockID: where[other], ToBlockID: at},
			}})
		}
		where[i] = at
		all = append(all, lot)
	}
	for len(events) < movements {
		i := source.IntN(lots)
		if count[i] < 2 {
			continue
		}
		m := stock.Movement{LotID: numbered(9, i), FromBlockID: where[i], Plants: count[i], Reason: "broken"}
		switch source.IntN(10) {
		case 0:
			m.Kind, m.Plants = stock.Discard, 1
			count[i]--
		case 1:
			m.Kind, m.Plants, m.CustomerID = stock.Dispatch, 1, someone
			count[i]--
		case 2:
			m.Kind = stock.Count
		default:
			m.Kind, m.ToBlockID = stock.Move, place()
			if m.ToBlockID == m.FromBlockID {
				m.Kind = stock.Space
			}
			where[i] = m.ToBlockID
		}
		note(m)
	}
	source.Shuffle(len(events), func(i, j int) { events[i], events[j] = events[j], events[i] })
	return all, events
}

// The book of a large house over several years.
func BenchmarkFoldBook(b *testing.B) {
	lots, movements := largeBook(5_000, 200_000)
	b.ReportAllocs()
	for b.Loop() {
		if book := stock.FoldBook(lots, movements); len(book.Conflicts) > 0 {
			b.Fatal(book.Conflicts[0].Detail)
		}
	}
}

func BenchmarkBreaches(b *testing.B) {
	lots, movements := largeBook(5_000, 200_000)
	book := stock.FoldBook(lots, movements)
	var holds []stock.Hold
	for i := range 50 {
		holds = append(holds, stock.Hold{ID: numbered(5, i), Scope: stock.ScopeShipment, ScopeID: numbered(3, i), From: dockDay})
	}
	b.ResetTimer()
	for b.Loop() {
		if len(book.Under(holds, nil).Breaches(movements)) == 0 {
			b.Fatal("none")
		}
	}
}

func BenchmarkContactsAndBalance(b *testing.B) {
	lots, movements := largeBook(5_000, 200_000)
	book := stock.FoldBook(lots, movements)
	b.ResetTimer()
	for b.Loop() {
		book.Contacts(lots[0].ID)
		book.Balance(lots[0].ID)
		book.Ancestry(lots[4999].ID)
	}
}
