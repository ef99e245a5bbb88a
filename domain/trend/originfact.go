package trend

import "benchtrail/domain"

// Found is how many plants were looked at, and how many of them were infested.
type Found struct{ Plants, Infested int }

// OriginFact is what is known of one arriving lot before and when it was first
// found infested in a block.
type OriginFact struct {
	LotID     domain.ID
	LotCode   string
	Cultivar  string
	ArrivedOn domain.Date

	Dock   Found // at the dock
	Second Found // at the second look

	FirstLook  domain.Date // Monday of the first week it was looked at in a block; zero when it was not
	FirstSeen  domain.Date // Monday of the first week it was found infested there
	Seen       Found       // in that week
	OldGrowth  int         // plants with living stages on old growth in the three weeks from then
	NewGrowth  int         // the same on new growth
	Neighbours Found       // lots of other arrivals, in its blocks and those beside, in the two weeks before
}

// Origins of a lot's infestation that its facts can point to.
const (
	PointsToArrival = "arrival"
	PointsToHouse   = "house"
	PointsToNothing = "nothing"
)

// The rule by which facts point somewhere; common practice.
const (
	daysNew      = 14 // from arrival to the week of the first find: what is on old growth by then was laid before
	enoughPlants = 20 // without a find; 14 % infested would have shown in them with 95 % confidence
)

// PointsTo says where the facts of one lot point. They point to its arrival when
// it was found infested at the dock or at the second look, or when the first find
// lies within two weeks of arrival, on more plants on old than on new growth,
// while a smaller share of the neighbours looked at had been infested. They point
// to the house when at least 20 plants at the dock and the second look showed
// none and neighbours had been infested before its first find. Else to nothing.
func (f OriginFact) PointsTo() string {
	before := Found{f.Dock.Plants + f.Second.Plants, f.Dock.Infested + f.Second.Infested}
	switch {
	case before.Infested > 0:
		return PointsToArrival
	case f.FirstSeen.IsZero():
		return PointsToNothing
	case f.ArrivedOn.DaysUntil(f.FirstSeen) <= daysNew && f.OldGrowth > f.NewGrowth && f.Neighbours.less(f.Seen):
		return PointsToArrival
	case before.Plants >= enoughPlants && f.Neighbours.Infested > 0:
		return PointsToHouse
	}
	return PointsToNothing
}

// less reports whether a smaller share was infested than of the other; false
// where no plants were looked at.
func (f Found) less(other Found) bool {
	return f.Plants > 0 && other.Plants > 0 && f.Infested*other.Plants < other.Infested*f.Plants
}
