package advice

import (
	"math"
	"slices"

	"benchtrail/domain"
)

// SuggestionCode says what the evidence suggests.
type SuggestionCode string

// The suggestions.
const (
	LookAtMore        SuggestionCode = "look_at_more"
	StayBiological    SuggestionCode = "stay_biological"
	DealWithHotSpots  SuggestionCode = "deal_with_hot_spots"
	ConsiderSelective SuggestionCode = "consider_selective"
	NothingToSay      SuggestionCode = "nothing_to_say"
)

// Suggestion is what the evidence suggests. A person decides.
type Suggestion struct {
	Code    SuggestionCode
	Reasons []EvidenceCode // the weightiest first
	// For LookAtMore: the fewest more plants that could settle it, and the likely
	// number; 0 when not known. Of plants known to stand there never more than are left.
	Fewest, Likely int
	// Which outcome of the fewest settles it; any other asks to look on. Unset where no
	// outcome has to be waited for, or no number settles it.
	Settles  Outcome
	Cautions []Caution
}

// Outcome is what further plants may turn out to be.
type Outcome string

// The outcomes.
const (
	NoneInfested Outcome = "none"
	AllInfested  Outcome = "all"
)

// forecast is what the course says of the day the next limit comes into force.
type forecast struct {
	limit  Threshold // unset when there is none
	on     domain.Date
	known  bool    // there is a limit, and the looks are enough to look ahead
	chance float64 // of being over it then, 0 to 1
}

func (f forecast) limited() bool { return !f.limit.ToOn.IsZero() }

func forecastOf(x Reading) forecast {
	on, limit := Horizon(x.Limits, x.Today)
	f := forecast{limit: limit, on: on}
	if len(x.Points) > 0 && f.limited() && x.Course.Known() {
		f.chance = x.Course.ChanceOver(limit.Percent, on)
		f.known = !math.IsNaN(f.chance)
	}
	return f
}

// state is where a reading stands, for the rules to be read off.
type state struct {
	Reading
	lines    map[EvidenceCode]Evidence
	answer   Answer
	forecast forecast
	decisive bool // the limit judged is in force and no higher one follows it
	plants   int  // looked at in all weeks
	least    int  // of them, before the crop is called lost
}

func (r Rules) stateOf(x Reading, lines []Evidence) state {
	s := state{Reading: x, lines: map[EvidenceCode]Evidence{}, answer: Judge(x.Points, x.Limits, x.Today), forecast: forecastOf(x)}
	for _, e := range lines {
		s.lines[e.Code] = e
	}
	for _, p := range x.Points {
		s.plants += p.Plants
	}
	// Of a crop smaller than that, all of it is enough.
	s.least = r.LeastPlants
	if x.StandingPlants > 0 {
		s.least = min(s.least, x.StandingPlants)
	}
	// A limit that a higher one follows is a mark on the way: whoever passes it is
	// likely to pass the higher one, which is what the forecast says with more in
	// hand. So the arrival limit never decides by itself.
	inForce := !s.answer.Limit.FromOn.After(x.Today)
	s.decisive = inForce && !(s.forecast.limited() && s.forecast.limit.Percent > s.answer.Limit.Percent)
	return s
}

// Suggest reads the suggestion off an ordered list of rules; the first that holds
// speaks. There is no score: each rule can be said in a sentence.
func (r Rules) Suggest(x Reading, lines []Evidence) Suggestion {
	s := r.stateOf(x, lines)
	suggestion := r.choose(s)
	suggestion.Reasons = reasons(suggestion.Code, s, suggestion.Reasons)
	suggestion.Cautions = cautions(suggestion.Code, x)
	return suggestion
}

// choose gives the suggestion with the lines that brought it about.
func (r Rules) choose(s state) Suggestion {
	standing, f := s.answer.Standing, s.forecast
	spread := s.lines[SpreadLine]
	inFewBlocks := spread.Finding == HotSpots || spread.Finding == SingleBlock && spread.OfBlocks >= r.LeastBlocks
	// A limit that asks for so many plants is not judged on fewer, nor foretold.
	foretold := f.known && f.chance >= r.OverChance && (!s.decisive || standing != TooFew)
	// Without a forecast, a share that is wholly over a limit still to come is not
	// going to fall below it by itself.
	over := standing == Above && (s.decisive || !f.known && s.answer.Limit.Percent >= f.limit.Percent)
	likely := standing == Above || f.known && f.chance > 0.5
	enough := s.plants >= s.least

	switch {
	// There is nothing to do about plants that are gone.
	case s.Gone:
		return Suggestion{Code: NothingToSay}

	// Nothing was looked at, or nothing says how much is too much.
	case standing == NoLooks || standing == NoLimit:
		return Suggestion{Code: NothingToSay, Reasons: []EvidenceCode{LimitLine}}

	// Whitefly can grow tenfold in four weeks (University of Delaware, Kent County,
	// 6 September 2008): old looks say nothing of today.
	case s.age() > r.MostDaysOld:
		return r.nextRound(s, SamplingLine)

	// Lost, as far as anyone can tell, and all over the house.
	case (over || foretold) && enough && !inFewBlocks:
		return Suggestion{Code: ConsiderSelective, Reasons: because(over, LimitLine, foretold, ForecastLine)}

	// The same, or merely likely, in a few blocks: there it can be stopped without
	// giving up natural enemies in the rest of the house.
	case likely && inFewBlocks:
		return Suggestion{Code: DealWithHotSpots, Reasons: append([]EvidenceCode{SpreadLine},
			because(standing == Above, LimitLine, f.known && f.chance > 0.5, ForecastLine)...)}

	// Too few plants to call a crop lost by.
	case over || foretold:
		more := r.nextRound(s, SamplingLine)
		more.Fewest = s.least - s.plants
		more.Likely = max(s.left(more.Likely), more.Fewest)
		return more

	// Below, and expected to stay there. As long as no limit decides today, the
	// forecast says enough.
	case s.decisive && standing == Below && (!f.known || f.chance <= r.UnderChance),
		!s.decisive && f.known && f.chance <= r.UnderChance,
		!s.decisive && !f.known && standing == Below:
		return Suggestion{Code: StayBiological, Reasons: because(standing == Below, LimitLine, f.known, ForecastLine)}
	}
	return r.undecided(s)
}

