package simulation

import (
	"fmt"
	"time"

	"benchtrail/domain"
	"benchtrail/domain/place"
)

// siteplan is a site before it has ids.
type siteplan struct {
	name, zone, country string
	sections            []sectionplan
	houses              []houseplan
}

type sectionplan struct{ name, grower string }

// houseplan is a house with its day of the week for scouting. The first house
// of a site is where cuttings root.
type houseplan struct {
	blocks   int
	weekday  time.Weekday
	section  int
	then     int // the section of the blocks from position thenFrom on
	thenFrom int // 0: all blocks are in one section
}

// The second site lies east of the first and the demo opens on a Monday morning:
// nobody scouts there on Mondays, so that the new week is empty at every site.
func siteplans() []siteplan {
	const mo, tu, we, th = time.Monday, time.Tuesday, time.Wednesday, time.Thursday
	return []siteplan{
		{
			"Quillmoor", "America/Chicago", "US",
			[]sectionplan{{"North", Grower}, {"Middle", "mirrin"}, {"South", "mirrin"}},
			[]houseplan{
				{24, mo, 0, 0, 0}, {32, tu, 0, 0, 0}, {32, mo, 1, 0, 0}, {30, tu, 1, 0, 0}, {30, we, 2, 0, 0}, {32, th, 2, 0, 0},
			},
		},
		{
			"Ashgarrow", "America/Toronto", "CA",
			[]sectionplan{{"East", "jorvel"}, {"West", "sanneke"}, {"Far end", "sanneke"}},
			[]houseplan{{20, tu, 0, 0, 0}, {30, we, 0, 0, 0}, {30, tu, 1, 0, 0}, {28, we, 1, 0, 0}, {30, th, 2, 0, 0}},
		},
		{
			"Tamberly Flats", "America/Los_Angeles", "US",
			[]sectionplan{{"Front", "calix"}, {"Back", "calix"}},
			[]houseplan{{16, mo, 0, 0, 0}, {34, tu, 0, 1, 18}, {32, we, 1, 0, 0}},
		},
	}
}

// How many plants a block takes: cuttings in trays, or pots.
const (
	traysHold = 900
	potsHold  = 440
)

// ground is where everything stands.
type ground struct {
	sites  []site
	houses []house
	blocks []block
}

type site struct {
	place.Site
	zone   *time.Location
	houses []int
}

type house struct {
	place.House
	site    int
	rooting bool // where cuttings root in trays
	guarded bool // natural enemies check the whitefly
	weekday time.Weekday
	blocks  []int // in walking order
}

type block struct {
	place.Block
	house  int
	grower string
	holds  int // plants
}

// at gives a moment by the clocks of a site, minutes after midnight.
func (g *ground) at(site int, day domain.Date, minutes float64) time.Time {
	midnight := day.Time()
	return time.Date(midnight.Year(), midnight.Month(), midnight.Day(), 0, 0, int(minutes*60), 0, g.sites[site].zone)
}

// layGround builds the sites, all of them before what is in them. The owner does
// it in spring, at the first site.
func (s *story) layGround() error {
	s.ground = &ground{}
	for _, plan := range siteplans() {
		zone, err := time.LoadLocation(plan.zone)
		if err != nil {
			return fmt.Errorf("site %s: %w", plan.name, err)
		}
		s.sites = append(s.sites, site{zone: zone})
	}
	at := s.at(0, domain.NewDate(Year, time.May, 4), 9*hour)
	next := func() time.Time { at = at.Add(time.Second); return at }
	for i, plan := range siteplans() {
		moment := next()
		s.sites[i].Site = place.Site{ID: s.id(moment), Name: plan.name, TimeZone: plan.zone, Country: plan.country}
		s.record(moment, Owner, 0, s.sites[i].Site)
	}
	for i, plan := range siteplans() {
		sections := make([]place.Section, len(plan.sections))
		for j, p := range plan.sections {
			moment := next()
			sections[j] = place.Section{ID: s.id(moment), SiteID: s.sites[i].ID, Name: p.name, GrowerID: s.known.People[p.grower]}
			s.record(moment, Owner, 0, sections[j])
		}
		for j, p := range plan.houses {
			s.layHouse(i, j, plan, p, sections, next)
		}
	}
	s.guardSome()
	return nil
}

func (s *story) layHouse(at, number int, plan siteplan, p houseplan, sections []place.Section, next func() time.Time) {
	h := house{site: at, rooting: number == 0, weekday: p.weekday}
	name, holds := fmt.Sprintf("House %d", number+1), potsHold
	if h.rooting {
		name, holds = "Propagation", traysHold
	}
	moment := next()
	h.House = place.House{ID: s.id(moment), SiteID: s.sites[at].ID, Name: name, AreaM2: float64(p.blocks * 42)}
	s.record(moment, Owner, 0, h.House)
	for position := 1; position <= p.blocks; position++ {
		section := p.section
		if p.thenFrom > 0 && position >= p.thenFrom {
			section = p.then
		}
		moment = next()
		b := block{house: len(s.houses), holds: holds, grower: plan.sections[section].grower}
		b.Block = place.Block{
			ID: s.id(moment), SiteID: s.sites[at].ID, HouseID: h.ID, SectionID: sections[section].ID,
			Name: fmt.Sprintf("%d-%02d", number+1, position), Position: position,
		}
		b.Water, b.Tools = shared(number, position)
		s.record(moment, Owner, 0, b.Block)
		h.blocks = append(h.blocks, len(s.blocks))
		s.blocks = append(s.blocks, b)
	}
	s.sites[at].houses = append(s.sites[at].houses, len(s.houses))
	s.houses = append(s.houses, h)
}

// shared gives the water and tools of a block. In the first house with pots two
// tanks feed the benches and each end has its own trolley; of the rest nobody has
// written it down.
func shared(number, position int) (water, tools string) {
	if number != 1 {
		return "", ""
	}
	switch {
	case position <= 8:
		return "Tank 1", "Trolley A"
	case position <= 14:
		return "Tank 1", ""
	case position <= 20:
		return "Tank 2", "Trolley B"
	default:
		return "", ""
	}
}

// guardSome draws the houses with natural enemies: five of those with pots.
func (s *story) guardSome() {
	for left := 5; left > 0; {
		h := &s.houses[s.rng.IntN(len(s.houses))]
		if h.rooting || h.guarded {
			continue
		}
		h.guarded = true
		s.truth.HousesGuarded = append(s.truth.HousesGuarded, h.ID)
		left--
	}
}

// besides gives for each block those next to it in its house.
func (g *ground) besides() [][]int {
	next := make([][]int, len(g.blocks))
	for _, h := range g.houses {
		for i := 1; i < len(h.blocks); i++ {
			a, b := h.blocks[i-1], h.blocks[i]
			next[a], next[b] = append(next[a], b), append(next[b], a)
		}
	}
	return next
}

func (g *ground) guardedBlocks() []bool {
	guarded := make([]bool, len(g.blocks))
	for i, b := range g.blocks {
		guarded[i] = g.houses[b.house].guarded
	}
	return guarded
}
