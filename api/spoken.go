package api

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"benchtrail/api/internal/wire"
	"benchtrail/domain"
	"benchtrail/domain/advice"
)

// spoken are the words of what leaves by itself, calendars and letters, in the language of
// a person. What the pages say stands in web/src/words.
type spoken struct {
	comma  string // of decimals
	w      string // before the number of a week
	of     string // 12 of 60
	and    string
	months [12]string

	blocks, plants, lots func(int) string

	due         func(site string) string
	round       string
	roundOf     func(domain.Week) string
	planned     func(blocks, plants, minutes, walked int) string
	secondLook  string
	claim       string
	claimCloses func(supplier string) string
	arrivedOn   func(domain.Date) string
	hold        string
	holdEnds    func(lot string) string

	letterAbout             func(w domain.Week, site string) string
	greeting                func(name string) string
	stop, open, until       string
	order                   string
	lotsTitle               string
	decisionsTitle          string
	dueTitle                string
	week                    func(w domain.Week, from, to string) string
	more                    func(int) string
	overOrNear              func(n int, all, kinds string) string
	noneOver                func(all string) string
	over, heading, near     func(int) string
	missed                  func(n, planned int) string
	noneMissed, noPlan      string
	adults                  func(houses string) string
	inHouse                 func(house, counts string) string
	noAdults                func(plants string) string
	notLookedFor            string
	below, unsettled, stale func(int) string
	otherLots               func(parts string) string
	looked                  func(counts, organism, blocks string) string
	notWalked               string
	concern                 map[advice.Concern]string
	suggestion              map[advice.SuggestionCode]string
	choice                  map[wire.DecisionChoice]string
	share                   func(week, counts, organism, share string) string
	none                    func(week, plants, organism, upper string) string
	since                   func(week, points, lower, upper string, said bool) string
	chance                  func(percent, on string) string
	decided                 func(choice, cultivar, house, who, on string) string
	done                    func(on string) string
	notDone                 string
	from                    func(from, to string) string
}

func spokenIn(language string) spoken {
	if language == "es" {
		return spanish()
	}
	return english()
}

// plural gives a number with the word for one or for several.
func plural(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + several
}

func plurals(one, several string) func(int) string {
	return func(n int) string { return plural(n, one, several) }
}

// lasting writes minutes as hours and minutes.
func lasting(minutes int) string {
	switch {
	case minutes < 60:
		return fmt.Sprintf("%d min", minutes)
	case minutes%60 == 0:
		return fmt.Sprintf("%d h", minutes/60)
	}
	return fmt.Sprintf("%d h %d min", minutes/60, minutes%60)
}

func (s spoken) date(d domain.Date) string {
	t := d.Time()
	return fmt.Sprintf("%d %s", t.Day(), s.months[t.Month()-1])
}

func (s spoken) weekOf(w domain.Week) string {
	return s.week(w, s.date(w.Monday()), s.date(w.Monday().AddDays(6)))
}

func (s spoken) between(from, to domain.Date) string { return s.from(s.date(from), s.date(to)) }

