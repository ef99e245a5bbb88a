package api

import (
	"cmp"
	"maps"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/scouting"
	"benchtrail/domain/trend"
)

// So many lots of a section are listed, and so many of their weeks: what one person can
// see to, and what a small trend shows.
const (
	mostListed = 24
	weeksShown = 8
)

// GetWeek implements GET /week.
func (s *server) GetWeek(c echo.Context, p wire.GetWeekParams) error {
	q := store.WeekQuery{SiteID: p.SiteID, OrganismID: p.OrganismID}
	if p.Week != "" {
		var err error
		if q.Week, err = domain.ParseWeek(p.Week); err != nil {
			return domain.Faults{{Path: "#query/week", Code: "not_a_week", Detail: p.Week + " is no week of the calendar"}}
		}
	}
	found, err := s.Store.Week(c.Request().Context(), actorOf(c), q)
	if err != nil {
		return err
	}
	r, err := newWeekReading(found, p.SiteID, q.Week, p.SectionID)
	if err != nil {
		return err
	}
	out := r.out(p.SiteID)
	return c.JSON(http.StatusOK, out)
}

// weekReading judges what was found of a week, section by section.
type weekReading struct {
	store.WeekFound
	because   wire.WeekReadingBecause
	shown     store.Rounds // the round that is shown
	adviseful bool         // today's advice speaks of the week shown
	on        domain.Date  // the day that limits are read for
	listFor   domain.ID    // the section whose lots are listed; zero for all

	items   map[houseCultivar]int // indices of the advice items of the site
	read    trend.Readings        // of the items
	used    map[int]bool          // items that a listed lot names
	rounds  map[domain.ID]*scouting.Walked
	plans   map[domain.ID]*scouting.Walked
	stands  map[domain.ID]map[domain.ID][]*scouting.Stand // by section and lot, in the week shown
	looked  map[domain.ID]*lookedAt                       // by section, in the week shown
	now     map[domain.ID][]domain.ID                     // the sections where a lot stands now
	lotRead map[domain.ID]trend.Reading

	organism string // what it is called; letters need it
}

type houseCultivar struct{ house, cultivar domain.ID }

// lookedAt is what was looked at in a section.
type lookedAt struct {
	plants, infested int
	blocks           map[domain.ID]bool
	byItem           map[houseCultivar]bool // what stands there or was looked at
}

func newWeekReading(found store.WeekFound, site domain.ID, asked domain.Week, section domain.ID) (*weekReading, error) {
	r := &weekReading{
		WeekFound: found, because: wire.Asked, shown: found.Shown, listFor: section, items: map[houseCultivar]int{}, used: map[int]bool{},
		stands: map[domain.ID]map[domain.ID][]*scouting.Stand{}, looked: map[domain.ID]*lookedAt{}, now: map[domain.ID][]domain.ID{},
	}
	var err error
	if r.plans, err = r.walked(found.Present); err != nil {
		return nil, err
	}
	if asked == (domain.Week{}) {
		r.because = wire.LastRound
		var all scouting.Walked
		for _, w := range r.plans {
			all.Planned, all.Done = all.Planned+w.Planned, all.Done+w.Done
		}
		if all.WorthReading() {
			r.because, r.shown = wire.Present, found.Present
		}
	}
	r.rounds = r.plans
	if r.shown.Week != found.Present.Week {
		if r.rounds, err = r.walked(r.shown); err != nil {
			return nil, err
		}
	}
	today := found.Advice.Today
	r.on = today
	r.adviseful = r.shown.Week.Monday().DaysUntil(found.Present.Week.Monday()) <= 7 && !r.shown.Week.Monday().After(today)
	if !r.adviseful {
		r.on = r.shown.Week.Monday().AddDays(6)
	}
	if r.read, err = readItems(found.Advice.Items, site); err != nil {
		return nil, err
	}
	for i, x := range found.Advice.Items {
		if x.Asked {
			r.items[houseCultivar{x.HouseID, x.CultivarID}] = i
		}
	}
	r.standByStand()
	return r, r.readLots()
}

// walked gives by section how much of the planned rounds was walked.
func (r *weekReading) walked(of store.Rounds) (map[domain.ID]*scouting.Walked, error) {
	bySection := map[domain.ID]*scouting.Walked{}
	rules := roundRulesOf(of.Rules)
	for _, h := range of.Houses {
		plan, _, err := planOf(h, of, rules, 0)
		if err != nil {
			return nil, err
		}
		sections := map[domain.ID]bool{}
		for _, b := range plan.Blocks {
			sections[r.Blocks[b.BlockID].SectionID] = true
		}
		for section := range sections {
			if bySection[section] == nil {
				bySection[section] = &scouting.Walked{}
			}
			bySection[section].Add(plan, func(block domain.ID) bool { return r.Blocks[block].SectionID == section })
		}
	}
	return bySection, nil
}

// standByStand sorts what stood and was looked at by section.
func (r *weekReading) standByStand() {
	for _, h := range r.shown.Houses {
		for _, x := range h.Stands {
			section := r.Blocks[x.BlockID].SectionID
			looked := r.looked[section]
			if looked == nil {
				looked = &lookedAt{blocks: map[domain.ID]bool{}, byItem: map[houseCultivar]bool{}}
				r.looked[section], r.stands[section] = looked, map[domain.ID][]*scouting.Stand{}
			}
			looked.plants += x.Done.Plants
			looked.infested += x.Done.Infested
			if x.Done.Plants > 0 {
				looked.blocks[x.BlockID] = true
			}
			looked.byItem[houseCultivar{h.ID, x.CultivarID}] = true
			if lot, known := r.Lots[x.LotID]; known && x.Plants > 0 && lot.SeasonID == r.Advice.Season.ID {
				r.stands[section][x.LotID] = append(r.stands[section][x.LotID], x)
			}
		}
	}
	for _, h := range r.Present.Houses {
		for _, x := range h.Stands {
			section := r.Blocks[x.BlockID].SectionID
			if x.Plants > 0 && !section.IsZero() && !slices.Contains(r.now[x.LotID], section) {
				r.now[x.LotID] = append(r.now[x.LotID], section)
			}
		}
	}
}

