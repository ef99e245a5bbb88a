package advice_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/stock"
)

var (
	organism = domain.ID{15: 8}
	crop     = domain.ID{15: 9}
)

func season(from, to domain.Date) stock.Season {
	return stock.Season{CropID: crop, Year: 2026, StartsOn: from, EndsOn: to}
}

// The numbers and dates of New England Greenhouse Update (16 July 2013; 7 % at
// the start, 20 % before shipping) and ONfloriculture (25 September 2018: 20 % in
// mid-September; 2023: 20 % from 100 plants in the first week of October; 16
// November 2018: 15 % in mid-October). The days around them are common practice.
func TestStarterThresholdsAreThePublishedOnesDatedForTheSeason(t *testing.T) {
	t.Parallel()
	limits := advice.StarterThresholds(season(domain.NewDate(2026, time.June, 15), domain.NewDate(2026, time.December, 18)), organism)
	var all []string
	for _, l := range limits {
		require.NoError(t, l.Check())
		require.True(t, l.ID.IsZero())
		require.Equal(t, organism, l.OrganismID)
		require.Equal(t, crop, l.CropID)
		require.True(t, l.CultivarID.IsZero() && l.HouseID.IsZero(), "for the whole crop")
		require.LessOrEqual(t, len(l.Source), 400)
		require.Regexp(t, `^(New England Greenhouse Update|ONfloriculture).*20(13|18|23)`, l.Source)
		all = append(all, fmt.Sprintf("%s to %s: %g %% of %d, %s", l.FromOn, l.ToOn, l.Percent, l.SmallestPlants, l.Effect))
	}
	require.Equal(t, []string{
		"2026-06-15 to 2026-08-31: 7 % of 0, act",
		"2026-09-10 to 2026-09-25: 20 % of 0, act",
		"2026-10-01 to 2026-10-10: 20 % of 100, act",
		"2026-10-10 to 2026-10-20: 15 % of 0, went_well",
		"2026-11-01 to 2026-12-18: 20 % of 0, act",
	}, all)
}

func TestALimitOutsideTheSeasonIsLeftOut(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		from, to domain.Date
		want     []float64
	}{
		"a late start":      {domain.NewDate(2026, time.September, 26), domain.NewDate(2026, time.December, 18), []float64{20, 15, 20}},
		"an early end":      {domain.NewDate(2026, time.June, 1), domain.NewDate(2026, time.September, 30), []float64{7, 20}},
		"into the new year": {domain.NewDate(2026, time.August, 31), domain.NewDate(2027, time.January, 10), []float64{7, 20, 20, 15, 20}},
	} {
		var percents []float64
		for _, l := range advice.StarterThresholds(season(c.from, c.to), organism) {
			require.NoError(t, l.Check(), name)
			percents = append(percents, l.Percent)
		}
		require.Equal(t, c.want, percents, name)
	}
}

func TestTheYearIsThatOfTheSeason(t *testing.T) {
	t.Parallel()
	s := stock.Season{CropID: crop, Year: 2031, StartsOn: domain.NewDate(2031, time.June, 1), EndsOn: domain.NewDate(2031, time.December, 1)}
	for _, l := range advice.StarterThresholds(s, organism) {
		require.Equal(t, 2031, l.FromOn.Year())
		require.Equal(t, 2031, l.ToOn.Year())
	}
}
