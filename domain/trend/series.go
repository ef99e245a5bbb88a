// Package trend reads the looks of a season as weekly series.
package trend

import (
	"fmt"

	"benchtrail/domain"
	"benchtrail/domain/stats"
)

// By says what the looks are grouped by.
type By string

// The groupings. Arrival is the date a lot arrived on, ArrivalWeek the ISO week of
// it, Shipped the date it left its farm.
const (
	ByLot         By = "lot"
	ByCultivar    By = "cultivar"
	ByArrival     By = "arrival"
	ByArrivalWeek By = "arrival_week"
	ByShipped     By = "shipped"
	BySupplier    By = "supplier"
	ByFarm        By = "farm"
	ByForm        By = "form"
	ByFoliage     By = "foliage"
	ByBract       By = "bract"
	ByBlock       By = "block"
	BySection     By = "section"
	ByHouse       By = "house"
	BySite        By = "site"
)

// Confidence is the confidence of every interval that pages show.
const Confidence = 0.95

// Counts are the looks of one group and week, summed.
type Counts struct {
	WeekStart domain.Date // a Monday
	Looks     int
	Blocks    int
	Plants    int // looked at; above 0
	Infested  int
	InDoubt   int // looks among them with a doubt that nobody has settled
}

// Point is one week of a series: the counts, the share and its interval.
type Point struct {
	Counts
	Percent, LowerPercent, UpperPercent float64

	Design       bool    // the interval takes account of blocks; otherwise it is Wilson's
	Weighted     bool    // the share is weighted by the plants standing
	DesignEffect float64 // the variance over that of plants drawn one by one
	Effective    float64 // as many plants drawn one by one would tell as much

	StandingPlants, StandingBlocks int // of the group, looked at or not; 0 when not known
}

// PointOf gives the share of infested plants of a week with Wilson's interval at
// Confidence. The share is the ratio of the sums, never a mean of percentages.
func PointOf(c Counts) (Point, error) {
	interval, err := stats.Wilson(stats.Proportion{Examined: c.Plants, Infested: c.Infested}, Confidence)
	if err != nil {
		return Point{}, fmt.Errorf("week of %s: %w", c.WeekStart, err)
	}
	return Point{
		Counts: c, Percent: 100 * float64(c.Infested) / float64(c.Plants), LowerPercent: 100 * interval.Lower, UpperPercent: 100 * interval.Upper,
		DesignEffect: 1, Effective: float64(c.Plants),
	}, nil
}
