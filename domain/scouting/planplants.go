package scouting

import (
	"math"

	"benchtrail/domain"
)

// usualLikeness is how alike plants of one block are, as the correlation of two
// of them: between the 0.05 and 0.2 that clumped pests show (common practice).
const usualLikeness = 0.1

// variety is a cultivar in the house, all its plants.
type variety struct {
	id       domain.ID
	limit    float64 // share, 0 to 1
	limited  bool
	smallest int // plants to look at before the limit is judged
	standing int

	// What is known of its share before the round, as a Beta distribution whose
	// weight is in plants drawn one by one.
	infested, weight float64
	looked           bool
	near             bool // not settled on which side of the limit
	planned          float64
	gain             float64 // of one plant more, drawn by itself
}

func newVariety(id domain.ID, h House) *variety {
	v := &variety{id: id, smallest: h.Smallest[id]}
	var percent float64
	percent, v.limited = h.Limits[id]
	v.limit = percent / 100
	// One plant's worth of knowing nothing, with the limit as its share: what was
	// never looked at is the least settled.
	v.weight, v.infested = 1, v.limit
	return v
}

// effective is as how many plants drawn one by one n plants of one block count.
func effective(n int) float64 {
	if n == 0 {
		return 0
	}
	return float64(n) / (1 + float64(n-1)*usualLikeness)
}

// learn takes in what was found in the weeks before. News of a week earlier
// count half, for the share moves on.
func (v *variety) learn(s Stand) {
	weight := 1.0
	for _, found := range s.Earlier {
		if found.Plants > 0 {
			n := weight * effective(found.Plants)
			v.weight += n
			v.infested += n * float64(found.Infested) / float64(found.Plants)
			v.looked = true
		}
		weight /= 2
	}
}

// unsettled is the chance to be on the other side of the limit from which on a
// cultivar counts as near it.
const unsettled = 0.05

// settle works out where the cultivar stands to its limit before the round.
func (v *variety) settle() {
	v.weigh()
	if v.limited && v.looked {
		sd := v.spread(0)
		other := 0.0 // the whole of it lies on one side
		if sd > 0 {
			other = math.Erfc(math.Abs(v.infested/v.weight-v.limit)/sd/math.Sqrt2) / 2
		}
		v.near = other >= unsettled
	}
}

// spread is the standard deviation of the share after so many more plants.
func (v *variety) spread(more float64) float64 {
	mean := v.infested / v.weight
	return math.Sqrt(max(mean*(1-mean), 0) / (v.weight + more + 1))
}

// weigh works out what one more plant is worth: by how much it lowers what is
// lost, on average, by deciding on the wrong side of the limit, where a share
// that lies further over it costs more. For a normal distribution that loss is
// sd (φ(z) - z Φ(-z)), z the distance from the limit in standard deviations, and
// its slope in the sd is φ(z) (Raiffa and Schlaifer 1961, Applied Statistical
// Decision Theory, section 5.6: unit normal loss). The bare chance to be on the
// wrong side will not do: right on the limit it stays 1/2 whatever is looked at,
// just where looking is worth most.
func (v *variety) weigh() {
	sd := v.spread(v.planned)
	if !v.limited || sd == 0 {
		v.gain = 0
		return
	}
	z := (v.infested/v.weight - v.limit) / sd
	v.gain = math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * sd / (2 * (v.weight + v.planned + 1))
}

// plan takes in that in one of its blocks so many plants are planned, not so many.
func (v *variety) plan(before, after int) {
	v.planned += effective(after) - effective(before)
	v.weigh()
}

// The weight of what deserves more attention than its numbers say, and the worth
// of a plant that changes no decision: it only makes blocks even (common practice).
const (
	attention   = 2
	worthOfNone = 1e-9
)

// worth is what n more plants of a share are worth after those planned.
func (s *share) worth(n int) float64 {
	w := (s.of.gain + worthOfNone) * (effective(s.plants+n) - effective(s.plants))
	if s.Light {
		w *= attention
	}
	if s.Found {
		w *= attention
	}
	return w
}

func (s *share) deservesMore() bool { return s.Light || s.Found || s.of.near }

func (s *share) sayWhyMore() {
	if s.Light {
		s.because(ForLightFoliage)
	}
	if s.Found {
		s.because(ForArrivalFinding)
	}
	if s.of.near {
		s.because(ForNearLimit)
	}
}

// bestRaise finds the chosen plot and the share where one more plant is worth most.
func (r *round) bestRaise(wanted func(*share) bool) (in *plot, of *share, worth float64) {
	for _, x := range r.plots {
		if !x.chosen || x.plants >= r.rules.PlantsMost {
			continue
		}
		for _, s := range x.shares {
			if s.plants < s.Plants && wanted(s) {
				if w := s.worth(1); of == nil || w > worth {
					in, of, worth = x, s, w
				}
			}
		}
	}
	return in, of, worth
}

// reachCropShare adds plants where they are worth most, and blocks in their turn
// where the visited ones hold no more, until the share of the crop is reached.
func (r *round) reachCropShare() {
	for r.plants < r.plantsAsked() {
		if x, s, _ := r.bestRaise(func(*share) bool { return true }); s != nil {
			if !r.affords(0, 1) {
				return
			}
			r.add(x, s, 1)
			s.because(ForCropShare)
			if s.deservesMore() {
				s.sayWhyMore()
			}
			continue
		}
		if !r.takeNext() {
			return
		}
	}
}

func (r *round) takeNext() bool {
	for _, x := range r.inTurn {
		if !x.chosen && r.take(x) {
			x.because(ForCropShare)
			return true
		}
	}
	return false
}

// addExtras gives more plants to what deserves them, where one more is worth most
// for the time it takes. When the minutes are given, what is left of them also
// goes to further blocks of cultivars near their limit: the first plants of a
// block tell more than the last of another.
func (r *round) addExtras() {
	for {
		x, s, worth := r.bestRaise((*share).deservesMore)
		if s != nil && !r.affords(0, 1) {
			return
		}
		if further, rate := r.bestFurther(); further != nil && rate*r.rules.SecondsPerPlant/60 > worth {
			r.take(further)
			further.sayWhyTaken()
			continue
		}
		if s == nil {
			return
		}
		r.add(x, s, 1)
		s.sayWhyMore()
	}
}

// bestFurther finds the block not chosen, and affordable, that is worth most a
// minute for cultivars near their limit.
func (r *round) bestFurther() (best *plot, rate float64) {
	if math.IsInf(r.minutes, 1) {
		return nil, 0
	}
	for _, x := range r.inTurn {
		if x.chosen || !r.affords(1, x.baseSum) {
			continue
		}
		worth := 0.0
		for i, s := range x.shares {
			if s.of.near {
				worth += s.worth(x.base[i])
			}
		}
		if per := worth / r.rules.minutes(1, x.baseSum); per > rate {
			best, rate = x, per
		}
	}
	return best, rate
}

// sayWhyTaken names the cultivars near their limit; the other lots of the block
// are looked at because somebody is there.
func (x *plot) sayWhyTaken() {
	for _, s := range x.shares {
		switch {
		case s.plants == 0:
		case s.of.near:
			s.because(ForNearLimit)
		default:
			s.because(ForTurn)
		}
	}
}
