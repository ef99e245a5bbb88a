package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Effective is a share found in clusters or by weighting, that tells as much as
// Size units drawn one by one: units looked at over their design effect. Tests of
// several such shares treat Size and Share times Size as if they were counts.
// Rao and Scott (1992), Biometrics 48:577-585.
type Effective struct {
	Share float64 // 0 to 1
	Size  float64 // above 0, at most LargestCount, not always whole
}

// HomogeneityOfShares is [Homogeneity] for shares with effective sizes: whether all
// of at least two may be the same. Errors are [domain.Faults] with paths such as
// /groups/0/share.
// Rao and Scott (1992), section 3: Σ n (p - P)² / (P (1-P)).
func HomogeneityOfShares(groups []Effective) (ChiSquare, error) {
	var args arguments
	if len(groups) < 2 {
		args.Add("/groups", CodeTooFew, "are %d, at least 2 are needed to compare", len(groups))
	}
	for i, g := range groups {
		args.effective(fmt.Sprintf("/groups/%d", i), g)
	}
	if err := args.Err(); err != nil {
		return ChiSquare{}, err
	}
	return homogeneityOf(groups), nil
}

func homogeneityOf(groups []Effective) ChiSquare {
	var infested, free, size float64
	smallest := math.Inf(1)
	for _, g := range groups {
		infested += g.Share * g.Size
		free += (1 - g.Share) * g.Size
		size += g.Size
		smallest = math.Min(smallest, g.Size)
	}
	whole, rest := infested/size, free/size
	if !(whole > 0 && rest > 0) {
		return ChiSquare{P: 1, SmallestExpected: smallest, Rough: smallest < SmallExpected}
	}
	sum := 0.0
	for _, g := range groups {
		gap := g.Share - whole
		sum += g.Size * (gap / whole) * (gap / rest)
	}
	result := ChiSquare{
		Statistic: sum, DegreesOfFreedom: len(groups) - 1,
		SmallestExpected: smallest * math.Min(whole, rest),
	}
	result.Rough = result.SmallestExpected < SmallExpected
	result.P = distuv.ChiSquared{K: float64(result.DegreesOfFreedom)}.Survival(sum)
	return result
}

// SharesDiffer is the chance, 0 to 1, of two shares at least as far apart when what
// they are shares of is alike. It is that of [HomogeneityOfShares], or of
// [FisherExact] where the former is rough. For that one, parts of a unit are
// dropped, and infested units rounded so that the shares come nearer: rounding
// never makes a difference. Errors are [domain.Faults] with paths such as
// /groups/0/share.
func SharesDiffer(first, second Effective) (float64, error) {
	test, err := HomogeneityOfShares([]Effective{first, second})
	if err != nil {
		return 0, err
	}
	if !test.Rough {
		return test.P, nil
	}
	if first.Share < second.Share {
		first, second = second, first
	}
	high, low := first.whole(math.Floor, 1), second.whole(math.Ceil, -1)
	if high.share() <= low.share() {
		return 1, nil
	}
	exact, err := FisherExact(high, low)
	return exact.P, err
}

// whole makes counts of the share. What misses a whole number by no more than the
// rounding of floats is one.
func (e Effective) whole(round func(float64) float64, towards float64) Proportion {
	p := Proportion{Examined: max(1, int(e.Size+1e-9))}
	infested := e.Share * float64(p.Examined)
	p.Infested = min(max(0, int(round(infested+towards*(1e-9+1e-12*infested)))), p.Examined)
	return p
}

// DifferenceOfShares is [NewcombeDifference] for shares with effective sizes, from
// the intervals of [WilsonOfShare]. Confidence is above 0 and below 1. Errors are
// [domain.Faults] with the paths /first/share and so on.
func DifferenceOfShares(first, second Effective, confidence float64) (Difference, error) {
	var args arguments
	args.effective("/first", first)
	args.effective("/second", second)
	args.confidence(confidence)
	if err := args.Err(); err != nil {
		return Difference{}, err
	}
	a, err := WilsonOfShare(first.Share, first.Size, confidence)
	if err != nil {
		return Difference{}, err
	}
	b, err := WilsonOfShare(second.Share, second.Size, confidence)
	if err != nil {
		return Difference{}, err
	}
	p, q := first.Share, second.Share
	return Difference{
		Observed: p - q,
		Lower:    math.Max(p-q-math.Hypot(p-a.Lower, b.Upper-q), -1),
		Upper:    math.Min(p-q+math.Hypot(a.Upper-p, q-b.Lower), 1),
	}, nil
}

func (a *arguments) effective(path string, e Effective) {
	if !(e.Share >= 0 && e.Share <= 1) {
		a.Add(path+"/share", CodeOutOfRange, "is %v, must be from 0 to 1", e.Share)
	}
	if !(e.Size > 0 && e.Size <= LargestCount) {
		a.Add(path+"/size", CodeOutOfRange, "is %v, must be above 0 and at most %d", e.Size, LargestCount)
	}
}