// readLots reads every lot as far as the week shown.
func (r *weekReading) readLots() error {
	ids := slices.SortedFunc(maps.Keys(r.Lots), func(a, b domain.ID) int { return slices.Compare(a[:], b[:]) })
	samples := make([][]trend.Sample, len(ids))
	for i, id := range ids {
		for _, x := range r.Lots[id].Samples {
			if !x.WeekStart.After(r.shown.Week.Monday()) {
				samples[i] = append(samples[i], x)
			}
		}
	}
	read, err := trend.ReadWith(samples, r.read.InCommon)
	if err != nil {
		return err
	}
	r.lotRead = make(map[domain.ID]trend.Reading, len(ids))
	for i, id := range ids {
		r.lotRead[id] = read.Groups[i]
	}
	return nil
}

// lotsOf gives the lots of a section with what is known of each, worst first.
func (r *weekReading) lotsOf(section domain.ID) []advice.LotThisWeek {
	rules := advice.UsualRules()
	lots := make([]advice.LotThisWeek, 0, len(r.stands[section]))
	for id := range r.stands[section] {
		var suggestions []advice.SuggestionCode
		for _, item := range r.itemsOf(section, id) {
			suggestions = append(suggestions, r.suggestion(item))
		}
		lots = append(lots, rules.ReadLot(id, r.Lots[id].Code, r.lotRead[id], r.limitsOfLot(id), suggestions, r.on))
	}
	rules.WorstFirst(lots)
	return lots
}

func (r *weekReading) limitsOfLot(id domain.ID) []advice.Threshold {
	lot := r.Lots[id]
	return limitsOf(store.TrendGroup{CultivarID: lot.CultivarID, HouseID: lot.HouseID}, r.Advice.Limits)
}

// itemsOf gives the advice items on the cultivar of a lot in the houses where it stands in
// the section; none when today's advice does not speak of the week.
func (r *weekReading) itemsOf(section, lot domain.ID) []int {
	var items []int
	if !r.adviseful {
		return nil
	}
	for _, x := range r.stands[section][lot] {
		i, known := r.items[houseCultivar{r.Blocks[x.BlockID].HouseID, x.CultivarID}]
		if known && !slices.Contains(items, i) {
			items = append(items, i)
		}
	}
	slices.Sort(items)
	return items
}

func (r *weekReading) suggestion(item int) advice.SuggestionCode {
	x := r.Advice.Items[item]
	reading, rules := adviceReadingOf(x, r.read.Groups[item], r.Advice.Limits)
	return rules.Suggest(reading, rules.Evidence(reading)).Code
}

// sectionIDs gives the sections to show, the blocks in none as one at the end.
func (r *weekReading) sections() []store.WeekSection {
	sections := slices.Clone(r.Sections)
	rest := domain.ID{}
	if len(sections) == 0 || r.stands[rest] != nil || r.rounds[rest] != nil || r.plans[rest] != nil {
		sections = append(sections, store.WeekSection{})
	}
	return sections
}

// adults gives the houses of a section where adults were seen on new growth, and the
// plants of all at which signs were looked for.
func (r *weekReading) adults(section domain.ID) (houses []wire.WeekAdults, lookedFor int) {
	byHouse := map[domain.ID]*wire.WeekAdults{}
	for _, x := range r.Signs {
		block := r.Blocks[x.BlockID]
		if block.SectionID != section || x.WeekStart != r.shown.Week.Monday() {
			continue
		}
		h := byHouse[block.HouseID]
		if h == nil {
			h = &wire.WeekAdults{HouseID: block.HouseID, House: block.House}
			byHouse[block.HouseID] = h
		}
		h.Plants += x.AdultsOnNew
		h.PlantsLookedAt += x.Plants
		lookedFor += x.Plants
	}
	houses = []wire.WeekAdults{}
	for _, h := range byHouse {
		if h.Plants > 0 {
			houses = append(houses, *h)
		}
	}
	slices.SortFunc(houses, func(a, b wire.WeekAdults) int {
		return cmp.Or(cmp.Compare(b.Plants, a.Plants), cmp.Compare(a.House, b.House), slices.Compare(a.HouseID[:], b.HouseID[:]))
	})
	return houses, lookedFor
}

// decisions gives those to check of what stands, or was looked at, in a section.
func (r *weekReading) decisions(section domain.ID) []wire.WeekDecision {
	out := []wire.WeekDecision{}
	looked := r.looked[section]
	if looked == nil {
		return out
	}
	for _, x := range r.Advice.Items {
		if !looked.byItem[houseCultivar{x.HouseID, x.CultivarID}] {
			continue
		}
		all := make([]advice.Decision, len(x.Decisions))
		byID := map[domain.ID]store.Record[advice.Decision]{}
		for i, d := range x.Decisions {
			all[i], byID[d.ID] = d.Value, d
		}
		day := func(d advice.Decision) domain.Date { return domain.DateOf(d.DecidedAt.In(r.Now.Location())) }
		for _, d := range advice.ToCheck(all, r.shown.Week.Monday(), day) {
			out = append(out, wire.WeekDecision{Cultivar: x.Cultivar, House: x.House, Decision: decisionToWire(byID[d.ID])})
		}
	}
	return out
}
