package advice_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/stats"
	"benchtrail/domain/trend"
)

func september(d int) domain.Date { return domain.NewDate(2026, time.September, d) }

func point(t require.TestingT, infested, plants int) trend.Point {
	p, err := trend.PointOf(trend.Counts{WeekStart: september(7), Plants: plants, Infested: infested})
	require.NoError(t, err)
	return p
}

// fifth is a limit of 20 % in force from 10 to 25 September.
func fifth() advice.Threshold {
	return advice.Threshold{FromOn: september(10), ToOn: september(25), Percent: 20, Effect: advice.Act}
}

// Wilson's intervals worked out apart from this program: 12 of 60 is 11.8 to 31.8,
// 2 of 60 is 0.9 to 11.4, 30 of 60 is 37.7 to 62.3.
func TestAReadingStandsToItsLimitByItsWholeInterval(t *testing.T) {
	t.Parallel()
	hundred := fifth()
	hundred.SmallestPlants = 100
	for name, c := range map[string]struct {
		infested, plants int
		limits           []advice.Threshold
		want             advice.Standing
		more             int
	}{
		"below":                        {2, 60, []advice.Threshold{fifth()}, advice.Below, 0},
		"above":                        {30, 60, []advice.Threshold{fifth()}, advice.Above, 0},
		"on the limit":                 {12, 60, []advice.Threshold{fifth()}, advice.TooClose, 0},
		"a little below":               {8, 60, []advice.Threshold{fifth()}, advice.TooClose, 79},
		"a little above":               {15, 60, []advice.Threshold{fifth()}, advice.TooClose, 186},
		"none of ten is not below yet": {0, 10, []advice.Threshold{fifth()}, advice.TooClose, 6},
		"none of sixteen is":           {0, 16, []advice.Threshold{fifth()}, advice.Below, 0},
		"fewer plants than asked":      {0, 60, []advice.Threshold{hundred}, advice.TooFew, 40},
		"as many plants as asked":      {0, 100, []advice.Threshold{hundred}, advice.Below, 0},
		"no limit":                     {2, 60, nil, advice.NoLimit, 0},
	} {
		a := advice.Judge([]trend.Point{point(t, c.infested, c.plants)}, c.limits, september(14))
		require.Equal(t, c.want, a.Standing, name)
		require.Equal(t, c.more, a.MorePlants, name)
		require.Equal(t, point(t, c.infested, c.plants), a.Point, name)
		require.Nil(t, a.Change, "the first point has nothing to differ from")
		if c.want == advice.NoLimit {
			require.Zero(t, a.Limit, name)
		} else {
			require.Equal(t, c.limits[0], a.Limit, name)
		}
	}
	require.Equal(t, advice.Answer{Standing: advice.NoLooks}, advice.Judge(nil, []advice.Threshold{fifth()}, september(14)))
}

// At least 100 plants or 5 % of the crop (ONfloriculture, 2023, in Floral Daily, article
// 9569199): of a crop of 2 000 both are the same. A small crop is judged from the plants
// of one bench on (common practice).
func TestASmallCropIsJudgedFromAPartOfIt(t *testing.T) {
	t.Parallel()
	hundred := fifth()
	hundred.SmallestPlants = 100
	for _, c := range []struct {
		standing, smallest int
	}{{0, 100}, {1, 1}, {15, 15}, {60, 15}, {300, 15}, {320, 16}, {1999, 100}, {2000, 100}, {1980, 99}, {30_000, 100}} {
		require.Equal(t, c.smallest, hundred.Smallest(c.standing), c)
		require.Zero(t, fifth().Smallest(c.standing), "a limit that asks for none")
	}
	p := point(t, 36, 60)
	require.Equal(t, advice.TooFew, advice.Judge([]trend.Point{p}, []advice.Threshold{hundred}, september(14)).Standing, "of a crop not known")
	p.StandingPlants = 60
	require.Equal(t, advice.Above, advice.Judge([]trend.Point{p}, []advice.Threshold{hundred}, september(14)).Standing)
	p = point(t, 10, 50)
	p.StandingPlants = 1500
	a := advice.Judge([]trend.Point{p}, []advice.Threshold{hundred}, september(14))
	require.Equal(t, []any{advice.TooFew, 25}, []any{a.Standing, a.MorePlants})
}

