package simulation

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// The calendar of a trial season, in weeks from its first. What is on the plants
// changes only in the night from Sunday to Monday.
const (
	trialArrivalWeeks = 6
	trialFirstRound   = 4  // early August
	trialBaseline     = 10 // the week of 15 September
	trialLimitWeek    = 12 // the week of 1 October
)

// trialMonday gives the Monday of a week of a trial season.
func trialMonday(week int) domain.Date {
	return domain.NewDate(Year, time.July, 6).AddDays(7 * week)
}

// trialLimitOn is the day of the limit that ends the time for biological control.
func trialLimitOn() domain.Date { return domain.NewDate(Year, time.October, 1) }

// trialLimit is the share of infested plants, in percent, of the limits in mid
// September and on trialLimitOn.
const trialLimit = 20

// trialSeason is an invented season without papers and movements: what stands
// where, what is on it and who looks. It knows nothing of what looks find.
type trialSeason struct {
	rng       *rand.Rand // what the season is like; the spread has a source of its own
	entropy   *rand.ChaCha8
	siteID    domain.ID
	houses    []trialHouse
	blocks    []trialBlock
	cultivars []trialCultivar
	arrivals  []trialArrival
	lots      []trialLot
	spread    *outbreak
	week      int
}

type trialHouse struct {
	id     domain.ID
	round  int // the day of its round, in days after Monday
	blocks []int
	// The weeks in which natural enemies check the whitefly: from the first until
	// before the second.
	guardedFrom, guardedUntil int
	grower                    float64 // share of the visibly infested plants that its grower sees
	observer                  float64 // the same of who looks this week
}

type trialBlock struct {
	id       domain.ID
	house    int
	position int
}

type trialCultivar struct {
	id      domain.ID
	foliage stock.Foliage
}

type trialArrival struct {
	id     domain.ID
	week   int
	shares []float64 // infested share of the plants of each farm in it, about
}

type trialLot struct {
	id                domain.ID
	cultivar, arrival int
	rooms             []room
	foundAtDock       bool
}

// trialGroup is a cultivar in a house, for which the limits are judged.
type trialGroup struct{ house, cultivar int }

// source gives one of the streams of chance of a trial season. What one arm of the
// trial draws changes nothing for the others.
func source(seed uint64, season int, stream uint64) *rand.Rand {
	return rand.New(rand.NewPCG(seed, uint64(season)<<8|stream)) //nolint:gosec // an invented season needs no secrets
}

const (
	layoutStream uint64 = iota
	spreadStream
	fixedStream
	plannedStream
	comparedStream
)

// newTrialSeason lays out a season that has not begun.
func newTrialSeason(seed uint64, number int) *trialSeason {
	var key [32]byte
	binary.LittleEndian.PutUint64(key[:], seed)
	binary.LittleEndian.PutUint64(key[8:], uint64(number)) //nolint:gosec // counted from 0
	s := &trialSeason{rng: source(seed, number, layoutStream), entropy: rand.NewChaCha8(key)}
	s.siteID = s.id()
	for house := range 4 {
		s.layHouse(house)
	}
	s.nameCultivars()
	s.orderArrivals()
	s.fill()
	besides, guarded := make([][]int, len(s.blocks)), make([]bool, len(s.blocks))
	for _, h := range s.houses {
		for i := 1; i < len(h.blocks); i++ {
			a, b := h.blocks[i-1], h.blocks[i]
			besides[a], besides[b] = append(besides[a], b), append(besides[b], a)
		}
	}
	s.spread = newOutbreak(s.pace(), source(seed, number, spreadStream), besides, guarded)
	s.begin(0)
	return s
}

func (s *trialSeason) id() domain.ID {
	id, _ := domain.NewID(trialMonday(0).Time(), s.entropy) // ChaCha8 never fails
	return id
}

func (s *trialSeason) chance(p float64) bool            { return s.rng.Float64() < p }
func (s *trialSeason) between(low, high int) int        { return low + s.rng.IntN(high-low+1) }
func (s *trialSeason) around(low, high float64) float64 { return low + (high-low)*s.rng.Float64() }
func (s *trialSeason) about(middle, sd float64) float64 {
	return middle * math.Exp(sd*s.rng.NormFloat64())
}

// pace draws how fast and how clumped the whitefly spreads this season, and what
// natural enemies do about it.
func (s *trialSeason) pace() rates {
	r := usualRates()
	r.tries = s.about(r.tries, 0.2)
	r.near = s.around(0.45, 0.65)
	r.within = s.around(0.92, 0.78) - r.near
	r.reach = s.between(3, 12)
	r.guardedTries = s.around(0.4, 0.75)
	r.guardedFreed = s.around(0.06, 0.16)
	r.fromOutside = s.about(r.fromOutside, 0.4)
	return r
}

