package trend

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

// FalseDiscovery is the part of the groups called different that may be expected to
// be called so by chance.
const FalseDiscovery = 0.05

// Contender is a group to be compared, with its weeks.
type Contender struct {
	Key    string
	Points []Point
}

// Differs says where a group stands to all others together.
type Differs string

// The ways to differ. Alike means no more than that the looks do not show a
// difference.
const (
	DiffersHigher Differs = "higher"
	DiffersLower  Differs = "lower"
	Alike         Differs = "no"
)

// Compared is a group held against the others, over the weeks compared. Percentages
// are from 0 to 100.
type Compared struct {
	Key                                 string
	Rank                                int // by LowerPercent; 1 is the highest; equal limits have equal ranks
	Plants, Infested                    int // looked at and found, both weeks together
	Percent, LowerPercent, UpperPercent float64
	ShrunkenPercent                     float64 // pulled towards the mean of all; shown, never ranked by
	// FunnelLower and FunnelUpper hold 95 % of the shares that groups with as many
	// plants would show if they were all like the overall share.
	FunnelLowerPercent, FunnelUpperPercent float64
	Differs                                Differs
	AdjustedP                              float64 // 0 to 1; at most FalseDiscovery where it differs
}

// Comparison holds the groups of a reading against each other.
type Comparison struct {
	Known          bool        // false when fewer than two groups were looked at
	From, To       domain.Date // Mondays of the first and the last week; zero without looks
	OverallPercent float64
	HomogeneityP   float64    // 0 to 1; small when chance alone hardly makes groups differ so much; 1 unless Known
	Groups         []Compared // in the order of their ranks
	Foliage        FoliageContrast
}

// contest is a group while it is compared.
type contest struct {
	Compared
	stats.Effective
}

// Compare holds groups, none of whose plants are in two, against each other. Weeks
// begin on Mondays. What is compared are the looks of the latest week with one in
// any group and of the week before; groups not looked at then are left out. It is
// two weeks because rounds take some blocks one week and the others the next, so
// that one week alone would compare groups by where their turn fell.
//
// Groups are ranked by the lower limit of their interval: a high rank says that much
// is infested for sure. The share itself would put 1 of 5 above 15 of 80, and so can
// the shrunken share, which draws the group with few plants to a high mean.
//
// A difference is one between the plants that stand in the groups, beyond what chance
// made of which of them were looked at. It does not say why: plants of one supplier
// can differ because of the few blocks they stand in.
//
// Each group is tested against all others together ([stats.SharesDiffer]), with
// effective sizes in place of plants; the P values are adjusted for their number
// ([stats.BenjaminiHochberg]). HomogeneityP is that of [stats.HomogeneityOfShares],
// and where that is rough the smallest adjusted value, which tests the same (Simes
// 1986, Biometrika 73:751-754).
//
// Errors say that the sums could not be done: a week with more infested plants than
// looked at, or more than stats.LargestCount plants in all.
func Compare(groups []Contender) (Comparison, error) {
	var to domain.Date
	for _, g := range groups {
		to = latest(to, g.Points)
	}
	if to.IsZero() {
		return Comparison{HomogeneityP: 1}, nil
	}
	from := to.AddDays(-7)
	chosen := make([]Contender, len(groups))
	for i, g := range groups {
		chosen[i] = Contender{Key: g.Key, Points: between(g.Points, from, to)}
	}
	c, err := hold(chosen)
	c.From, c.To = from, to
	return c, err
}

// hold compares groups over all the points they are given; those without any are left out.
func hold(groups []Contender) (Comparison, error) {
	c := Comparison{HomogeneityP: 1}
	var contests []contest
	var all []Point
	for _, g := range groups {
		if len(g.Points) == 0 {
			continue
		}
		of := pool(g.Points)
		interval, err := stats.WilsonOfShare(of.Share, of.Size, Confidence)
		if err != nil {
			return Comparison{}, fmt.Errorf("group %s: %w", g.Key, err)
		}
		all = append(all, g.Points...)
		contests = append(contests, contest{
			Compared: Compared{
				Key: g.Key, Plants: of.plants, Infested: of.infested, Percent: 100 * of.Share,
				LowerPercent: 100 * interval.Lower, UpperPercent: 100 * interval.Upper,
				Differs: Alike, AdjustedP: 1,
			},
			Effective: of.Effective,
		})
	}
	if len(contests) == 0 {
		return c, nil
	}
	rank(contests)
	overall := pool(all).Effective
	c.Known, c.OverallPercent = len(contests) > 1, 100*overall.Share
	if err := errors.Join(funnel(contests, overall), shrink(contests, overall)); err != nil {
		return Comparison{}, err
	}
	if c.Known {
		var err error
		if c.HomogeneityP, err = test(contests); err != nil {
			return Comparison{}, err
		}
	}
	c.Groups = make([]Compared, len(contests))
	for i, one := range contests {
		c.Groups[i] = one.Compared
	}
	return c, nil
}

