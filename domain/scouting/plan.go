package scouting

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"benchtrail/domain"
)

// Rules are what a round of scouting has to fulfil. No member may be left out;
// [UsualRules] gives common practice to start from.
type Rules struct {
	CropPercent     float64 // of the plants of the house, above 0 to 100
	BlocksPercent   float64 // of its blocks with plants, above 0 to 100
	PlantsLeast     int     // in a block that is visited, at least 1
	PlantsMost      int     // planned in a block, PlantsLeast to MostPlantsInABlock
	SecondsPerPlant float64 // above 0
	MinutesPerBlock float64 // on the way to a block and back, from 0
	Stop            StopRules
}

// MostPlantsInABlock is the most plants that rules can ask for in one block.
const MostPlantsInABlock = 200

// UsualRules are 5 % of the crop, half of the blocks and 15 to 20 plants in each:
// the rates of ONfloriculture (25 September 2018, "Tipping Point for Whitefly
// Control in Poinsettia", and 2023 for the 5 %). The times are common practice.
func UsualRules() Rules {
	return Rules{
		CropPercent: 5, BlocksPercent: 50, PlantsLeast: 15, PlantsMost: 20, SecondsPerPlant: 12, MinutesPerBlock: 1.5, Stop: UsualStopRules(),
	}
}

// Check gives everything wrong with the rules as domain.Faults, or nil.
func (r Rules) Check() error {
	var f domain.Faults
	within := func(ok bool, path string) {
		if !ok {
			f.Add(path, "out_of_range", "is out of range")
		}
	}
	within(r.CropPercent > 0 && r.CropPercent <= 100, "/crop_percent")
	within(r.BlocksPercent > 0 && r.BlocksPercent <= 100, "/blocks_percent")
	within(r.PlantsLeast >= 1, "/plants_per_block_least")
	within(r.PlantsMost >= r.PlantsLeast && r.PlantsMost <= MostPlantsInABlock, "/plants_per_block_most")
	within(r.SecondsPerPlant > 0 && !math.IsInf(r.SecondsPerPlant, 0), "/seconds_per_plant")
	within(r.MinutesPerBlock >= 0 && !math.IsInf(r.MinutesPerBlock, 0), "/minutes_per_block")
	r.Stop.check(&f)
	return f.Err()
}

// House is what is known of a house before its round.
type House struct {
	Stands   []Stand
	Limits   map[domain.ID]float64 // by cultivar: the next share to act on, percent
	Smallest map[domain.ID]int     // by cultivar: plants to look at before that limit is judged
}

// Found is how many plants were looked at, and how many of them were infested.
type Found struct{ Plants, Infested int }

// Stand is the plants of one lot in one block. Where none stand any longer, or
// the lot is not known, what was looked at still counts as done.
type Stand struct {
	BlockID    domain.ID
	Position   int // of the block in the house
	LotID      domain.ID
	CultivarID domain.ID
	ArrivalID  domain.ID // the shipment
	Light      bool      // light foliage
	Found      bool      // the arrival had findings at the dock or the second look
	Plants     int       // standing

	LookedOn domain.Date // the block, any of its lots, before this week; zero for never
	Earlier  []Found     // in the weeks before, the last one first
	Done     Found       // this week
}

// Reason is why a lot is looked at in a block, or why more of it.
type Reason string

// The reasons.
const (
	ForPanel          Reason = "panel"           // the block is looked at every week
	ForTurn           Reason = "turn"            // it is the block's turn
	ForCultivar       Reason = "cultivar"        // else the cultivar would not be looked at
	ForArrival        Reason = "arrival"         // else the arrival would not be looked at
	ForLightFoliage   Reason = "light_foliage"   // more, for whitefly prefers light leaves
	ForArrivalFinding Reason = "arrival_finding" // more, for something was found when it arrived
	ForNearLimit      Reason = "near_limit"      // more, for it is not settled on which side of its limit it is
	ForCropShare      Reason = "crop_share"      // the share of the crop asks for it
)

// Plan is the round of a house in a week.
type Plan struct {
	Seed             Seed
	Minutes          float64
	MinutesGiven     float64 // 0: as many as the rules need
	Plants           int
	Standing         int
	BlocksWithPlants int
	Rules            []RuleKept
	Blocks           []PlannedBlock // in walking order
	Stops            []Stop         // one for each cultivar that stands in the house
}

// PlannedBlock is a block to visit.
type PlannedBlock struct {
	BlockID  domain.ID
	Position int
	Panel    bool // visited every week
	Minutes  float64
	Looks    []PlannedLook
}

// PlannedLook is so many plants of one lot in one block.
type PlannedLook struct {
	LotID, CultivarID domain.ID
	Standing          int
	Plants            int
	Done              int   // looked at this week
	Positions         []int // of the lot's plants, counted from 1 along the block
	Reasons           []Reason
}

