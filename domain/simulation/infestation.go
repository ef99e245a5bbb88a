package simulation

import (
	"math"
	"math/rand/v2"
	"slices"

	"benchtrail/domain/stock"
)

// age is the state of one plant: 0 when it is free of the pest, else the weeks
// since it was settled on, counted from 1.
type age uint8

const oldest age = 40

// rates are what drives the spread, per week. They are chosen, not measured: by
// mid September most blocks are low and some are far above 20 %, as growers report
// of bad years. Whitefly is clumped (published sampling of greenhouse whitefly on
// tomato finds neighbouring plants alike), so most tries go to plants nearby.
type rates struct {
	// Plants that the whitefly of one infested plant try to settle on.
	tries float64
	// The chance that they stay, by the foliage they come to.
	stay map[stock.Foliage]float64
	// Where a try goes: to a plant within reach, anywhere in the block, or else
	// to a block beside it.
	near, within float64
	reach        int
	// What natural enemies leave of the tries, and the chance that they, or
	// nobody, free an infested plant.
	guardedTries, guardedFreed, freed float64
	// The chance that the plants of a lot in a block are found from outside.
	fromOutside float64
}

func usualRates() rates {
	return rates{
		tries: 0.72,
		stay: map[stock.Foliage]float64{
			stock.LightFoliage: 1, stock.MediumFoliage: 0.66, stock.DarkFoliage: 0.45,
		},
		near: 0.60, within: 0.30, reach: 4,
		guardedTries: 0.60, guardedFreed: 0.10, freed: 0.01,
		fromOutside: 0.01,
	}
}

// stand is the plants of one lot in one block, in a row.
type stand struct {
	lot, block int
	foliage    stock.Foliage
	plants     []age
}

func (s *stand) infested() int {
	n := 0
	for _, a := range s.plants {
		if a > 0 {
			n++
		}
	}
	return n
}

// takeOff takes n plants from the end of the row.
func (s *stand) takeOff(n int) []age {
	keep := len(s.plants) - n
	taken := slices.Clone(s.plants[keep:])
	s.plants = s.plants[:keep]
	return taken
}

// outbreak is the pest on all stands. It knows blocks and lots by number only.
type outbreak struct {
	rates   rates
	rng     *rand.Rand
	beside  [][]int // by block
	guarded []bool  // by block: natural enemies are there
	stands  []*stand
	inBlock [][]*stand
}

func newOutbreak(r rates, rng *rand.Rand, beside [][]int, guarded []bool) *outbreak {
	return &outbreak{rates: r, rng: rng, beside: beside, guarded: guarded, inBlock: make([][]*stand, len(beside))}
}

// place puts plants of a lot in a block, after those of the lot already there.
func (o *outbreak) place(lot, block int, foliage stock.Foliage, plants []age) {
	if s := o.find(lot, block); s != nil {
		s.plants = append(s.plants, plants...)
		return
	}
	s := &stand{lot, block, foliage, slices.Clone(plants)}
	o.stands = append(o.stands, s)
	o.inBlock[block] = append(o.inBlock[block], s)
}

func (o *outbreak) find(lot, block int) *stand {
	for _, s := range o.inBlock[block] {
		if s.lot == lot {
			return s
		}
	}
	return nil
}

// of gives the stands of a lot.
func (o *outbreak) of(lot int) []*stand {
	var of []*stand
	for _, s := range o.stands {
		if s.lot == lot {
			of = append(of, s)
		}
	}
	return of
}

// tidy forgets stands without plants.
func (o *outbreak) tidy() {
	empty := func(s *stand) bool { return len(s.plants) == 0 }
	o.stands = slices.DeleteFunc(o.stands, empty)
	for i := range o.inBlock {
		o.inBlock[i] = slices.DeleteFunc(o.inBlock[i], empty)
	}
}

