package advice

import (
	"math"

	"benchtrail/domain"
	"benchtrail/domain/stats"
	"benchtrail/domain/trend"
)

// Evidence gives the twelve lines of evidence, in the order of their codes.
func (r Rules) Evidence(x Reading) []Evidence {
	lines := []Evidence{
		limitLine(x), r.forecastLine(x), growthLine(x), r.spreadLine(x), r.foliageLine(x), r.mainCultivarLine(x),
		r.signLine(NewGrowthLine, x.Signs.NewGrowth, x.Signs.Plants), r.signLine(AdultsLine, x.Signs.Adults, x.Signs.Plants),
		r.signLine(DenseLeavesLine, x.Signs.DenseLeaves, x.Signs.PlantByPlant), r.lateNymphsLine(x.Signs), r.samplingLine(x), r.timeLine(x),
	}
	for i := range lines {
		if lines[i].Direction == "" {
			lines[i].Direction = Open
		}
	}
	return lines
}

func (x Reading) latest() trend.Point {
	if len(x.Points) == 0 {
		return trend.Point{}
	}
	return x.Points[len(x.Points)-1]
}

func limitLine(x Reading) Evidence {
	a := Judge(x.Points, x.Limits, x.Today)
	e := Evidence{Code: LimitLine, Finding: Finding(a.Standing)}
	if a.Standing == NoLooks {
		e.Finding = CannotSay
		return e
	}
	e.Plants, e.Infested = a.Point.Plants, a.Point.Infested
	e.Percent, e.LowerPercent, e.UpperPercent = known(a.Point.Percent), known(a.Point.LowerPercent), known(a.Point.UpperPercent)
	if a.Standing != NoLimit {
		e.LimitPercent, e.On = known(a.Limit.Percent), a.Limit.FromOn
	}
	switch a.Standing {
	case Below:
		e.Direction = ForBiological
	case Above:
		e.Direction = AgainstBiological
	}
	return e
}

func (r Rules) forecastLine(x Reading) Evidence {
	f := forecastOf(x)
	e := Evidence{Code: ForecastLine, Finding: CannotSay, Weeks: x.Course.Weeks(), Plants: x.Course.Plants()}
	if f.limited() {
		e.LimitPercent, e.On = known(f.limit.Percent), f.on
	}
	if !f.known {
		if len(x.Points) > 0 && !f.limited() {
			e.Finding = Finding(NoLimit)
		}
		return e
	}
	ahead := x.Course.At(f.on)
	e.Percent, e.LowerPercent, e.UpperPercent = known(ahead.Percent), known(ahead.Lower90), known(ahead.Upper90)
	switch {
	case f.chance >= r.OverChance:
		e.Finding, e.Direction = Finding(Above), AgainstBiological
	case f.chance <= r.UnderChance:
		e.Finding, e.Direction = Finding(Below), ForBiological
	default:
		e.Finding = Finding(TooClose)
	}
	return e
}

func growthLine(x Reading) Evidence {
	g := x.Course.Growth()
	e := Evidence{Code: GrowthLine, Finding: CannotSay, Weeks: g.Weeks, Plants: g.Plants}
	switch {
	case !g.Known:
	case g.Lower > 1:
		e.Finding, e.Direction = Rising, AgainstBiological
	case g.Upper < 1:
		e.Finding, e.Direction = Falling, ForBiological
	default:
		e.Finding = Steady
	}
	return e
}

// spreadLine tells a few blocks from all over the house: that can be dealt with on
// the spot, this cannot.
func (r Rules) spreadLine(x Reading) Evidence {
	e := Evidence{Code: SpreadLine, Finding: CannotSay}
	for _, b := range x.Blocks {
		if b.Plants <= 0 {
			continue
		}
		e.OfBlocks++
		e.Plants += b.Plants
		e.Infested += b.Infested
		if b.Infested > 0 {
			e.Blocks++
		}
	}
	switch {
	case e.OfBlocks > 0 && e.Blocks == 0:
		e.Finding = NoneFound
	case e.OfBlocks < 2:
	case e.Blocks == 1:
		e.Finding = SingleBlock
		if e.OfBlocks >= r.LeastBlocks {
			e.Direction = ForBiological
		}
	case e.OfBlocks >= r.LeastBlocks && float64(e.Blocks) <= r.HotSpotShare*float64(e.OfBlocks):
		e.Finding, e.Direction = HotSpots, ForBiological
	default:
		e.Finding, e.Direction = Widespread, AgainstBiological
	}
	return e
}

// foliageLine: whitefly takes light leaves first, so finds on dark ones mean that it
// is widespread (common practice), unless they are few. The counts are those of the dark
// cultivars.
func (r Rules) foliageLine(x Reading) Evidence {
	e := Evidence{Code: FoliageLine, Finding: Finding(x.Contrast.Code)}
	e.count(x.Contrast.DarkInfested, x.Contrast.DarkPlants)
	switch x.Contrast.Code {
	case "": // nothing was compared
		e.Finding = CannotSay
	case trend.DarkToo, trend.DarkMore:
		if !r.few(e) {
			e.Direction = AgainstBiological
		}
	case trend.LightOnly:
		e.Direction = ForBiological
	}
	return e
}

