package stats

// Proportion is how many of the units examined were infested.
type Proportion struct {
	Examined int // 1 to LargestCount
	Infested int // 0 to Examined
}

// Interval is a range of shares, each from 0 to 1.
type Interval struct{ Lower, Upper float64 }

// Share is the infested part of the units examined, 0 to 1. It fails with
// [domain.Faults] when nothing was examined or the counts contradict each other.
func (p Proportion) Share() (float64, error) {
	var args arguments
	p.check(&args)
	if err := args.Err(); err != nil {
		return 0, err
	}
	return p.share(), nil
}

func (p Proportion) share() float64 { return float64(p.Infested) / float64(p.Examined) }

// free is the same count seen from the other side: the units without a find.
func (p Proportion) free() Proportion {
	return Proportion{Examined: p.Examined, Infested: p.Examined - p.Infested}
}

func (p Proportion) check(args *arguments) {
	args.someExamined(p.Examined)
	args.infestedOf(p.Examined, p.Infested)
}

// twoSided builds an interval from a rule for its lower end alone: the upper end
// is the lower end for the units without a find, counted down from 1. Limits are
// therefore symmetric, and exactly 0 and 1 where the rule gives 0.
func twoSided(p Proportion, confidence float64, lower func(p Proportion, tail float64) float64) (Interval, error) {
	var args arguments
	p.check(&args)
	args.confidence(confidence)
	if err := args.Err(); err != nil {
		return Interval{}, err
	}
	tail := (1 - confidence) / 2
	return Interval{Lower: lower(p, tail), Upper: 1 - lower(p.free(), tail)}, nil
}
