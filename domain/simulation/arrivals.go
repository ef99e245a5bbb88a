package simulation

import (
	"fmt"
	"math"
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// lot is a lot on its way through the season.
type lot struct {
	stock.Lot
	number  int // among the lots of the season, from 0
	site    int
	foliage stock.Foliage
	farm    int // also where no paper names it
	version int
	waiting []age // the plants at the dock
	damage  float64
}

// arrive brings a shipment to the dock: its papers and boxes, its lots, and as
// many inspections as the day has time for.
func (s *story) arrive(c *consignment, day domain.Date) {
	c.shipment.OrderLines = slices.Clone(c.shipment.OrderLines) // what was recorded stays as it was
	if c.number%9 == 5 {
		s.substitute(c, s.rng.IntN(len(c.orders)))
	}
	invoiced := make([]int, len(c.orders))
	for i, o := range c.orders {
		invoiced[i] = o.plants
		if s.chance(0.12) {
			invoiced[i] = int(float64(o.plants)*s.around(0.75, 0.95)) / 10 * 10
		}
	}
	s.receiveShipment(c, day, invoiced)

	at := c.shipment.OpenedAt.Add(minutes(8))
	lots := make([]*lot, len(c.orders))
	for i, o := range c.orders {
		at = at.Add(minutes(s.around(0.5, 1)))
		lots[i] = s.logLot(c, o, invoiced[i], at, day)
	}
	for _, l := range lots {
		at = at.Add(minutes(s.around(1, 2)))
		s.count(l, at)
	}
	s.inspectInTurn(lots, day, s.firstInspection(at, day))
	if unnamedFarm(c.number) {
		s.later(workday(day.AddDays(s.between(5, 9))), func(day domain.Date) { s.learnFarms(c, lots, day) })
	}
}

// firstInspection is an hour after everything is counted, when the receiver has
// had time to read the papers.
func (s *story) firstInspection(counted time.Time, day domain.Date) float64 {
	midnight := time.Date(counted.Year(), counted.Month(), counted.Day(), 0, 0, 0, 0, counted.Location())
	return max(8.6*hour, counted.Sub(midnight).Minutes()+15)
}

func (s *story) logLot(c *consignment, o order, plants int, at time.Time, day domain.Date) *lot {
	s.lotsOfWeek[day.Week()]++
	cv, f := s.cultivars[o.cultivar], s.farms[o.farm]
	l := &lot{number: len(s.lots), site: c.site, foliage: cv.Foliage, farm: o.farm, version: 1}
	l.Lot = stock.Lot{
		ID: s.id(at), ShipmentID: c.shipment.ID, CultivarID: cv.ID, Form: o.form, Plants: plants,
		Code:            stock.LotCode(day, s.lotsOfWeek[day.Week()]),
		SupplierLotCode: fmt.Sprintf("%c%d-%04d", 'A'+rune(c.supplier), c.week, s.between(1000, 9999)),
	}
	if c.rooted {
		l.RootingStation = s.suppliers[c.supplier].station
	}
	if !unnamedFarm(c.number) {
		l.FarmIDs, l.FarmKnownBy = []domain.ID{f.ID}, "packing list"
	}
	l.damage = s.around(0, 0.008)
	if c.number == warmShipment {
		l.damage = s.around(0.08, 0.3)
	}
	s.lots = append(s.lots, l)
	s.truth.FarmOfLot[l.ID] = f.ID
	s.record(at, Receiver, 0, l.Lot)
	return l
}

// count records the receiving: the count of the dock is close to the papers.
func (s *story) count(l *lot, at time.Time) {
	plants := l.Plants
	if s.chance(0.4) {
		plants += int(math.Round(float64(plants) * s.around(-0.02, 0.015)))
	}
	l.waiting = s.spread.arriving(plants, s.farms[l.farm].share, l.foliage)
	s.record(at, Receiver, 0, stock.Movement{ID: s.id(at), LotID: l.ID, Kind: stock.Receive, MovedAt: at, Plants: plants})
}

// closing is when the receiver stops inspecting for the day, in minutes after midnight.
const closing = 15.5 * hour

// inspectInTurn inspects the lots one by one from the minute on, and leaves those
// that the day has no time for to the next working day.
func (s *story) inspectInTurn(lots []*lot, day domain.Date, minute float64) {
	for i, l := range lots {
		if minute > closing {
			s.later(workday(day.AddDays(1)), func(day domain.Date) { s.inspectInTurn(lots[i:], day, 9.2*hour) })
			return
		}
		minute += s.inspectAtDock(l, day, minute)
	}
}

// learnFarms records the farms of a shipment once the supplier has named them.
func (s *story) learnFarms(c *consignment, lots []*lot, day domain.Date) {
	at := s.at(c.site, day, s.around(14*hour, 16*hour))
	for _, l := range lots {
		if s.chance(0.35) {
			continue // still not known
		}
		at = at.Add(minutes(1))
		l.FarmIDs, l.FarmKnownBy = []domain.ID{s.farms[l.farm].ID}, "e-mail of the supplier, "+day.String()
		s.record(at, Receiver, l.version, l.Lot)
		l.version++
	}
}
