package arrival

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"

	"benchtrail/domain"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
)

// Waiting is a lot at the dock that nobody has inspected.
type Waiting struct {
	LotID      domain.ID
	Code       string
	CultivarID domain.ID
	Foliage    stock.Foliage
	Plants     int
	FarmKnown  bool
	// Lots of the same farm (or, where it is not known, supplier) inspected
	// before, and those of them that carried the main pest.
	PastLots, PastLotsWithFinds int
}

// risk is the mean of the share of lots with finds after what was seen before,
// under a flat prior (Laplace's rule of succession): an unknown farm counts as
// one half, so that it comes before farms that were mostly free.
func (w Waiting) risk() float64 {
	return (float64(w.PastLotsWithFinds) + 1) / (float64(w.PastLots) + 2)
}

func (w Waiting) reasons() []Reason {
	var reasons []Reason
	if w.PastLots == 0 {
		reasons = append(reasons, Reason{Code: "no_history"})
	} else {
		reasons = append(reasons, Reason{Code: "past_finds", Numbers: map[string]float64{
			"lots_with_finds": float64(w.PastLotsWithFinds), "lots": float64(w.PastLots),
		}})
	}
	if !w.FarmKnown {
		reasons = append(reasons, Reason{Code: "farm_not_known"})
	}
	if w.Foliage == stock.LightFoliage {
		reasons = append(reasons, Reason{Code: "light_foliage"})
	}
	return reasons
}

// Pace is how long looking takes.
type Pace struct {
	SecondsPerPlant float64
	MinutesPerLot   float64 // to fetch, open and write up
}

// Step is one lot of a dock plan.
type Step struct {
	Waiting
	PlantsToLookAt  int
	Minutes         float64
	RulesOutPercent float64 // what the sample rules out when nothing is found; 0 for nothing
	Reasons         []Reason
}

// DockPlan is which lots to inspect in the time there is, first things first.
type DockPlan struct {
	Minutes     float64
	MinutesUsed float64
	Steps       []Step
	LeftOut     []domain.ID
}

// The shares of infested plants a plan tries to rule out, finest first.
var planLevels = [...]float64{0.01, 0.02, 0.03, 0.05, 0.07, 0.10, 0.15, 0.20, 0.30, 0.50}

// coarsestUseful is where looking at one more lot is worth more than looking
// closer at those before it: a lot that may be one fifth infested says little
// (common practice).
const coarsestUseful = 7 // planLevels[7] is 20 %

// PlanDock orders the waiting lots by what is known of their origin and spreads
// the minutes over them: every lot to the finest level that the time allows for
// all; where the time does not allow a fifth for all, the riskiest lots only.
// What is left sharpens the first lots. Confidence is a fraction below 1.
func PlanDock(lots []Waiting, minutes, confidence float64, pace Pace) (DockPlan, error) {
	plan := DockPlan{Minutes: minutes}
	lots = slices.Clone(lots)
	slices.SortFunc(lots, func(a, b Waiting) int {
		return cmp.Or(
			-cmp.Compare(a.risk(), b.risk()),
			-cmp.Compare(boolInt(a.Foliage == stock.LightFoliage), boolInt(b.Foliage == stock.LightFoliage)),
			-cmp.Compare(a.Plants, b.Plants),
			bytes.Compare(a.LotID[:], b.LotID[:]),
		)
	})
	sizes := make([][len(planLevels)]int, len(lots))
	for i, lot := range lots {
		for j, level := range planLevels {
			d, err := stats.SampleSizeToDetect(lot.Plants, level, confidence, 1)
			if err != nil {
				return DockPlan{}, fmt.Errorf("sample of lot %s: %w", lot.Code, err)
			}
			sizes[i][j] = d.Units // 0 where not one plant of the lot may be infested
			if !d.Attainable {
				sizes[i][j] = lot.Plants
			}
		}
	}
	cost := func(plants int) float64 { return pace.MinutesPerLot + float64(plants)*pace.SecondsPerPlant/60 }

	level := 0
	for ; level < coarsestUseful; level++ {
		total := 0.0
		for i := range lots {
			total += cost(sizes[i][level])
		}
		if total <= minutes {
			break
		}
	}
	chosen := []int{}
	for i, lot := range lots {
		if c := cost(sizes[i][level]); plan.MinutesUsed+c <= minutes {
			chosen = append(chosen, i)
			plan.MinutesUsed += c
		} else {
			plan.LeftOut = append(plan.LeftOut, lot.LotID)
		}
	}
	for _, i := range chosen {
		plants := sizes[i][level]
		for finer := 0; finer < level; finer++ {
			if more := cost(sizes[i][finer]) - cost(plants); more > 0 && plan.MinutesUsed+more <= minutes {
				plants, plan.MinutesUsed = sizes[i][finer], plan.MinutesUsed+more
				break
			}
		}
		out, err := stats.DetectableLevel(lots[i].Plants, plants, confidence, 1)
		if err != nil {
			return DockPlan{}, fmt.Errorf("what the sample of lot %s rules out: %w", lots[i].Code, err)
		}
		step := Step{Waiting: lots[i], PlantsToLookAt: plants, Minutes: cost(plants), Reasons: lots[i].reasons()}
		if out.Attainable {
			step.RulesOutPercent = 100 * out.Share
		}
		plan.Steps = append(plan.Steps, step)
	}
	return plan, nil
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}