// plantsIn counts the plants of all lots in a block.
func (o *outbreak) plantsIn(block int) int {
	n := 0
	for _, s := range o.inBlock[block] {
		n += len(s.plants)
	}
	return n
}

// week lets a week pass. Growth is logistic because a try at an infested plant
// is lost.
func (o *outbreak) week() {
	for _, s := range o.stands {
		freed := o.rates.freed
		if o.guarded[s.block] {
			freed += o.rates.guardedFreed
		}
		for i, a := range s.plants {
			switch {
			case a == 0:
			case o.rng.Float64() < freed:
				s.plants[i] = 0
			default:
				s.plants[i] = min(a+1, oldest)
			}
		}
	}
	for _, s := range o.stands {
		tries := o.rates.tries
		if o.guarded[s.block] {
			tries *= o.rates.guardedTries
		}
		for i, a := range s.plants {
			if o.rng.Float64() < tries*vigour(a) {
				o.try(s, i)
			}
		}
		if o.rng.Float64() < o.rates.fromOutside {
			o.settle(s, o.rng.IntN(len(s.plants)))
		}
	}
}

// vigour is what a plant gives off by the weeks since it was settled on: nothing
// in the week itself, the full number once a generation is under way.
func vigour(a age) float64 {
	switch {
	case a < 2:
		return 0
	case a == 2:
		return 0.6
	case a == 3:
		return 0.8
	default:
		return 1
	}
}

func (o *outbreak) try(s *stand, from int) {
	switch u := o.rng.Float64(); {
	case u < o.rates.near:
		step := 1 + o.rng.IntN(o.rates.reach)
		if o.rng.IntN(2) == 0 {
			step = -step
		}
		if to := from + step; to >= 0 && to < len(s.plants) {
			o.settle(s, to)
		}
	case u < o.rates.near+o.rates.within:
		o.settle(s, o.rng.IntN(len(s.plants)))
	default:
		next := o.beside[s.block]
		if len(next) == 0 {
			return
		}
		if there := o.inBlock[next[o.rng.IntN(len(next))]]; len(there) > 0 {
			to := there[o.rng.IntN(len(there))]
			o.settle(to, o.rng.IntN(len(to.plants)))
		}
	}
}

func (o *outbreak) settle(s *stand, plant int) {
	if s.plants[plant] == 0 && o.rng.Float64() < o.rates.stay[s.foliage] {
		s.plants[plant] = 1
	}
}

// arriving gives the plants of a lot as they come from a farm with the given
// share of infested plants. Many lots even of an infested farm have none, others
// several times the share: lots within one supplier are known to differ widely
// (ONfloriculture, 24 September 2020). Infested plants come in runs.
func (o *outbreak) arriving(plants int, share float64, foliage stock.Foliage) []age {
	row := make([]age, plants)
	free := 0.10 + 0.75*math.Exp(-share/0.02)
	if o.rng.Float64() < free {
		return row
	}
	share *= 1.1 * math.Exp(0.7*o.rng.NormFloat64()) * math.Sqrt(o.rates.stay[foliage]/o.rates.stay[stock.MediumFoliage])
	for left := int(math.Round(min(share, 0.6) * float64(plants))); left > 0; {
		start := o.rng.IntN(plants)
		for i := start; i < min(start+1+o.rng.IntN(5), plants) && left > 0; i++ {
			if row[i] == 0 {
				row[i] = age(1 + o.rng.IntN(3)) //nolint:gosec // 1 to 3
				left--
			}
		}
	}
	return row
}

// dip frees infested plants with the given chance.
func (o *outbreak) dip(row []age, chance float64) {
	for i, a := range row {
		if a > 0 && o.rng.Float64() < chance {
			row[i] = 0
		}
	}
}

// throwOut takes n plants out of a row at random.
func (o *outbreak) throwOut(row []age, n int) []age {
	for ; n > 0; n-- {
		i := o.rng.IntN(len(row))
		row = slices.Delete(row, i, i+1)
	}
	return row
}