func TestTheChangeIsSinceThePointBefore(t *testing.T) {
	t.Parallel()
	a := advice.Judge([]trend.Point{point(t, 50, 100), point(t, 10, 100), point(t, 25, 100)}, nil, september(14))
	require.Equal(t, point(t, 25, 100), a.Point)
	require.NotNil(t, a.Change)
	require.InDelta(t, 15, *a.Change, 1e-9)
}

func TestTheLimitIsTheOneInForceOrTheNextToCome(t *testing.T) {
	t.Parallel()
	limit := func(from, to int, percent float64) advice.Threshold {
		return advice.Threshold{FromOn: september(from), ToOn: september(to), Percent: percent, Effect: advice.Act}
	}
	wentWell, withdrawn := limit(10, 20, 3), limit(10, 20, 4)
	wentWell.Effect, withdrawn.Withdrawn = advice.WentWell, "typed wrongly"
	limits := []advice.Threshold{limit(26, 30, 9), limit(1, 5, 7), wentWell, withdrawn, limit(10, 20, 8)}
	for name, c := range map[string]struct {
		today int
		want  float64
	}{
		"the first day": {1, 7}, "the last day": {5, 7}, "between two": {6, 8}, "in force": {14, 8}, "its last day": {20, 8}, "after it": {21, 9}, "the last of all": {30, 9},
	} {
		a := advice.Judge([]trend.Point{point(t, 2, 60)}, limits, september(c.today))
		require.InDelta(t, c.want, a.Limit.Percent, 0, name)
	}
	late := advice.Judge([]trend.Point{point(t, 2, 60)}, limits, domain.NewDate(2026, time.October, 1))
	require.Equal(t, advice.NoLimit, late.Standing, "a season's last limit is over")
}

func TestTheSamePercentageFromMorePlantsSettlesIt(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		plants := rapid.IntRange(1, 400).Draw(t, "plants")
		infested := rapid.IntRange(0, plants).Draw(t, "infested")
		limit := fifth()
		limit.Percent = rapid.SampledFrom([]float64{5, 7, 15, 20}).Draw(t, "limit")
		a := advice.Judge([]trend.Point{point(t, infested, plants)}, []advice.Threshold{limit}, september(14))
		switch a.Standing {
		case advice.Below:
			require.Less(t, a.Point.UpperPercent, limit.Percent)
		case advice.Above:
			require.Greater(t, a.Point.LowerPercent, limit.Percent)
		case advice.TooClose:
			require.LessOrEqual(t, a.Point.LowerPercent, limit.Percent)
			require.GreaterOrEqual(t, a.Point.UpperPercent, limit.Percent)
			if a.MorePlants == 0 {
				return
			}
			// The same share needs whole plants: take the next multiple.
			times := (plants + a.MorePlants + plants - 1) / plants
			settled := advice.Judge([]trend.Point{point(t, times*infested, times*plants)}, []advice.Threshold{limit}, september(14))
			require.NotEqual(t, advice.TooClose, settled.Standing)
		default:
			require.Fail(t, "no such standing here", a.Standing)
		}
	})
}

func TestAThresholdIsCheckedForEverythingAtOnce(t *testing.T) {
	t.Parallel()
	good := fifth()
	good.OrganismID, good.CropID, good.Source = domain.ID{15: 1}, domain.ID{15: 2}, "who set it"
	require.NoError(t, good.Check())
	for _, percent := range []float64{0, 100} {
		good.Percent = percent
		require.NoError(t, good.Check())
	}
	for _, percent := range []float64{-0.1, 100.1} {
		bad := good
		bad.Percent = percent
		require.Equal(t, []string{"/percent out_of_range"}, codes(t, bad.Check()))
	}
	bad := advice.Threshold{FromOn: september(2), ToOn: september(1)}
	require.Equal(t, []string{"/organism_id missing", "/crop_id missing", "/source missing", "/to_on before_start"}, codes(t, bad.Check()))
}

func codes(t require.TestingT, err error) []string {
	var faults domain.Faults
	require.ErrorAs(t, err, &faults)
	var all []string
	for _, f := range faults {
		all = append(all, f.Path+" "+f.Code)
	}
	return all
}

// What the judgement asks for is what the mathematics gives.
func TestMorePlantsComeFromTheSumThatSettlesIt(t *testing.T) {
	t.Parallel()
	a := advice.Judge([]trend.Point{point(t, 8, 60)}, []advice.Threshold{fifth()}, september(14))
	n, ok := stats.ExaminedToSettle(stats.Proportion{Examined: 60, Infested: 8}, 0.20, trend.Confidence)
	require.True(t, ok)
	require.Equal(t, n-60, a.MorePlants)
}
