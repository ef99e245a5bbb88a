package scouting

import (
	"math"

	"benchtrail/domain"
)

// Rule names one thing that a round has to fulfil.
type Rule string

// The rules.
const (
	CropShare      Rule = "crop_share"       // plants of the house
	BlockShare     Rule = "block_share"      // blocks of those with plants
	PlantsPerBlock Rule = "plants_per_block" // the fewest in a visited block
	Panel          Rule = "panel"            // blocks visited every week
	Cultivars      Rule = "cultivars"        // looked at, of those that stand there
	Arrivals       Rule = "arrivals"         // the same
)

// RuleKept is one rule, as planned and as walked so far.
type RuleKept struct {
	Rule          Rule
	Asked         float64
	Planned, Done float64
	Kept          bool // by the plan
	Met           bool // by the looks made this week
	// MinutesMore is what it would take on top of the plan to keep the rule, without
	// giving up anything that is planned; 0 when it is kept.
	MinutesMore float64
}

func ruleKept(rule Rule, asked, planned, done int, minutesMore float64) RuleKept {
	k := RuleKept{
		Rule: rule, Asked: float64(asked), Planned: float64(planned), Done: float64(done), Kept: planned >= asked, Met: done >= asked,
	}
	if !k.Kept {
		k.MinutesMore = minutesMore
	}
	return k
}

// rulesKept says of every rule what the plan and what the looks of the week
// make of it.
func (r *round) rulesKept() []RuleKept {
	done := r.done()
	return []RuleKept{
		ruleKept(CropShare, r.plantsAsked(), r.plants, done.plants, r.toReachCropShare()),
		ruleKept(BlockShare, r.blocksAsked(), r.blocks, len(done.inBlock), r.toTake(r.nextBlocks(r.blocksAsked()-r.blocks))),
		r.plantsPerBlock(done.inBlock),
		r.panelKept(done.inBlock),
		r.seen(Cultivars, len(r.varieties), done.cultivars, func(s *share) domain.ID { return s.CultivarID }),
		r.seen(Arrivals, len(r.arrivals), done.arrivals, func(s *share) domain.ID { return s.ArrivalID }),
	}
}

// done is what was looked at this week.
type done struct {
	plants              int
	inBlock             map[domain.ID]int // plants, by block visited
	cultivars, arrivals map[domain.ID]bool
}

func (r *round) done() done {
	d := done{inBlock: map[domain.ID]int{}, cultivars: map[domain.ID]bool{}, arrivals: map[domain.ID]bool{}}
	for _, s := range r.house.Stands {
		if s.Done.Plants == 0 {
			continue
		}
		d.plants += s.Done.Plants
		d.inBlock[s.BlockID] += s.Done.Plants
		if s.Plants > 0 {
			d.cultivars[s.CultivarID], d.arrivals[s.ArrivalID] = true, true
		}
	}
	return d
}

// plantsPerBlock is kept by the way plans are made. It is met when every block
// visited had its least plants looked at; a block that holds fewer needs only those.
func (r *round) plantsPerBlock(inBlock map[domain.ID]int) RuleKept {
	least := r.rules.PlantsLeast
	fewest := func(n, standing, soFar int) int {
		if n >= standing && standing < least {
			n = least
		}
		return min(n, soFar)
	}
	planned, looked := math.MaxInt, math.MaxInt
	for _, x := range r.plots {
		if x.chosen {
			planned = fewest(x.plants, x.standing, planned)
		}
		if n, visited := inBlock[x.id]; visited {
			looked = fewest(n, x.standing, looked)
		}
	}
	if planned == math.MaxInt { // nothing is planned, so there is nothing to keep
		return RuleKept{Rule: PlantsPerBlock, Asked: float64(least), Kept: true, Met: true}
	}
	if looked == math.MaxInt {
		looked = 0
	}
	return ruleKept(PlantsPerBlock, least, planned, looked, 0)
}

func (r *round) panelKept(inBlock map[domain.ID]int) RuleKept {
	var asked, planned, visited int
	var left []*plot
	for _, x := range r.plots {
		if !x.panel {
			continue
		}
		asked++
		if x.chosen {
			planned++
		} else {
			left = append(left, x)
		}
		if inBlock[x.id] > 0 {
			visited++
		}
	}
	return ruleKept(Panel, asked, planned, visited, r.toTake(left))
}

// seen says how many cultivars or arrivals are looked at.
func (r *round) seen(rule Rule, asked int, looked map[domain.ID]bool, of func(*share) domain.ID) RuleKept {
	planned := map[domain.ID]bool{}
	for _, x := range r.plots {
		for _, s := range x.shares {
			if s.plants > 0 {
				planned[of(s)] = true
			}
		}
	}
	k := ruleKept(rule, asked, len(planned), len(looked), 0)
	if k.Kept {
		return k
	}
	var blocks, plants int
	for _, x := range r.inTurn {
		taken := x.chosen
		for _, s := range x.shares {
			switch {
			case planned[of(s)]:
				continue
			case taken:
				plants++ // the block has more lots than plants to look at
			default:
				taken = true
				blocks++
				plants += x.baseSum
			}
			planned[of(s)] = true
		}
	}
	k.MinutesMore = r.rules.minutes(blocks, plants)
	return k
}

// nextBlocks are the next ones in turn that are not chosen, at most n.
func (r *round) nextBlocks(n int) []*plot {
	var out []*plot
	for _, x := range r.inTurn {
		if len(out) >= n {
			break
		}
		if !x.chosen {
			out = append(out, x)
		}
	}
	return out
}

// toTake is the time for further plots.
func (r *round) toTake(plots []*plot) float64 {
	plants := 0
	for _, x := range plots {
		plants += x.baseSum
	}
	return r.rules.minutes(len(plots), plants)
}

// toReachCropShare is the time for the plants that are lacking: in the visited
// blocks up to the most, then in further blocks, and when those are all visited
// beyond the most of each.
func (r *round) toReachCropShare() float64 {
	lacks := r.plantsAsked() - r.plants
	if lacks <= 0 {
		return 0
	}
	room := -r.plants
	for _, x := range r.plots {
		if x.chosen {
			room += min(max(r.rules.PlantsMost, x.plants), x.standing)
		}
	}
	plants, blocks := min(lacks, room), 0
	for _, x := range r.inTurn {
		if plants >= lacks {
			break
		}
		if !x.chosen {
			blocks++
			plants += max(x.baseSum, min(r.rules.PlantsMost, x.standing, lacks-plants))
		}
	}
	return r.rules.minutes(blocks, max(plants, lacks))
}
