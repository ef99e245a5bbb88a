// Package simulation invents a season: everything that the people of a grower
// with three sites would have recorded by a given moment, and beside it what
// was really the case. It is a pure function of a seed and that moment. All
// names in it are made up.
//
// The season is told day by day. infestation.go holds the model of the spread
// and knows nothing of names, papers or people; the other files move plants
// through it, look at samples of them, and write down what a person would have.
// keeping.go then goes over it once more and adds the rest of the book.
package simulation

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"benchtrail/domain"
)

// Year is the year of the invented season.
const Year = 2026

// DemoSeed is the seed of the season that the demo shows: by mid September some
// of its cultivars are clearly above 20 %, most below, and some too close to call.
const DemoSeed = 105

// WhiteflyEPPO is the EPPO code of Bemisia tabaci, the pest of the season.
const WhiteflyEPPO = "BEMITA"

// ErrNoWhitefly is returned when the known organisms have no id for WhiteflyEPPO.
var ErrNoWhitefly = errors.New("the known organisms hold no " + WhiteflyEPPO)

// Known are the ids of records that are made outside the season.
type Known struct {
	Organisms map[string]domain.ID // by EPPO code; WhiteflyEPPO is needed
	// By Person.Key. A person without an id is left out of the records (a
	// section has no grower then, a look no observer).
	People map[string]domain.ID
}

// Event is a record as it was made.
type Event struct {
	At time.Time // when it was recorded, in the zone of the site
	By string    // Person.Key of who recorded it
	// The version of the record that this one corrects; 0 when it is new.
	Corrects int
	// One of place.Site, place.House, place.Section, place.Block,
	// stock.Supplier, stock.Farm, stock.Crop, stock.Cultivar, stock.Season,
	// stock.Shipment, stock.Lot, stock.Movement, stock.Customer, stock.Hold,
	// stock.LabSample, arrival.Inspection, arrival.Verdict, arrival.Claim and scouting.Look. A
	// lot that begins with a split or merge is in that movement only. What follows from other records (the
	// limits of a season, the date of arrival of a lot, the doubts of a look) is
	// empty.
	Record any
}

// Season is what was recorded, and what nobody in it knows.
type Season struct {
	// In order of time; a record comes after those it refers to. The sites come first.
	Events []Event
	Truth  Truth
}

// Truth is what was really the case, for tests and for measuring advice.
type Truth struct {
	FarmShares    map[domain.ID]float64 // infested share of a farm's plants, about, 0 to 1
	HousesGuarded []domain.ID           // those with natural enemies, which check the whitefly
	FarmOfLot     map[domain.ID]domain.ID
	WeeklyCount   []TrueCount // at the end of each week
}

// TrueCount is the state of the plants of a lot in a block on the Sunday of a week.
type TrueCount struct {
	WeekStart      domain.Date // a Monday
	LotID, BlockID domain.ID
	Plants         int
	Infested       int
}

// All gives the records of one type in the order in which they were made, every
// version of them: All[stock.Lot](season.Events).
func All[T any](events []Event) []T {
	var all []T
	for _, e := range events {
		if r, ok := e.Record.(T); ok {
			all = append(all, r)
		}
	}
	return all
}

// story is a season while it is being told.
type story struct {
	*ground
	*catalogue
	rng     *rand.Rand
	entropy *rand.ChaCha8
	known   Known
	spread  *outbreak

	lots         []*lot
	agenda       map[domain.Date][]func(domain.Date)
	lotsOfWeek   map[domain.Week]int
	lookedOn     map[int]domain.Date // by block
	mistakesMade map[mistake]bool

	events []Event
	truth  Truth
	err    error // the first thing that went wrong; what follows it is void
}