// rank sorts the groups; what equal limits leave open is settled by the share, the
// plants and the key, so that the order is always the same.
func rank(contests []contest) {
	slices.SortStableFunc(contests, func(a, b contest) int {
		return cmp.Or(
			cmp.Compare(b.LowerPercent, a.LowerPercent), cmp.Compare(b.Percent, a.Percent),
			cmp.Compare(b.Plants, a.Plants), cmp.Compare(a.Key, b.Key),
		)
	})
	for i := range contests {
		contests[i].Rank = i + 1
		if i > 0 && contests[i].LowerPercent == contests[i-1].LowerPercent {
			contests[i].Rank = contests[i-1].Rank
		}
	}
}

// funnel sets the limits around the overall share. Where that is none or all, no
// chance is left, and the limits are the share itself.
func funnel(contests []contest, overall stats.Effective) error {
	limits := map[int]stats.Interval{}
	for i := range contests {
		one := &contests[i]
		size := max(1, int(math.Round(one.Size)))
		around, found := limits[size]
		switch {
		case found:
		case overall.Share > 0 && overall.Share < 1:
			var err error
			if around, err = stats.FunnelLimits(overall.Share, size, Confidence); err != nil {
				return fmt.Errorf("funnel of group %s: %w", one.Key, err)
			}
		default:
			around = stats.Interval{Lower: overall.Share, Upper: overall.Share}
		}
		limits[size] = around
		one.FunnelLowerPercent, one.FunnelUpperPercent = 100*around.Lower, 100*around.Upper
	}
	return nil
}

// test holds every group against all others, and gives the P value of all alike.
func test(contests []contest) (float64, error) {
	shares := make([]stats.Effective, len(contests))
	for i, one := range contests {
		shares[i] = one.Effective
	}
	alike, err := stats.HomogeneityOfShares(shares)
	if err != nil {
		return 0, fmt.Errorf("homogeneity: %w", err)
	}
	others := withoutEach(shares)
	p := make([]float64, len(contests))
	for i, one := range contests {
		if p[i], err = stats.SharesDiffer(one.Effective, others[i]); err != nil {
			return 0, fmt.Errorf("group %s against all others: %w", one.Key, err)
		}
	}
	adjusted, err := stats.BenjaminiHochberg(p)
	if err != nil {
		return 0, fmt.Errorf("adjusting for %d groups: %w", len(p), err)
	}
	for i := range contests {
		contests[i].AdjustedP = adjusted[i]
		switch {
		case adjusted[i] > FalseDiscovery:
		case shares[i].Share > others[i].Share:
			contests[i].Differs = DiffersHigher
		default:
			contests[i].Differs = DiffersLower
		}
	}
	if alike.Rough {
		return slices.Min(adjusted), nil
	}
	return alike.P, nil
}

// withoutEach gives, for every share, all the others together. They are summed from
// both ends, for taking one away from the sum of all would leave the rounding of
// floats where nothing else was found.
func withoutEach(shares []stats.Effective) []stats.Effective {
	type sums struct{ size, infested float64 }
	after := make([]sums, len(shares)+1)
	for i := len(shares) - 1; i >= 0; i-- {
		s := shares[i]
		after[i] = sums{after[i+1].size + s.Size, after[i+1].infested + s.Size*s.Share}
	}
	others := make([]stats.Effective, len(shares))
	var before sums
	for i, s := range shares {
		size, infested := before.size+after[i+1].size, before.infested+after[i+1].infested
		others[i] = stats.Effective{Size: size, Share: math.Min(infested/size, 1)}
		before.size += s.Size
		before.infested += s.Size * s.Share
	}
	return others
}
