package trend

// Reading is what the looks of one group say: its weeks, and where it goes.
type Reading struct {
	Points []Point
	Course Course
}

// InCommon is what the groups of a season share: how alike the plants of a block are,
// and how fast the pest grows.
type InCommon struct {
	Correlation BlockCorrelation
	Growth      Prior
}

// Readings is what the looks say of several groups.
type Readings struct {
	Groups []Reading
	InCommon
}

// WhatTheyShare pools over the weekly samples of groups, each in order of time.
func WhatTheyShare(groups [][]Sample) (InCommon, error) {
	var all []Sample
	for _, samples := range groups {
		all = append(all, samples...)
	}
	shared := InCommon{Correlation: CorrelationOf(all), Growth: UsualPrior()}
	read, err := ReadWith(groups, shared)
	if err != nil {
		return InCommon{}, err
	}
	courses := make([]Course, len(groups))
	for i, g := range read.Groups {
		courses[i] = g.Course
	}
	shared.Growth = PriorOf(courses)
	return shared, nil
}

// ReadWith reads the weekly samples of groups, each in order of time, with what they
// share with the rest of their season.
func ReadWith(groups [][]Sample, shared InCommon) (Readings, error) {
	r := Readings{Groups: make([]Reading, len(groups)), InCommon: shared}
	for i, samples := range groups {
		points := make([]Point, len(samples))
		var err error
		for j, s := range samples {
			if points[j], err = Estimate(s, shared.Correlation); err != nil {
				return Readings{}, err
			}
		}
		course, err := Follow(points, shared.Growth)
		if err != nil {
			return Readings{}, err
		}
		r.Groups[i] = Reading{Points: points, Course: course}
	}
	return r, nil
}

// ReadAll reads the weekly samples of all groups of a season, each in order of time.
func ReadAll(groups [][]Sample) (Readings, error) {
	shared, err := WhatTheyShare(groups)
	if err != nil {
		return Readings{}, err
	}
	return ReadWith(groups, shared)
}

// Plainly gives the points of a group with Wilson's interval on the summed counts,
// which takes no account of blocks.
func Plainly(samples []Sample) ([]Point, error) {
	points := make([]Point, len(samples))
	for i, s := range samples {
		var err error
		if points[i], err = PointOf(s.Counts); err != nil {
			return nil, err
		}
		points[i].StandingPlants, points[i].StandingBlocks = s.StandingPlants, s.StandingBlocks
	}
	return points, nil
}