// NewSeason tells the season up to the moment. The same seed gives the same
// season, and an earlier moment gives the first part of it. Errors: ErrNoWhitefly,
// and those of loading a time zone.
func NewSeason(seed uint64, upTo time.Time, known Known) (Season, error) {
	if known.Organisms[WhiteflyEPPO].IsZero() {
		return Season{}, ErrNoWhitefly
	}
	var key [32]byte
	binary.LittleEndian.PutUint64(key[:], seed)
	s := &story{
		rng:          rand.New(rand.NewPCG(seed, Year)), //nolint:gosec // an invented season needs no secrets
		entropy:      rand.NewChaCha8(key),
		known:        known,
		agenda:       map[domain.Date][]func(domain.Date){},
		lotsOfWeek:   map[domain.Week]int{},
		lookedOn:     map[int]domain.Date{},
		mistakesMade: map[mistake]bool{},
		truth:        Truth{FarmShares: map[domain.ID]float64{}, FarmOfLot: map[domain.ID]domain.ID{}},
	}
	if err := s.layGround(); err != nil {
		return Season{}, fmt.Errorf("places: %w", err)
	}
	s.nameThings()
	// The spread has a source of its own, so that it does not depend on how much
	// is looked at.
	chance := rand.New(rand.NewPCG(seed, Year+1)) //nolint:gosec // as above
	s.spread = newOutbreak(usualRates(), chance, s.besides(), s.guardedBlocks())
	s.orderShipments()

	// A day of the season is over everywhere a day after it is over in UTC.
	last := domain.DateOf(upTo.UTC()).AddDays(1)
	for day := s.season.StartsOn; s.err == nil && !day.After(last) && !day.After(s.season.EndsOn); day = day.AddDays(1) {
		s.walkHouses(day)
		// What a chore puts off to the same day is done as well.
		for len(s.agenda[day]) > 0 {
			chore := s.agenda[day][0]
			s.agenda[day] = s.agenda[day][1:]
			chore(day)
		}
		if day.Time().Weekday() == time.Sunday {
			s.countTruth(day)
			s.spread.week()
		}
	}
	if s.err == nil {
		slices.SortStableFunc(s.events, inTime)
		s.keepBook(seed)
	}
	if s.err != nil {
		return Season{}, s.err
	}
	return s.until(upTo), nil
}

// until orders what was told and leaves out what came after the moment.
func (s *story) until(upTo time.Time) Season {
	slices.SortStableFunc(s.events, inTime)
	after := slices.IndexFunc(s.events, func(e Event) bool { return e.At.After(upTo) })
	if after >= 0 {
		s.events = s.events[:after]
	}
	counts := s.truth.WeeklyCount
	s.truth.WeeklyCount = slices.DeleteFunc(counts, func(c TrueCount) bool {
		return c.WeekStart.AddDays(7).Time().After(upTo)
	})
	return Season{Events: s.events, Truth: s.truth}
}

func inTime(a, b Event) int { return a.At.Compare(b.At) }

func (s *story) record(at time.Time, by string, corrects int, what any) {
	s.events = append(s.events, Event{At: at, By: by, Corrects: corrects, Record: what})
}

func (s *story) fail(err error) {
	if s.err == nil {
		s.err = err
	}
}

func (s *story) id(at time.Time) domain.ID {
	id, err := domain.NewID(at, s.entropy)
	if err != nil {
		s.fail(err)
	}
	return id
}

func (s *story) whitefly() domain.ID { return s.known.Organisms[WhiteflyEPPO] }

func (s *story) later(day domain.Date, chore func(domain.Date)) {
	s.agenda[day] = append(s.agenda[day], chore)
}

// countTruth notes the true counts on a Sunday.
func (s *story) countTruth(sunday domain.Date) {
	for _, st := range s.spread.stands {
		s.truth.WeeklyCount = append(s.truth.WeeklyCount, TrueCount{
			WeekStart: sunday.AddDays(-6), LotID: s.lots[st.lot].ID, BlockID: s.blocks[st.block].ID,
			Plants: len(st.plants), Infested: st.infested(),
		})
	}
}

// Small helps for drawing at random.

func (s *story) chance(p float64) bool { return s.rng.Float64() < p }

// between draws a whole number from low to high, both included.
func (s *story) between(low, high int) int { return low + s.rng.IntN(high-low+1) }

// around draws a number from low to high.
func (s *story) around(low, high float64) float64 { return low + (high-low)*s.rng.Float64() }

func pick[T any](s *story, from []T) T { return from[s.rng.IntN(len(from))] }

// workday gives the day, or the Monday after it when it is on a weekend.
func workday(day domain.Date) domain.Date {
	switch day.Time().Weekday() {
	case time.Saturday:
		return day.AddDays(2)
	case time.Sunday:
		return day.AddDays(1)
	default:
		return day
	}
}