// mainCultivarLine: whether what most of the house depends on is hit (common
// practice). The percentage is that of the plants of the house.
func (r Rules) mainCultivarLine(x Reading) Evidence {
	e := Evidence{Code: MainCultivarLine, Finding: CannotSay}
	if x.StandingPlants <= 0 || x.HousePlants <= 0 {
		return e
	}
	share := math.Min(float64(x.StandingPlants)/float64(x.HousePlants), 1)
	e.Percent = known(100 * share)
	switch {
	case share < r.MainShare && x.StandingPlants < x.LargestPlants:
		e.Finding, e.Direction = NotMain, ForBiological
	default:
		e.Finding = Main
		if x.latest().Infested > 0 {
			e.Direction = AgainstBiological
		}
	}
	return e
}

// signLine: new growth colonised means that natural enemies are losing
// (ONfloriculture, 24 September 2020); adults will lay again and dense leaves
// are beyond what wasps clear (common practice). A few plants with a sign leave it open.
func (r Rules) signLine(code EvidenceCode, with, plants int) Evidence {
	e := Evidence{Code: code, Finding: NotLookedFor, Weeks: SignWeeks}
	if plants <= 0 {
		return e
	}
	e.count(min(with, plants), plants)
	e.Finding, e.Direction = NotFound, ForBiological
	if with > 0 {
		if e.Finding, e.Direction = WasFound, AgainstBiological; r.few(e) {
			e.Direction = Open
		}
	}
	return e
}

// few reports whether the plants counted are too few to point anywhere.
func (r Rules) few(e Evidence) bool {
	return e.Infested < r.LeastWithSign || float64(e.Infested) < r.LeastSignShare*float64(e.Plants)
}

// lateNymphsLine counts notes, not plants: a plant may carry living and dead
// ones. The line is about those not alive and healthy, and points nowhere from a few notes.
func (r Rules) lateNymphsLine(s Signs) Evidence {
	e := Evidence{Code: LateNymphsLine, Finding: NotLookedFor, Weeks: SignWeeks}
	if s.Looks <= 0 {
		return e
	}
	if s.Late() == 0 {
		e.Finding = NotFound
		return e
	}
	e.count(s.LateNotHealthy(), s.Late())
	e.Finding = CannotSay
	switch {
	case e.LowerPercent == nil || s.Late() < r.LeastNotes:
	case *e.LowerPercent > 50:
		e.Finding, e.Direction = MostNotHealthy, ForBiological
	case *e.UpperPercent < 50:
		e.Finding, e.Direction = MostHealthy, AgainstBiological
	}
	return e
}

// samplingLine says whether the latest round looked at enough to go by. Blocks are those
// looked at, the percentage is that of the standing plants.
func (r Rules) samplingLine(x Reading) Evidence {
	e := Evidence{Code: SamplingLine, Finding: CannotSay, OfBlocks: x.StandingBlocks, Plants: x.latest().Plants}
	if len(x.Points) == 0 {
		return e
	}
	inEach := true
	for _, b := range x.Blocks {
		if b.Plants > 0 {
			e.Blocks++
			inEach = inEach && b.enough(r.LeastInBlock)
		}
	}
	if x.StandingPlants > 0 {
		e.Percent = known(math.Min(100*float64(e.Plants)/float64(x.StandingPlants), 100))
	}
	age := x.age()
	e.Days, e.Finding = &age, NotMet
	enough := e.Plants >= part(r.LeastShare, x.StandingPlants) && e.Blocks >= part(r.LeastBlockShare, x.StandingBlocks)
	if e.Blocks > 0 && enough && inEach && age <= r.MostDaysOld {
		e.Finding = Met
	}
	return e
}

// part is how many a share of so many is, rounded up; a share is seldom an exact binary
// number, and 7 % of 100 is not 8.
func part(share float64, of int) int { return int(math.Ceil(share*float64(max(of, 0)) - 1e-9)) }

// age is how many days ago the week of the latest looks ended; 0 while it lasts.
func (x Reading) age() int { return max(0, x.latest().WeekStart.AddDays(6).DaysUntil(x.Today)) }

// isOver reports whether the crop is over its limit, or bound to be: time to wait and see
// then speaks for nothing.
func (r Rules) isOver(x Reading) bool {
	f := forecastOf(x)
	return Judge(x.Points, x.Limits, x.Today).Standing == Above || f.known && f.chance >= r.OverChance
}

func (r Rules) timeLine(x Reading) Evidence {
	e := Evidence{Code: TimeLeftLine, Finding: CannotSay, On: x.actBy()}
	if e.On.IsZero() {
		return e
	}
	days := x.Today.DaysUntil(e.On)
	e.Days = &days
	switch {
	case days < 0:
		e.Finding = PastTime
	case days < r.LeastDays:
		e.Finding = ShortTime
	default:
		e.Finding = EnoughTime
		if !r.isOver(x) {
			e.Direction = ForBiological
		}
	}
	return e
}

// actBy falls back on the last day of the limit that is judged.
func (x Reading) actBy() (on domain.Date) {
	if !x.ActBy.IsZero() {
		return x.ActBy
	}
	if limit, ok := next(x.Limits, x.Today); ok {
		return limit.ToOn
	}
	return on
}

// count sets the counts with their share and Wilson's interval; nothing looked
// at has none.
func (e *Evidence) count(infested, plants int) {
	e.Infested, e.Plants = infested, plants
	p := stats.Proportion{Examined: plants, Infested: infested}
	interval, err := stats.Wilson(p, trend.Confidence)
	if err != nil {
		return
	}
	e.Percent = known(100 * float64(infested) / float64(plants))
	e.LowerPercent, e.UpperPercent = known(100*interval.Lower), known(100*interval.Upper)
}

func known(x float64) *float64 { return &x }