// PlanRound plans the round of a house. With minutes of 0 it takes as long as the
// rules need; else it takes at most so many.
//
// Blocks are chosen first, each with the least plants: for every cultivar the
// block that comes first by the season's seed; with the blocks that follow by
// that seed these are the panel, half of the blocks asked for or more where there
// are more cultivars, so that the same blocks are compared every week; for every
// arrival not yet among them, and then up to the share of blocks, the blocks
// looked at least recently, a quarter of those asked for at least. Then plants and
// blocks are added up to the share of the crop, at most PlantsMost in a block.
// Last come extra plants, for what deserves more (see [Reason]). Where the
// minutes are too few, this order backwards is the order in which rules give way:
// extra plants, the share of the crop, the share of blocks, arrivals, the panel,
// and cultivars only when nothing else is left. The least plants of a visited
// block never give way. The share of the crop also gives way to PlantsMost.
//
// A plan does not depend on what was looked at this week, except in what it says
// is done. The order (common practice for the rules themselves) is ours.
// Errors are domain.Faults.
func PlanRound(h House, rules Rules, minutes float64, seed Seed) (Plan, error) {
	if err := check(h, rules, minutes); err != nil {
		return Plan{}, err
	}
	r := newRound(h, rules, minutes, seed)
	r.chooseBlocks()
	r.reachCropShare()
	r.addExtras()
	p := Plan{
		Seed: seed, Minutes: r.minutesFor(0, 0), MinutesGiven: minutes, Plants: r.plants, Standing: r.standing,
		BlocksWithPlants: len(r.plots), Rules: r.rulesKept(),
	}
	for _, plot := range r.plots {
		if plot.chosen {
			p.Blocks = append(p.Blocks, r.planned(plot))
		}
	}
	for _, v := range r.varieties {
		stop, err := r.stopFor(v)
		if err != nil {
			return Plan{}, fmt.Errorf("lay stop lines: %w", err)
		}
		p.Stops = append(p.Stops, stop)
	}
	return p, nil
}

func check(h House, rules Rules, minutes float64) error {
	if err := rules.Check(); err != nil {
		return err
	}
	var f domain.Faults
	if !(minutes >= 0) {
		f.Add("/minutes", "out_of_range", "is %v, must be from 0", minutes)
	}
	type place struct{ block, lot domain.ID }
	seen := make(map[place]bool, len(h.Stands))
	for i, s := range h.Stands {
		path := fmt.Sprintf("/stands/%d", i)
		f.Need(!s.BlockID.IsZero(), path+"/block_id")
		f.Need(!s.LotID.IsZero() || s.Plants == 0, path+"/lot_id")
		if seen[place{s.BlockID, s.LotID}] {
			f.Add(path, "twice", "the same lot stands twice in the same block")
		}
		seen[place{s.BlockID, s.LotID}] = true
		for _, found := range append([]Found{{Plants: s.Plants}, s.Done}, s.Earlier...) {
			if found.Infested < 0 || found.Infested > found.Plants {
				f.Add(path, "out_of_range", "%d infested of %d plants", found.Infested, found.Plants)
			}
		}
	}
	for cultivar, percent := range h.Limits {
		if !(percent >= 0 && percent <= 100) {
			f.Add("/limits/"+cultivar.String(), "out_of_range", "is %v, must be from 0 to 100", percent)
		}
	}
	return f.Err()
}

func (r *round) planned(x *plot) PlannedBlock {
	b := PlannedBlock{BlockID: x.id, Position: x.position, Panel: x.panel, Minutes: r.rules.minutes(1, x.plants)}
	for _, s := range x.shares {
		if s.plants == 0 {
			continue
		}
		b.Looks = append(b.Looks, PlannedLook{
			LotID: s.LotID, CultivarID: s.CultivarID, Standing: s.Plants, Plants: s.plants, Done: s.Done.Plants,
			Positions: positions(s.Plants, s.plants, r.seed.at(x.id, s.LotID)), Reasons: s.reasons,
		})
	}
	return b
}

// positions spreads n of the plants that stand, 1 to their number, at even
// distances from a random start: pests stand in clumps, so neighbours tell the
// same twice (systematic sampling with a random start, common practice).
func positions(standing, n int, drawn uint64) []int {
	start := int(drawn % uint64(standing)) //nolint:gosec // below standing
	out := make([]int, n)
	for i := range out {
		out[i] = (start+i*standing)/n + 1
	}
	return out
}

// minutes is how long so many blocks and plants take.
func (r Rules) minutes(blocks, plants int) float64 {
	return float64(blocks)*r.MinutesPerBlock + float64(plants)*r.SecondsPerPlant/60
}

func sortedByID[T any](of map[domain.ID]T) []domain.ID {
	ids := make([]domain.ID, 0, len(of))
	for id := range of {
		ids = append(ids, id)
	}
	slices.SortFunc(ids, compareIDs)
	return ids
}

func compareIDs(a, b domain.ID) int { return slices.Compare(a[:], b[:]) }

func compareWalk(a, b *plot) int {
	return cmp.Or(cmp.Compare(a.position, b.position), compareIDs(a.id, b.id))
}
