package simulation

import (
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// bringIn sticks cuttings (in the propagation house, or straight into pots) and
// pots rooted plants, and plans what comes after in the life of the lot.
func (s *story) bringIn(l *lot, day domain.Date, minute float64) {
	trays := l.Form != stock.Rooted && s.chance(0.35)
	kind, by := stock.Stick, Receiver
	if l.Form == stock.Rooted {
		kind = stock.Pot
	}
	for _, r := range s.roomFor(l, len(l.waiting), trays) {
		minute += s.around(4, 9)
		at := s.at(l.site, day, minute)
		s.spread.place(l.number, r.block, l.foliage, l.waiting[:r.plants])
		l.waiting = l.waiting[r.plants:]
		s.recordMove(l, kind, r.plants, domain.ID{}, s.blocks[r.block].ID, at, by)
	}

	again := s.between(s.crop.SecondLookFromDays, s.crop.SecondLookToDays-1)
	if s.forgotten(l) {
		again += 30
	}
	s.later(workday(day.AddDays(again)), func(day domain.Date) { s.inspectAgain(l, day) })
	rooted := workday(day.AddDays(s.between(24, 27)))
	if l.Form != stock.Rooted {
		s.later(rooted, func(day domain.Date) { s.sortOut(l, day, trays) })
	}
	if s.chance(0.5) {
		s.later(workday(day.AddDays(s.between(38, 48))), func(day domain.Date) { s.space(l, day) })
	}
}

// forgotten says of which lot nobody makes the second look in time: the third
// of one shipment.
func (s *story) forgotten(l *lot) bool {
	same := slices.IndexFunc(s.lots, func(x *lot) bool { return x.ShipmentID == l.ShipmentID })
	before := 0
	for _, d := range deliveries()[:forgottenShipment] {
		before += d.lots
	}
	return same == before && l.number == same+2
}

// afternoon is when the rounds of the day are over and plants can be moved.
const afternoon = 14 * hour

// sortOut throws out the cuttings that did not root, and pots what rooted in trays.
func (s *story) sortOut(l *lot, day domain.Date, trays bool) {
	loss := s.around(0.02, 0.08)
	if s.chance(0.03) {
		loss = 0.2
	}
	minute := s.around(afternoon, afternoon+hour)
	for _, st := range s.spread.of(l.number) {
		by := s.blocks[st.block].grower
		if n := int(loss * float64(len(st.plants))); n > 0 {
			minute += 3
			s.recordDiscard(l, n, s.blocks[st.block].ID, s.at(l.site, day, minute), by, "did not root")
			st.plants = s.spread.throwOut(st.plants, n)
		}
		if !trays {
			continue
		}
		for _, r := range s.roomFor(l, len(st.plants), false) {
			minute += s.around(5, 10)
			s.shift(l, stock.Pot, st, r.plants, r.block, s.at(l.site, day, minute), by)
		}
	}
	s.spread.tidy()
}

// space moves a part of the fullest block of a lot apart, into an empty one.
func (s *story) space(l *lot, day domain.Date) {
	stands := s.spread.of(l.number)
	if len(stands) == 0 {
		return
	}
	from := slices.MaxFunc(stands, func(a, b *stand) int { return len(a.plants) - len(b.plants) })
	h := s.houses[s.blocks[from.block].house]
	if h.rooting || len(from.plants) < 200 {
		return
	}
	if s.chance(0.08) {
		h = s.houses[pick(s, s.sites[l.site].houses[1:])]
	}
	for _, b := range h.blocks {
		if s.spread.plantsIn(b) == 0 {
			n := int(float64(len(from.plants)) * s.around(0.3, 0.45))
			s.shift(l, stock.Move, from, n, b, s.at(l.site, day, s.around(afternoon, 16.5*hour)), s.blocks[from.block].grower)
			return
		}
	}
}

// shift takes plants from a stand to a block and records it.
func (s *story) shift(l *lot, kind stock.Kind, from *stand, plants, to int, at time.Time, by string) {
	s.spread.place(l.number, to, l.foliage, from.takeOff(plants))
	s.recordMove(l, kind, plants, s.blocks[from.block].ID, s.blocks[to].ID, at, by)
}

func (s *story) recordMove(l *lot, kind stock.Kind, plants int, from, to domain.ID, at time.Time, by string) {
	s.record(at, by, 0, stock.Movement{
		ID: s.id(at), LotID: l.ID, Kind: kind, MovedAt: at, Plants: plants, FromBlockID: from, ToBlockID: to,
	})
}

// room is a number of plants that a block takes.
type room struct{ block, plants int }

// How many plants are put beside another lot rather than alone in a block, and
// how many are squeezed in with the rest of their own.
const leftover, crumb = 140, 45

// roomFor finds blocks for plants of a lot: empty ones of the house with most of
// them, in walking order; leftovers, and what finds no empty block, go beside
// other lots where there is most space.
func (s *story) roomFor(l *lot, plants int, trays bool) []room {
	var rooms []room
	houses := s.sites[l.site].houses[1:]
	if trays {
		houses = s.sites[l.site].houses[:1]
	}
	empty := s.emptiest(houses)
	size := s.between(250, 380)
	if trays {
		size = s.between(450, traysHold)
	}
	for _, b := range empty {
		if plants <= leftover && len(rooms) > 0 || plants == 0 {
			break
		}
		n := min(plants, size)
		rooms = append(rooms, room{b, n})
		plants -= n
	}
	if n := len(rooms); n > 0 && plants <= crumb {
		rooms[n-1].plants += plants
		plants = 0
	}
	for plants > 0 {
		b, space := s.roomiest(houses, rooms)
		n := min(plants, space)
		if space < 20 { // full: they are put closer together
			n = plants
		}
		rooms = append(rooms, room{b, n})
		plants -= n
	}
	return rooms
}

// emptiest gives the empty blocks of the house that has most of them.
func (s *story) emptiest(houses []int) []int {
	var best []int
	for _, h := range houses {
		var empty []int
		for _, b := range s.houses[h].blocks {
			if s.spread.plantsIn(b) == 0 {
				empty = append(empty, b)
			}
		}
		if len(empty) > len(best) {
			best = empty
		}
	}
	return best
}

// roomiest gives the block of the houses with most space that is not yet taken,
// and how many plants it takes.
func (s *story) roomiest(houses []int, taken []room) (int, int) {
	best, most := s.houses[houses[0]].blocks[0], -1<<30
	for _, h := range houses {
		for _, b := range s.houses[h].blocks {
			space := s.blocks[b].holds - s.spread.plantsIn(b)
			if space > most && !slices.ContainsFunc(taken, func(r room) bool { return r.block == b }) {
				best, most = b, space
			}
		}
	}
	return best, most
}