// number writes a number as the pages do: whole from ten on, with one decimal below.
func (s spoken) number(x float64) string {
	if math.Abs(x) >= 10 || x == math.Trunc(x) {
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	return strings.Replace(strconv.FormatFloat(x, 'f', 1, 64), ".", s.comma, 1)
}

// short gives the name of an ISO week without its year.
func (s spoken) short(week string) string {
	_, number, _ := strings.Cut(week, "-W")
	return s.w + number
}

func (s spoken) signed(x float64) string {
	if x < 0 {
		return "−" + s.number(-x)
	}
	return "+" + s.number(x)
}

func (s spoken) counts(some, all int) string { return fmt.Sprintf("%d %s %d", some, s.of, all) }

func (s spoken) list(parts []string) string {
	if len(parts) < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " " + s.and + " " + parts[len(parts)-1]
}

// answer is a section in one sentence with its counts.
func (s spoken) answer(x wire.WeekSection) string {
	var kinds []string
	for _, kind := range []struct {
		n   int
		say func(int) string
	}{{x.Counts.Over, s.over}, {x.Counts.HeadingOver, s.heading}, {x.Counts.Near, s.near}} {
		if kind.n > 0 {
			kinds = append(kinds, kind.say(kind.n))
		}
	}
	first := s.noneOver(s.lots(x.Lots))
	if n := x.Counts.Over + x.Counts.HeadingOver + x.Counts.Near; n > 0 {
		first = s.overOrNear(n, s.lots(x.Lots), s.list(kinds))
	}
	missed := s.noPlan
	switch {
	case x.Round.Blocks > 0 && len(x.Round.Missed) == 0:
		missed = s.noneMissed
	case x.Round.Blocks > 0:
		missed = s.missed(len(x.Round.Missed), x.Round.Blocks)
	}
	seen := s.notLookedFor
	var houses []string
	for _, h := range x.Adults {
		houses = append(houses, s.inHouse(h.House, s.counts(h.Plants, h.PlantsLookedAt)))
	}
	switch {
	case len(houses) > 0:
		seen = s.adults(s.list(houses))
	case x.SignsPlantsLookedAt > 0:
		seen = s.noAdults(s.plants(x.SignsPlantsLookedAt))
	}
	return strings.Join([]string{first, missed, seen}, "; ") + "."
}

// others says how the other lots stand, and how much was looked at.
func (s spoken) others(x wire.WeekSection, organism string) string {
	if x.PlantsLookedAt == 0 {
		return s.notWalked
	}
	var parts []string
	for _, part := range []struct {
		n   int
		say func(int) string
	}{{x.Counts.Below, s.below}, {x.Counts.Unsettled, s.unsettled}, {x.Counts.NotLookedAt, s.stale}} {
		if part.n > 0 {
			parts = append(parts, part.say(part.n))
		}
	}
	looked := s.looked(s.counts(x.InfestedPlants, x.PlantsLookedAt), organism, s.blocks(x.BlocksLookedAt))
	if len(parts) == 0 {
		return looked
	}
	return s.otherLots(s.list(parts)) + " " + looked
}

// lotSaid is a lot with its counts, its interval, its change and its forecast.
func (s spoken) lotSaid(x wire.WeekLot, organism string) string {
	p := x.Answer.Point
	if x.Answer.Code == wire.TrendAnswerCodeNoLooks || p.PlantsLookedAt == 0 {
		return s.concern[advice.NotLookedAt]
	}
	out := s.none(s.short(p.Week), s.plants(p.PlantsLookedAt), organism, s.number(p.UpperPercent)+" %")
	if p.InfestedPlants > 0 {
		out = s.share(s.short(p.Week), s.counts(p.InfestedPlants, p.PlantsLookedAt), organism,
			fmt.Sprintf("%s %% (%s–%s)", s.number(p.InfestedPercent), s.number(p.LowerPercent), s.number(p.UpperPercent)))
	}
	if c := x.Change; c != nil {
		out += " " + s.since(s.short(c.SinceWeek), s.signed(c.Points), s.signed(c.LowerPoints), s.signed(c.UpperPoints), c.LowerPoints > 0 || c.UpperPoints < 0)
	}
	if x.OverLimitPercent != nil && x.OverLimitOn != nil {
		out += " " + s.chance(strconv.FormatFloat(min(max(*x.OverLimitPercent, 1), 99), 'f', 0, 64)+" %", s.date(*x.OverLimitOn))
	}
	return out
}

// decision is what was decided, and whether it was done.
func (s spoken) decision(x wire.WeekDecision) string {
	d := x.Decision
	done := s.notDone
	if !d.DoneOn.IsZero() {
		done = s.done(s.date(d.DoneOn))
	}
	return s.decided(s.choice[d.Choice], x.Cultivar, x.House, d.DecidedBy.Name, s.date(domain.DateOf(d.DecidedAt))) + ": " + done
}
