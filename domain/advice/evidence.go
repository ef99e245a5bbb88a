package advice

import (
	"benchtrail/domain"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// Reading is all that is known of one cultivar in one house on one day.
type Reading struct {
	Today  domain.Date
	Points []trend.Point // week by week, the oldest first
	Course trend.Course  // followed from the points
	Limits []Threshold   // those that speak of the cultivar in the house
	Blocks []BlockLook   // of the latest week with looks
	ActBy  domain.Date   // until when a change of programme still works; zero: not known

	StandingPlants int // of the cultivar in the house
	StandingBlocks int
	HousePlants    int  // of every cultivar in the house
	LargestPlants  int  // of the cultivar with the most in the house
	Gone           bool // it stood there and does not any more

	Foliage  stock.Foliage
	Contrast trend.FoliageContrast // of all dark with all light cultivars of the house
	Signs    Signs                 // of the last weeks, whose number is SignWeeks

	Regulated bool // the organism is one that authorities may have to be told of
	Held      bool // plants of the cultivar there are on hold
}

// SignWeeks is how far back signs are read: about as long as a nymph takes to
// grow up at 22 °C on poinsettia (after Enkegaard 1993, Bull. Entomol. Res., whose
// 327 day-degrees above 14 °C make 41 days from egg to adult, 13 of them as an egg),
// rounded down to whole weeks so that old finds do not outlive what left them.
const SignWeeks = 3

// BlockLook is what was looked at in one block.
type BlockLook struct {
	BlockID          domain.ID
	Plants, Infested int // of the cultivar
	AllPlants        int // of every cultivar of the block; 0 when it is the only one
	AllStanding      int // plants of every cultivar that stood there; 0 when not known
}

// enough reports whether so many plants of the block were looked at, or all of a block
// that holds fewer.
func (b BlockLook) enough(least int) bool {
	looked := max(b.Plants, b.AllPlants)
	return looked >= least || b.AllStanding > 0 && looked >= b.AllStanding
}

// Signs are what was noted next to infested or not. Only looks count at which signs were
// looked for: what was not looked for is not absent.
type Signs struct {
	Looks, Plants int // at which signs were looked for, and the plants of them

	NewGrowth int // plants with a living stage on new growth
	Adults    int // plants with adults

	// Densely covered leaves are noted of plants one by one, which a tally cannot do.
	PlantByPlant int // plants of the looks that noted them so
	DenseLeaves  int // those with a densely covered leaf

	// Notes of late nymphs, which are large nymphs and pupae, by what became of them.
	LateAlive, LateParasitised, LateHostFed, LateDried int
}

// Late counts the notes of late nymphs.
func (s Signs) Late() int { return s.LateAlive + s.LateNotHealthy() }

// LateNotHealthy counts those not alive and healthy. Parasitism by itself would
// mislead: where Eretmocerus eremicus kept whitefly down, 16 to 28 % of the nymphs
// were parasitised and most died because the wasps fed on them (Hoddle et al. 1999,
// Bull. Entomol. Res. 89:41-51).
func (s Signs) LateNotHealthy() int { return s.LateParasitised + s.LateHostFed + s.LateDried }

// Direction is where a line of evidence points.
type Direction string

// The directions.
const (
	ForBiological     Direction = "for_biological"
	AgainstBiological Direction = "against_biological"
	Open              Direction = "open"
)

// EvidenceCode names a line of evidence.
type EvidenceCode string

// The lines of evidence, in the order they are given in.
const (
	LimitLine        EvidenceCode = "limit"
	ForecastLine     EvidenceCode = "forecast"
	GrowthLine       EvidenceCode = "growth"
	SpreadLine       EvidenceCode = "spread"
	FoliageLine      EvidenceCode = "foliage"
	MainCultivarLine EvidenceCode = "main_cultivar"
	NewGrowthLine    EvidenceCode = "new_growth"
	AdultsLine       EvidenceCode = "adults"
	DenseLeavesLine  EvidenceCode = "dense_leaves"
	LateNymphsLine   EvidenceCode = "late_nymphs"
	SamplingLine     EvidenceCode = "sampling"
	TimeLeftLine     EvidenceCode = "time_left"
)

// Finding is what a line of evidence found.
type Finding string

// The findings. Those of the limit are the Standings, and those of foliage the codes of
// trend.FoliageContrast.
const (
	Rising         Finding = "rising"
	Falling        Finding = "falling"
	Steady         Finding = "steady"
	CannotSay      Finding = "cannot_say"
	SingleBlock    Finding = "single_block" // one of at least two looked at
	HotSpots       Finding = "hot_spots"
	Widespread     Finding = "widespread"
	NoneFound      Finding = "none_found"
	Main           Finding = "main"
	NotMain        Finding = "not_main"
	WasFound       Finding = "found"
	NotFound       Finding = "not_found"
	NotLookedFor   Finding = "not_looked_for"
	MostNotHealthy Finding = "most_not_healthy"
	MostHealthy    Finding = "most_healthy"
	Met            Finding = "met"
	NotMet         Finding = "not_met"
	EnoughTime     Finding = "time"
	ShortTime      Finding = "short"
	PastTime       Finding = "past"
)

// Evidence is one line of it: what was found, where that points and the numbers it
// rests on. Numbers that do not belong to the line are zero or nil.
type Evidence struct {
	Code      EvidenceCode
	Direction Direction
	Finding   Finding

	Plants, Infested                                  int // looked at, and those of them the line is about
	Percent, LowerPercent, UpperPercent, LimitPercent *float64
	On                                                domain.Date
	Blocks, OfBlocks                                  int
	Weeks                                             int
	Days                                              *int
}

// Rules are the numbers that the evidence and the suggestion go by. All but the
// chances are common practice where no source is named.
type Rules struct {
	OverChance      float64 // from this chance on, a forecast says that the limit will be passed
	UnderChance     float64 // up to this chance, that it will not
	LeastPlants     int     // looked at in all weeks, before a crop is called lost
	LeastBlocks     int     // looked at, before hot spots are told from widespread
	HotSpotShare    float64 // of the blocks looked at, in which hot spots may lie at most
	MainShare       float64 // of the plants of a house, from which a cultivar is a main one
	LeastShare      float64 // of the standing plants, that a round has to look at
	LeastInBlock    int     // plants to look at in a block, or all where fewer stand
	LeastBlockShare float64 // of the blocks, that a round has to visit
	MostDaysOld     int     // of the latest looks, before they are too old to go by
	LeastDays       int     // in which a change of programme can still be repeated
	LeastWithSign   int     // plants that show a sign, before it points anywhere
	LeastSignShare  float64 // of the plants looked at for it, likewise
	LeastNotes      int     // of large nymphs, before what became of them points anywhere
}

// UsualRules are the rules to begin with. A round looks at 15 to 20 plants on each of at
// least half of the benches (ONfloriculture, 25 September 2018), or at 5 % of the crop
// (ONfloriculture, 2023, in Floral Daily, article 9569199). Repeated sprays need weeks:
// the switch is made from mid-September to early October so that they can work
// (ONfloriculture, 24 September 2020). The chances were chosen by trying the advice
// out on some thousand invented seasons: 0.90 calls lost crops earlier than the plain
// percentage of mid-September at fewer false alarms; 0.88 already had more.
func UsualRules() Rules {
	return Rules{
		OverChance: 0.90, UnderChance: 0.30, LeastPlants: 60,
		LeastBlocks: 3, HotSpotShare: 1.0 / 3, MainShare: 0.25,
		LeastShare: 0.05, LeastInBlock: 15, LeastBlockShare: 0.5, MostDaysOld: 14, LeastDays: 14,
		LeastWithSign: 3, LeastSignShare: 0.05, LeastNotes: 20,
	}
}
