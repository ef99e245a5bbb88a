package scouting

import (
	"cmp"
	"math"
	"slices"

	"benchtrail/domain"
)

// round is a plan in the making.
type round struct {
	rules    Rules
	minutes  float64 // +Inf when as many as needed
	seed     Seed
	standing int
	house    House

	plots     []*plot    // the blocks with plants, in walking order
	inTurn    []*plot    // the same, looked at least recently first
	byPanel   []*plot    // the same, in the order of the season's seed
	varieties []*variety // by id
	arrivals  []domain.ID

	blocks int // chosen
	plants int // planned
}

// plot is a block with plants.
type plot struct {
	id       domain.ID
	position int
	standing int
	lookedOn domain.Date
	shares   []*share
	base     []int // the least plants, share by share
	baseSum  int
	plants   int // planned
	chosen   bool
	panel    bool
}

// share is the plants of one lot in a plot.
type share struct {
	Stand
	of      *variety
	plants  int // planned
	reasons []Reason
}

func (s *share) because(reason Reason) {
	if !slices.Contains(s.reasons, reason) {
		s.reasons = append(s.reasons, reason)
	}
}

func newRound(h House, rules Rules, minutes float64, seed Seed) *round {
	r := &round{rules: rules, minutes: minutes, seed: seed, house: h}
	if minutes == 0 {
		r.minutes = math.Inf(1)
	}
	plots, varieties, arrivals := map[domain.ID]*plot{}, map[domain.ID]*variety{}, map[domain.ID]bool{}
	for _, s := range h.Stands {
		if s.Plants == 0 {
			continue
		}
		x := plots[s.BlockID]
		if x == nil {
			x = &plot{id: s.BlockID, position: s.Position}
			plots[s.BlockID] = x
			r.plots = append(r.plots, x)
		}
		v := varieties[s.CultivarID]
		if v == nil {
			v = newVariety(s.CultivarID, h)
			varieties[s.CultivarID] = v
		}
		x.standing += s.Plants
		if s.LookedOn.Compare(x.lookedOn) > 0 {
			x.lookedOn = s.LookedOn
		}
		x.shares = append(x.shares, &share{Stand: s, of: v})
		v.standing += s.Plants
		r.standing += s.Plants
		arrivals[s.ArrivalID] = true
	}
	for _, s := range h.Stands {
		if v := varieties[s.CultivarID]; v != nil {
			v.learn(s) // also from where it no longer stands
		}
	}
	for _, id := range sortedByID(varieties) {
		varieties[id].settle()
		r.varieties = append(r.varieties, varieties[id])
	}
	r.arrivals = sortedByID(arrivals)
	r.order()
	return r
}

func (r *round) order() {
	panel, turn := make(map[*plot]uint64, len(r.plots)), make(map[*plot]uint64, len(r.plots))
	for _, x := range r.plots {
		slices.SortFunc(x.shares, func(a, b *share) int { return compareIDs(a.LotID, b.LotID) })
		x.divide(min(max(r.rules.PlantsLeast, min(len(x.shares), r.rules.PlantsMost)), x.standing))
		panel[x], turn[x] = draw(r.seed.Season, x.id), draw(r.seed.Week, x.id)
	}
	slices.SortFunc(r.plots, compareWalk)
	r.byPanel, r.inTurn = slices.Clone(r.plots), slices.Clone(r.plots)
	slices.SortStableFunc(r.byPanel, func(a, b *plot) int { return cmp.Compare(panel[a], panel[b]) })
	slices.SortStableFunc(r.inTurn, func(a, b *plot) int {
		return cmp.Or(a.lookedOn.Compare(b.lookedOn), cmp.Compare(turn[a], turn[b]))
	})
}

// divide shares the least plants of the plot among its lots: one each while
// there are, then half evenly and half by the plants that stand, so that a small
// lot is seen and a large one counts.
func (x *plot) divide(n int) {
	x.base, x.baseSum = make([]int, len(x.shares)), n
	for given := range n {
		best, most := -1, math.Inf(-1)
		for i, s := range x.shares {
			if x.base[i] == s.Plants {
				continue
			}
			weight := 0.5/float64(len(x.shares)) + 0.5*float64(s.Plants)/float64(x.standing)
			lacks := weight*float64(n) - float64(x.base[i])
			if given < len(x.shares) && x.base[i] == 0 {
				lacks += float64(n) // first of all one of each, the largest first
			}
			if lacks > most {
				best, most = i, lacks
			}
		}
		x.base[best]++
	}
}

