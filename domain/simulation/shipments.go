package simulation

import (
	"fmt"
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// delivery is one line of the plan of arrivals.
type delivery struct {
	week     int // ISO week
	weekday  int // 1 is Monday
	site     int
	supplier int
	rooted   bool
	lots     int
	docked   float64 // minutes after midnight at the site
	daysLate int     // after the day it was expected
}

const hour = 60 // minutes

// deliveries are the arrivals of the season: most of them in weeks 27 to 34, and
// rooted plants to fill up with in September. The last three come after the day
// the demo opens on.
func deliveries() []delivery {
	const early, usual = 6.6 * hour, 7.4 * hour
	return []delivery{
		{27, 2, 0, 0, false, 7, usual, 0},
		{27, 3, 1, 1, false, 7, early, 0},
		{28, 2, 0, 1, false, 7, early, 0},
		{28, 3, 2, 2, false, 6, usual, 0},
		{28, 4, 1, 0, false, 7, usual, 1},
		{29, 1, 0, 2, false, 8, usual, 0},
		{29, 2, 1, 3, false, 7, early, 0},
		{29, 4, 2, 0, false, 6, usual, 0},
		{30, 2, 0, 0, false, 7, early, 0},
		{30, 3, 1, 2, false, 7, usual, 0},
		{30, 4, 0, 3, false, 7, usual, 0},
		{31, 2, 0, 1, false, 7, usual, 0},
		{31, 3, 2, 1, false, 6, early, 0},
		{31, 4, 1, 4, true, 6, usual, 0},
		{32, 2, 0, 3, false, 8, usual, 2},
		{32, 3, 1, 1, false, 7, usual, 0},
		{32, 4, 2, 3, false, 7, early, 0},
		{33, 2, 0, 4, true, 7, usual, 0},
		{33, 3, 1, 0, false, 7, usual, 0},
		{34, 3, 0, 2, false, 7, early, 0},
		{34, 4, 2, 4, true, 6, usual, 0},
		{35, 5, 1, 3, false, 6, early, 0},
		{37, 5, 1, 4, true, 5, 14.4 * hour, 0},
		{38, 1, 0, 4, true, 6, 6.8 * hour, 0},
		{38, 2, 2, 3, true, 4, usual, 4},
		{38, 3, 0, 1, true, 5, usual, 0},
		{39, 2, 1, 4, true, 4, usual, 0},
	}
}

// The shipments by their place in the plan in which something special happens.
const (
	warmShipment      = 11 // its boxes came too warm
	forgottenShipment = 19 // one second look of it is forgotten
)

// unnamedFarm says in which shipments the papers name no farm.
func unnamedFarm(number int) bool { return number%6 == 4 }

// consignment is a shipment with what was ordered of it.
type consignment struct {
	delivery
	number   int // in the plan, from 0
	shipment stock.Shipment
	orders   []order
}

// order is what was ordered of one cultivar, or of one cultivar from one farm.
type order struct {
	cultivar, farm int
	plants         int
	form           stock.Form
}

// orderShipments makes the orders and records each shipment as expected, some
// weeks before its day.
func (s *story) orderShipments() {
	for number, d := range deliveries() {
		c := &consignment{delivery: d, number: number}
		day := domain.Week{Year: Year, Number: d.week}.Monday().AddDays(d.weekday - 1)
		s.fillOrder(c)

		at := s.at(d.site, workday(day.AddDays(-s.between(19, 30))), s.around(9*hour, 16*hour))
		c.shipment = stock.Shipment{
			ID: s.id(at), SiteID: s.sites[d.site].ID, SupplierID: s.suppliers[d.supplier].ID,
			ExpectedOn: day.AddDays(-d.daysLate),
			Papers:     []stock.Paper{{Kind: "order", Number: fmt.Sprintf("PO-%d-%03d", Year, 41+3*number)}},
		}
		for _, o := range c.orders {
			c.shipment.OrderLines = append(c.shipment.OrderLines, stock.OrderLine{
				CultivarID: s.cultivars[o.cultivar].ID, Form: o.form, Ordered: o.plants,
			})
		}
		c.shipment.OrderLines = addUp(c.shipment.OrderLines)
		s.record(at, Owner, 0, c.shipment)
		s.later(day, func(day domain.Date) { s.arrive(c, day) })
	}
}

// fillOrder draws the cultivars of an order, and for a few two farms.
func (s *story) fillOrder(c *consignment) {
	from := s.suppliers[c.supplier]
	left := slices.Clone(from.cultivars)
	for len(c.orders) < c.lots {
		i := s.drawWanted(left)
		o := order{cultivar: left[i], farm: s.homeOf(left[i], c.supplier), form: stock.Unrooted}
		left = slices.Delete(left, i, i+1)
		o.plants = 50 * s.between(7, 18)
		if s.cultivars[o.cultivar].wanted >= 1.5 {
			o.plants += 50 * s.between(1, 6)
		}
		switch {
		case c.rooted:
			o.form, o.plants = stock.Rooted, o.plants*3/4/50*50
		case s.chance(0.12):
			o.form = stock.Callused
		}
		c.orders = append(c.orders, o)
		both := len(from.farms) > 1 && len(c.orders) < c.lots && o.plants >= 800 && s.chance(0.5)
		if both || len(left) == 0 {
			other := o
			other.farm = from.farms[(slices.Index(from.farms, o.farm)+1)%len(from.farms)]
			other.plants = o.plants / 2 / 50 * 50
			c.orders[len(c.orders)-1].plants -= other.plants
			c.orders = append(c.orders, other)
		}
	}
	c.orders = c.orders[:c.lots]
}

// homeOf gives the farm that grows a cultivar for a supplier, mostly the same.
func (s *story) homeOf(cultivar, number int) int {
	farms := s.suppliers[number].farms
	if s.chance(0.15) {
		return pick(s, farms)
	}
	return farms[(cultivar/2+cultivar/7+number)%len(farms)]
}

// drawWanted draws a place in the list of cultivars, the wanted ones more often.
func (s *story) drawWanted(cultivars []int) int {
	total := 0.0
	for _, c := range cultivars {
		total += s.cultivars[c].wanted
	}
	u := s.rng.Float64() * total
	for i, c := range cultivars {
		if u -= s.cultivars[c].wanted; u < 0 {
			return i
		}
	}
	return len(cultivars) - 1
}

// addUp makes one line of the lines of a cultivar and form.
func addUp(lines []stock.OrderLine) []stock.OrderLine {
	var sums []stock.OrderLine
	for _, line := range lines {
		i := slices.IndexFunc(sums, func(x stock.OrderLine) bool {
			return x.CultivarID == line.CultivarID && x.Form == line.Form
		})
		if i < 0 {
			sums = append(sums, line)
			continue
		}
		sums[i].Ordered += line.Ordered
	}
	return sums
}

// receiveShipment fills in what is known once it is at the dock and open: the
// shipment as recorded then. invoiced are the plants by the papers, by order.
func (s *story) receiveShipment(c *consignment, day domain.Date, invoiced []int) {
	docked := s.at(c.site, day, c.docked+s.around(-6, 6))
	sh := &c.shipment
	sh.DockedAt = docked
	sh.LandedAt = docked.Add(-minutes(s.around(7*hour, 19*hour)))
	sh.LeftAt = sh.LandedAt.Add(-minutes(s.around(20*hour, 44*hour)))
	if c.rooted { // by road, from the rooting station
		sh.LandedAt, sh.LeftAt = time.Time{}, docked.Add(-minutes(s.around(8*hour, 20*hour)))
	}
	sh.OpenedAt = docked.Add(minutes(s.around(10, 25)))
	s.papers(c)
	s.invoice(c, invoiced)
	s.openBoxes(c, invoiced)
	if c.number == warmShipment {
		sh.Note = "Ice packs melted, boxes warm; photos taken."
	}
	s.record(sh.OpenedAt.Add(minutes(s.around(2, 5))), Receiver, 1, *sh)
}

func minutes(m float64) time.Duration {
	return time.Duration(m * float64(time.Minute)).Truncate(time.Second)
}

// papers adds the papers that came with it. The airway bills start with 000,
// which is no airline's.
func (s *story) papers(c *consignment) {
	paper := func(kind, form string, numbers ...any) {
		c.shipment.Papers = append(c.shipment.Papers, stock.Paper{Kind: kind, Number: fmt.Sprintf(form, numbers...)})
	}
	paper("packing_list", "PL-%05d", s.between(10000, 99999))
	paper("invoice", "%d/%04d", Year, s.between(100, 9999))
	if c.rooted {
		return
	}
	paper("airway_bill", "000-%08d", s.between(10000000, 99999999))
	paper("phytosanitary_certificate", "%s-%06d", s.farms[c.orders[0].farm].Country, s.between(100000, 999999))
}

// invoice puts what was invoiced on the order lines. An order of which nothing
// was sent and another cultivar instead has a line for each (see substitute).
func (s *story) invoice(c *consignment, invoiced []int) {
	sums := map[domain.ID]int{}
	for i, o := range c.orders {
		sums[s.cultivars[o.cultivar].ID] += invoiced[i]
	}
	for i := range c.shipment.OrderLines {
		line := &c.shipment.OrderLines[i]
		n := sums[line.CultivarID]
		line.Invoiced = &n
	}
}

// substitute lets the supplier send another cultivar for one of the orders.
func (s *story) substitute(c *consignment, number int) {
	o := &c.orders[number]
	offered := slices.DeleteFunc(slices.Clone(s.suppliers[c.supplier].cultivars), func(cv int) bool {
		return slices.ContainsFunc(c.orders, func(x order) bool { return x.cultivar == cv })
	})
	if len(offered) == 0 {
		return
	}
	wanted := s.cultivars[o.cultivar].ID
	o.cultivar = pick(s, offered)
	c.shipment.OrderLines = append(c.shipment.OrderLines, stock.OrderLine{
		CultivarID: s.cultivars[o.cultivar].ID, Form: o.form, SubstituteForID: wanted,
	})
}

// cuttingsPerBox is about what a box holds; rooted plants come on racks, fewer to one.
const cuttingsPerBox, rootedPerBox = 1600, 700

// openBoxes lists the boxes with their temperatures: 10 to 16 degrees is right
// (GrowerTalks, 1 May 2023), above 18 the load is at risk.
func (s *story) openBoxes(c *consignment, invoiced []int) {
	total, size := 0, cuttingsPerBox
	for _, n := range invoiced {
		total += n
	}
	if c.rooted {
		size = rootedPerBox
	}
	boxes := make([]stock.Box, (total+size-1)/size)
	packed := 0
	for i, n := range invoiced {
		id := s.cultivars[c.orders[i].cultivar].ID
		for b := packed / size; b <= (packed+n-1)/size; b++ {
			if !slices.Contains(boxes[b].CultivarIDs, id) {
				boxes[b].CultivarIDs = append(boxes[b].CultivarIDs, id)
			}
		}
		packed += n
	}
	mean := s.around(11, 15)
	if c.number == warmShipment {
		mean = 20.5
	}
	for i := range boxes {
		boxes[i].Label = fmt.Sprintf("%d of %d", i+1, len(boxes))
		boxes[i].OpenedAt = c.shipment.OpenedAt.Add(minutes(float64(2 * i)))
		if s.chance(0.85) {
			t := float64(int(10*(mean+s.around(-1.2, 1.2)))) / 10
			boxes[i].TemperatureC = &t
		}
	}
	c.shipment.Boxes = boxes
}
