package scouting

import (
	"fmt"
	"math"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

// StopRules say how stop lines are laid around a limit.
type StopRules struct {
	// Acceptable and Action are the two shares that the lines tell apart, as
	// multiples of the limit, below and above 1. Between them neither answer is
	// much of a mistake: from 100 plants a share of 0.55 or 1.45 times a limit of
	// 20 % is about two standard deviations away, so that a fixed sample of the
	// October rule tells no finer either.
	Acceptable, Action float64
	// Alpha is the chance to say above at the acceptable share, Beta that to say
	// below at the share to act on; both above 0 and below 1/2. One in ten for both:
	// a needless treatment and a late one are both paid for, and next week looks again.
	Alpha, Beta float64
	// Likeness is the correlation of two plants of one block, 0 to 1, for which the
	// lines are moved apart; with 0 they are those of plants that have nothing to do
	// with each other.
	Likeness float64
	// OpenUpTo is how many plants, of those that stand there, may be looked at
	// before a count between the lines is said to be below or above all the same:
	// one or two blocks must not settle what they cannot.
	OpenUpTo int
}

// UsualStopRules are ours; there is no published value. The likeness is at the
// low end of what clumped pests show: the lines end where a full round ends, so
// all they can do wrong is to stop before it, and in invented houses (shares of
// blocks spread as a beta distribution, correlations of 0.05 to 0.2) this much
// already left them about as often right as the full round (the trial: 6.2 against 6.1 %
// wrong, with 15 % fewer plants). A hundred plants are those
// that the rule for the first week of October asks for (ONfloriculture 2023).
func UsualStopRules() StopRules {
	return StopRules{Acceptable: 0.55, Action: 1.45, Alpha: 0.10, Beta: 0.10, Likeness: 0.05, OpenUpTo: 100}
}

func (r StopRules) check(f *domain.Faults) {
	for path, ok := range map[string]bool{
		"/stop/acceptable": r.Acceptable > 0.01 && r.Acceptable < 1,
		"/stop/action":     r.Action > 1 && r.Action <= 10,
		"/stop/alpha":      r.Alpha >= stats.FinestStep && r.Alpha < 0.5,
		"/stop/beta":       r.Beta >= stats.FinestStep && r.Beta < 0.5,
		"/stop/likeness":   r.Likeness >= 0 && r.Likeness <= 1,
		"/stop/open_up_to": r.OpenUpTo >= 0 && r.OpenUpTo <= stats.LargestMaximum,
	} {
		if !ok {
			f.Add(path, "out_of_range", "is out of range")
		}
	}
}

// Call is what stop lines say.
type Call string

// The calls.
const (
	CallBelow   Call = "below"
	CallAbove   Call = "above"
	CallMore    Call = "more"
	CallNoLimit Call = "no_limit"
)

// Stop tells, for one cultivar in a house and summed over its blocks, when
// looking can stop.
//
// The lines take account of plants of one block being alike by one number for all
// houses and weeks (StopRules.Likeness), as if the plants were spread evenly over
// blocks of at most PlantsMost. They take no account of which block a plant stood in, of pests
// that were there and not seen, or of several blocks being alike. So plants have
// to be taken in turn over the blocks, and a block alone can never settle it
// before the others are visited.
type Stop struct {
	CultivarID        domain.ID
	LimitPercent      float64
	Limited           bool // whether there is a limit, and lines
	AcceptablePercent float64
	ActionPercent     float64
	Alpha, Beta       float64 // asked for; see StopRules
	Blocks            int     // planned, with the cultivar
	PlantsLeast       int     // never enough before: of its blocks together, or of the limit
	Lines             stats.StopLines
	Done              Found // this week, in the whole house
	DoneBlocks        int   // of the planned ones, with the least plants looked at
}

// At says whether so many plants, so many of them infested, are enough, when so
// many of the planned blocks had their least plants looked at; and else the
// fewest plants more that could be enough. Past the last line the share decides.
func (s Stop) At(plants, infested, blocks int) (Call, int) {
	if !s.Limited {
		return CallNoLimit, 0
	}
	if plants >= s.PlantsLeast && blocks >= s.Blocks {
		if call := s.on(plants, infested); call != CallMore {
			return call, 0
		}
	}
	for more := max(1, s.PlantsLeast-plants, s.Blocks-blocks); ; more++ {
		if s.on(plants+more, infested) == CallBelow || s.on(plants+more, infested+more) == CallAbove {
			return CallMore, more
		}
	}
}

// on holds the counts against the lines. At the last one and past it, the count
// that ends the test is scaled to the plants.
func (s Stop) on(plants, infested int) Call {
	last := len(s.Lines.Lines)
	switch {
	case plants < 1:
		return CallMore
	case plants >= last && infested*last <= s.Lines.BelowAtMaximum*plants:
		return CallBelow
	case plants >= last:
		return CallAbove
	case infested <= s.Lines.Lines[plants-1].BelowIfAtMost:
		return CallBelow
	case infested >= s.Lines.Lines[plants-1].AboveIfAtLeast:
		return CallAbove
	default:
		return CallMore
	}
}

// Usable are the lines that can be met: from the least plants to the maximum.
func (s Stop) Usable() []stats.StopLine {
	if len(s.Lines.Lines) == 0 {
		return nil
	}
	return s.Lines.Lines[min(max(s.PlantsLeast, 1), len(s.Lines.Lines))-1:]
}

// mostLines bounds the table that a phone is given.
const mostLines = 500

// stopFor lays the lines of a cultivar. They end where a round of PlantsMost in
// each of its planned blocks would end, but not before the fewest plants of the
// limit and those of OpenUpTo: then it is said below or above all the same.
func (r *round) stopFor(v *variety) (Stop, error) {
	s := Stop{CultivarID: v.id, Limited: v.limited, LimitPercent: 100 * v.limit}
	maximum := 0
	for _, x := range r.plots {
		var standing, planned, looked int
		for _, y := range x.shares {
			if y.of == v {
				standing += y.Plants
				planned += y.plants
				looked += y.Done.Plants
			}
		}
		if planned == 0 {
			continue
		}
		least := min(planned, r.rules.PlantsLeast)
		s.Blocks++
		s.PlantsLeast += least
		maximum += min(standing, planned+max(0, r.rules.PlantsMost-x.plants))
		if looked >= least {
			s.DoneBlocks++
		}
	}
	for _, y := range r.house.Stands {
		if y.CultivarID == v.id && !y.LotID.IsZero() {
			s.Done.Plants += y.Done.Plants
			s.Done.Infested += y.Done.Infested
		}
	}
	if s.Blocks == 0 { // there is no time for it: if it is looked at all the same, one block's plants count
		s.PlantsLeast, maximum = min(r.rules.PlantsLeast, v.standing), min(r.rules.PlantsMost, v.standing)
	}
	if !v.limited {
		return s, nil
	}
	inEach := float64(maximum) / math.Max(1, float64(s.Blocks))
	s.PlantsLeast = max(s.PlantsLeast, min(v.smallest, v.standing))
	maximum = max(maximum, s.PlantsLeast, min(r.rules.Stop.OpenUpTo, v.standing))
	return r.rules.Stop.lay(s, inEach, min(maximum, s.PlantsLeast+mostLines-1, stats.LargestMaximum))
}

// smallestLimit is the lowest limit that lines are laid around: a lower one is no
// question for plants looked at in tens.
const smallestLimit = 0.01

// lay lays the lines. Counts of plants that are alike scatter more, by the design
// effect; a test on them goes wrong as often as it should when its lines stand
// that many times further apart.
func (r StopRules) lay(s Stop, inEach float64, maximum int) (Stop, error) {
	limit := max(s.LimitPercent/100, smallestLimit)
	acceptable := r.Acceptable * limit
	action := min(r.Action*limit, 0.99)
	acceptable = min(acceptable, action-0.001)
	s.AcceptablePercent, s.ActionPercent, s.Alpha, s.Beta = 100*acceptable, 100*action, r.Alpha, r.Beta

	alpha, beta := widened(r.Alpha, r.Beta, 1+math.Max(0, inEach-1)*r.Likeness)
	var err error
	s.Lines, err = stats.NewStopLines(acceptable, action, alpha, beta, maximum)
	if err != nil {
		return s, fmt.Errorf("around %v %%: %w", s.LimitPercent, err)
	}
	// Who has looked to the end is asked about the limit itself; the count at which
	// both shares are equally likely lies a little below it, and would call 4 of 20
	// more than 20 %.
	s.Lines.BelowAtMaximum = int(math.Floor(limit*float64(maximum) + 1e-9))
	return s, nil
}

// widened gives the risks for which Wald's lines stand so many times further apart.
// Wald (1947), Sequential Analysis, section 3.2: the lines lie at ln((1-β)/α) and
// ln(β/(1-α)); solved for the risks.
func widened(alpha, beta, times float64) (float64, float64) {
	const far = 50 // further apart than the finest risks
	up, down := min(times*math.Log((1-beta)/alpha), far), max(times*math.Log(beta/(1-alpha)), -far)
	wideAlpha := -math.Expm1(down) / (math.Exp(up) - math.Exp(down))
	wideBeta := math.Exp(down) * math.Expm1(up) / (math.Exp(up) - math.Exp(down))
	return max(wideAlpha, stats.FinestStep), max(wideBeta, stats.FinestStep)
}
