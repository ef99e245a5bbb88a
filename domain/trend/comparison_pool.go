package trend

import (
	"math"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

// pooled is what several points say together.
type pooled struct {
	plants, infested int
	stats.Effective
}

// pool puts points together, at least one. The share is the ratio of the summed
// counts; if one of the points is weighted by the plants standing, each counts by its
// effective size instead, since its own counts no longer make its share.
//
// The effective size is the sum of the points', none of which counts for more than
// the plants looked at. It can be more in a [Point], for who has looked at every
// plant knows them all; but one small lot looked at whole would then outweigh all
// others together, and rank above them on a handful of plants. A block looked at in
// both weeks is counted as two, which makes the size a little too large where other
// blocks of the group were not looked at.
func pool(points []Point) pooled {
	var p pooled
	found, weighted := 0.0, false
	for _, point := range points {
		size := effectiveSize(point)
		p.plants += point.Plants
		p.infested += point.Infested
		p.Size += size
		found += size * point.Percent / 100
		weighted = weighted || point.Weighted
	}
	p.Share = float64(p.infested) / float64(p.plants)
	if weighted {
		p.Share = math.Min(found/p.Size, 1)
	}
	return p
}

func effectiveSize(p Point) float64 {
	if !(p.Effective > 0 && p.Effective < float64(p.Plants)) {
		return float64(p.Plants)
	}
	return p.Effective
}

// latest is the last week with plants looked at, or the one given if none is later.
func latest(week domain.Date, points []Point) domain.Date {
	for _, p := range points {
		if p.Plants > 0 && (week.IsZero() || p.WeekStart.After(week)) {
			week = p.WeekStart
		}
	}
	return week
}

// between gives the weeks from one to another in which plants were looked at.
func between(points []Point, from, to domain.Date) []Point {
	var within []Point
	for _, p := range points {
		if p.Plants > 0 && !p.WeekStart.Before(from) && !p.WeekStart.After(to) {
			within = append(within, p)
		}
	}
	return within
}