// layHouse adds a house. In one of three natural enemies are there all the time,
// in some they are brought in or lost during the season.
func (s *trialSeason) layHouse(number int) {
	h := trialHouse{id: s.id(), round: number % 4, grower: s.around(0.86, 0.97)}
	switch u := s.rng.Float64(); {
	case u < 0.30:
		h.guardedUntil = math.MaxInt
	case u < 0.42:
		h.guardedFrom, h.guardedUntil = s.between(6, 11), math.MaxInt
	case u < 0.52:
		h.guardedUntil = s.between(6, 11)
	}
	for position := range s.between(8, 16) {
		h.blocks = append(h.blocks, len(s.blocks))
		s.blocks = append(s.blocks, trialBlock{id: s.id(), house: number, position: position + 1})
	}
	s.houses = append(s.houses, h)
}

func (s *trialSeason) nameCultivars() {
	tones := []stock.Foliage{stock.LightFoliage, stock.MediumFoliage, stock.DarkFoliage}
	for i := range s.between(5, 7) {
		s.cultivars = append(s.cultivars, trialCultivar{id: s.id(), foliage: tones[i%len(tones)]})
	}
}

// orderArrivals draws the arrivals, each of a farm of its own; with some of them
// plants of a second farm are mixed.
func (s *trialSeason) orderArrivals() {
	shares := []float64{0.12, 0.09, 0.04, 0.02, 0.005, 0.004, 0.002, 0.002, 0.001} // as in infestFarms
	s.rng.Shuffle(len(shares), func(i, j int) { shares[i], shares[j] = shares[j], shares[i] })
	for i := range s.between(4, 8) {
		a := trialArrival{id: s.id(), week: s.rng.IntN(trialArrivalWeeks), shares: []float64{shares[i]}}
		if s.chance(0.3) {
			a.shares = append(a.shares, shares[s.rng.IntN(len(shares))])
		}
		s.arrivals = append(s.arrivals, a)
	}
}

// fill gives every block its plants: runs of blocks to one lot each, some blocks
// to two. A house has some of the cultivars only.
func (s *trialSeason) fill() {
	for i := range s.houses {
		palette := s.rng.Perm(len(s.cultivars))[:s.between(2, 4)]
		lot, left := 0, 0
		for _, b := range s.houses[i].blocks {
			plants := s.between(150, 400)
			if left == 0 {
				lot, left = s.lotOf(palette[s.rng.IntN(len(palette))], s.rng.IntN(len(s.arrivals))), s.between(1, 5)
			}
			left--
			if left == 0 && s.chance(0.4) { // the end of a run stands beside the start of the next
				first := int(float64(plants) * s.around(0.4, 0.7))
				s.lots[lot].rooms = append(s.lots[lot].rooms, room{b, first})
				lot, left = s.lotOf(palette[s.rng.IntN(len(palette))], s.rng.IntN(len(s.arrivals))), s.between(1, 4)
				plants -= first
			}
			s.give(lot, b, plants)
		}
	}
}

// give adds plants of a block to what the lot has there.
func (s *trialSeason) give(lot, block, plants int) {
	l := &s.lots[lot]
	if n := len(l.rooms); n > 0 && l.rooms[n-1].block == block {
		l.rooms[n-1].plants += plants
		return
	}
	l.rooms = append(l.rooms, room{block, plants})
}

// lotOf gives the lot of a cultivar in an arrival.
func (s *trialSeason) lotOf(cultivar, arrival int) int {
	same := func(l trialLot) bool { return l.cultivar == cultivar && l.arrival == arrival }
	if i := slices.IndexFunc(s.lots, same); i >= 0 {
		return i
	}
	s.lots = append(s.lots, trialLot{id: s.id(), cultivar: cultivar, arrival: arrival})
	return len(s.lots) - 1
}

// begin lets a week begin: who looks, where natural enemies are, what arrives.
func (s *trialSeason) begin(week int) {
	s.week = week
	for i := range s.houses {
		h := &s.houses[i]
		h.observer = h.grower
		if s.chance(0.1) { // somebody stands in
			h.observer = s.around(0.82, 0.97)
		}
		for _, b := range h.blocks {
			s.spread.guarded[b] = week >= h.guardedFrom && week < h.guardedUntil
		}
	}
	for i := range s.lots {
		if s.arrivals[s.lots[i].arrival].week == week {
			s.unpack(i)
		}
	}
}

// unpack puts the plants of a lot where they grow, after a look at the dock.
func (s *trialSeason) unpack(number int) {
	l := &s.lots[number]
	foliage, shares := s.cultivars[l.cultivar].foliage, s.arrivals[l.arrival].shares
	plants := 0
	for _, r := range l.rooms {
		plants += r.plants
	}
	var row []age
	for i, share := range shares {
		row = append(row, s.spread.arriving(plants*(i+1)/len(shares)-plants*i/len(shares), share, foliage)...)
	}
	const inspected, seen = 60, 0.8
	for _, i := range s.spread.rng.Perm(len(row))[:min(inspected, len(row))] {
		if row[i] > 0 && s.spread.rng.Float64() < seen {
			l.foundAtDock = true
		}
	}
	for _, r := range l.rooms {
		s.spread.place(number, r.block, foliage, row[:r.plants])
		row = row[r.plants:]
	}
}

// end lets the week end and the next begin.
func (s *trialSeason) end() {
	s.spread.week()
	s.begin(s.week + 1)
}
