package trend

// Reading is what the looks of one group say: its weeks, and where it goes.
type Reading struct {
	Points []Point
	Course Course
}

// Readings is what they say of all groups of a season together.
type Readings struct {
	Groups      []Reading
	Correlation BlockCorrelation
	Prior       Prior // of growth, from all groups
}

// ReadAll reads the weekly samples of the groups of a season, each in order of
// time. How alike the plants of a block are and how fast the pest grows is pooled
// over all of them.
func ReadAll(groups [][]Sample) (Readings, error) {
	var all []Sample
	for _, samples := range groups {
		all = append(all, samples...)
	}
	r := Readings{Groups: make([]Reading, len(groups)), Correlation: CorrelationOf(all)}
	courses := make([]Course, len(groups))
	for i, samples := range groups {
		points := make([]Point, len(samples))
		var err error
		for j, s := range samples {
			if points[j], err = Estimate(s, r.Correlation); err != nil {
				return Readings{}, err
			}
		}
		if courses[i], err = Follow(points, UsualPrior()); err != nil {
			return Readings{}, err
		}
		r.Groups[i].Points = points
	}
	r.Prior = PriorOf(courses)
	for i := range groups {
		var err error
		if r.Groups[i].Course, err = Follow(r.Groups[i].Points, r.Prior); err != nil {
			return Readings{}, err
		}
	}
	return r, nil
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