// chooseBlocks takes the blocks that represent cultivars, the panel, arrivals and
// the share of blocks, each with its least plants. A quarter of the blocks asked
// for are in turn also where cultivars are so many that the panel alone would be
// enough: a block that never has its turn could hide anything.
func (r *round) chooseBlocks() {
	var first []*plot // to be taken
	for _, v := range r.largestFirst() {
		if x, s := r.representative(v, first); s != nil {
			first = append(first, x)
			if r.take(x) {
				s.because(ForCultivar)
			}
		}
	}
	r.markPanel(first)
	for _, x := range r.byPanel {
		if x.panel && (x.chosen || r.take(x)) {
			x.because(ForPanel)
		}
	}
	for _, id := range r.arrivals {
		x, s := r.unseen(id)
		if s == nil {
			continue
		}
		if r.take(x) {
			x.because(ForTurn)
			s.because(ForArrival)
		}
	}
	inTurn := 0
	for _, x := range r.inTurn {
		if x.chosen && !x.panel {
			inTurn++
		}
	}
	for _, x := range r.inTurn {
		if r.blocks >= r.blocksAsked() && inTurn >= (r.blocksAsked()+3)/4 {
			return
		}
		if !x.chosen && r.take(x) {
			x.because(ForTurn)
			inTurn++
		}
	}
}

func (x *plot) because(reason Reason) {
	for _, s := range x.shares {
		if s.plants > 0 {
			s.because(reason)
		}
	}
}

func (r *round) blocksAsked() int { return partOf(r.rules.BlocksPercent, len(r.plots)) }

func (r *round) plantsAsked() int { return partOf(r.rules.CropPercent, r.standing) }

// partOf is so many percent of n, rounded up.
func partOf(percent float64, n int) int { return int(math.Ceil(percent*float64(n)/100 - 1e-9)) }

func (r *round) largestFirst() []*variety {
	out := slices.Clone(r.varieties)
	slices.SortStableFunc(out, func(a, b *variety) int { return cmp.Compare(b.standing, a.standing) })
	return out
}

// representative gives the block to look at a cultivar in, unless one of the
// blocks already has it: always the same one, so that its share is not drawn to
// and fro by the blocks taking turns.
func (r *round) representative(v *variety, already []*plot) (*plot, *share) {
	for _, x := range already {
		if s := x.baseOf(v); s != nil {
			return nil, nil
		}
	}
	for _, x := range r.byPanel {
		if s := x.baseOf(v); s != nil {
			return x, s
		}
	}
	return nil, nil
}

func (x *plot) baseOf(v *variety) *share {
	for i, s := range x.shares {
		if s.of == v && x.base[i] > 0 {
			return s
		}
	}
	return nil
}

// markPanel makes half of the blocks asked for the panel, those that represent
// cultivars before the others.
func (r *round) markPanel(first []*plot) {
	n := len(first)
	for _, x := range first {
		x.panel = true
	}
	for _, x := range r.byPanel {
		if n >= (r.blocksAsked()+1)/2 {
			return
		}
		if !x.panel {
			x.panel = true
			n++
		}
	}
}

// unseen gives the block to look at an arrival in, unless it is looked at already.
func (r *round) unseen(arrival domain.ID) (*plot, *share) {
	var in *plot
	var of *share
	for _, x := range r.inTurn {
		for i, s := range x.shares {
			if s.ArrivalID != arrival || x.base[i] == 0 {
				continue
			}
			if x.chosen {
				return nil, nil
			}
			if in == nil {
				in, of = x, s
			}
		}
	}
	return in, of
}

// take chooses the plot with its least plants, if there is the time.
func (r *round) take(x *plot) bool {
	if !r.affords(1, x.baseSum) {
		return false
	}
	x.chosen = true
	r.blocks++
	for i, s := range x.shares {
		r.add(x, s, x.base[i])
	}
	return true
}

func (r *round) add(x *plot, s *share, n int) {
	s.of.plan(s.plants, s.plants+n)
	s.plants += n
	x.plants += n
	r.plants += n
}

func (r *round) minutesFor(moreBlocks, morePlants int) float64 {
	return r.rules.minutes(r.blocks+moreBlocks, r.plants+morePlants)
}

func (r *round) affords(moreBlocks, morePlants int) bool {
	return r.minutesFor(moreBlocks, morePlants) <= r.minutes+1e-9
}