// undecided looks for the number of plants that would settle it.
func (r Rules) undecided(s state) Suggestion {
	standing, f := s.answer.Standing, s.forecast
	var fewest, likely int
	var settles Outcome
	line := LimitLine
	switch {
	case standing == TooFew:
		fewest, likely = s.answer.MorePlants, s.answer.MorePlants
	case s.decisive && standing == TooClose:
		fewest, likely, settles = morePlants(s.answer.Point, s.answer.Limit.Percent)
	case f.known:
		line = ForecastLine
		if percent, ok := s.broughtBack(); ok && s.answer.Point.LowerPercent <= percent && percent <= s.answer.Point.UpperPercent {
			fewest, likely, settles = morePlants(s.answer.Point, percent)
		}
	case standing == TooClose:
		fewest, likely, settles = morePlants(s.answer.Point, s.answer.Limit.Percent)
	}
	if fewest > 0 && s.left(fewest) == fewest {
		return Suggestion{Code: LookAtMore, Reasons: []EvidenceCode{line}, Fewest: fewest, Likely: s.left(likely), Settles: settles}
	}
	// What is open is how it grows: the next round tells, if there is time for one.
	if f.limited() && s.Today.DaysUntil(f.on) >= 7 {
		return r.nextRound(s, line)
	}
	return Suggestion{Code: NothingToSay, Reasons: []EvidenceCode{line}}
}

// left caps a number of further plants at those that stand there and were not looked at
// in the latest week.
func (s state) left(more int) int {
	if s.StandingPlants <= 0 {
		return more
	}
	return min(more, max(s.StandingPlants-s.answer.Point.Plants, 0))
}

// broughtBack is the limit to come, as a share today that would grow to just that.
func (s state) broughtBack() (percent float64, ok bool) {
	odds := func(percent float64) float64 { return percent / (100 - percent) }
	growth := odds(s.Course.At(s.forecast.on).Percent) / odds(s.Course.At(s.Course.LatestOn()).Percent)
	then := odds(s.forecast.limit.Percent) / growth
	percent = 100 * then / (1 + then)
	return percent, percent > 0 && percent < 100
}

// nextRound asks for a whole round by the rules of sampling.
func (r Rules) nextRound(s state, line EvidenceCode) Suggestion {
	n := max(part(r.LeastShare, s.StandingPlants), max(part(r.LeastBlockShare, s.StandingBlocks), 1)*r.LeastInBlock)
	if s.StandingPlants > 0 {
		n = min(n, s.StandingPlants)
	}
	return Suggestion{Code: LookAtMore, Reasons: []EvidenceCode{line}, Fewest: n, Likely: n}
}

// Call reports whether the advice gives the crop up to other means today: it suggests
// to consider selective control. Hot spots are no such call.
func (r Rules) Call(x Reading) bool { return r.Suggest(x, r.Evidence(x)).Code == ConsiderSelective }

func because(first bool, firstLine EvidenceCode, second bool, secondLine EvidenceCode) []EvidenceCode {
	var lines []EvidenceCode
	if first {
		lines = append(lines, firstLine)
	}
	if second {
		lines = append(lines, secondLine)
	}
	return lines
}

// byWeight orders the lines by how much they tell of where the crop ends.
var byWeight = [...]EvidenceCode{
	ForecastLine, LimitLine, GrowthLine, SpreadLine, NewGrowthLine, FoliageLine, MainCultivarLine, DenseLeavesLine, LateNymphsLine, AdultsLine,
	SamplingLine, TimeLeftLine,
}

// reasons are the lines that brought the suggestion about and then the others that point the
// same way.
func reasons(code SuggestionCode, s state, first []EvidenceCode) []EvidenceCode {
	direction := map[SuggestionCode]Direction{StayBiological: ForBiological, ConsiderSelective: AgainstBiological}[code]
	for _, line := range byWeight {
		if e := s.lines[line]; direction != "" && e.Direction == direction && !slices.Contains(first, line) {
			first = append(first, line)
		}
	}
	return first
}
