package trend

import (
	"math"

	"benchtrail/domain"
)

// Change is by how much a week of a series stands above an earlier one, in percentage
// points from -100 to 100, with its interval at Confidence.
type Change struct {
	Since                domain.Date // Monday of the earlier week
	Points, Lower, Upper float64
}

// ChangeBetween is the later share less the earlier one: the distances from each share
// to the ends of its interval, put together like the sides of a right angle. That is
// [stats.NewcombeDifference] where the intervals are Wilson's, and holds for any others
// as well (Zou and Donner 2008, Stat. Med. 27:1693-1702, equations 3 and 4). It takes
// the two weeks to be independent; where the same blocks are looked at in both, the
// interval is wider than it need be.
func ChangeBetween(earlier, later Point) Change {
	p, q := later, earlier
	return Change{
		Since:  earlier.WeekStart,
		Points: p.Percent - q.Percent,
		Lower:  math.Max(p.Percent-q.Percent-math.Hypot(p.Percent-p.LowerPercent, q.UpperPercent-q.Percent), -100),
		Upper:  math.Min(p.Percent-q.Percent+math.Hypot(p.UpperPercent-p.Percent, q.Percent-q.LowerPercent), 100),
	}
}

// Said reports whether the interval leaves no change out, so that a rise or a fall can
// be spoken of.
func (c Change) Said() bool { return c.Lower > 0 || c.Upper < 0 }
