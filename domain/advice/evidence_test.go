package advice_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/stock"
	"benchtrail/domain/trend"
)

// found is infested plants of those looked at in one week.
type found struct{ infested, plants int }

// reading is a cultivar looked at in the weeks given, the last of which is that of
// today, under the published limits. Its 3 000 plants stand in six blocks and are half
// of the house; signs were looked for.
func reading(t require.TestingT, today domain.Date, weeks ...found) advice.Reading {
	season := season(domain.NewDate(2026, time.June, 15), domain.NewDate(2026, time.December, 18))
	x := advice.Reading{
		Today: today, Limits: advice.StarterThresholds(season, organism), ActBy: domain.NewDate(2026, time.October, 12),
		StandingPlants: 3000, StandingBlocks: 6, HousePlants: 6000, LargestPlants: 3000, Foliage: "light",
	}
	for i, w := range weeks {
		monday := today.Week().Monday().AddDays(7 * (i + 1 - len(weeks)))
		p, err := trend.PointOf(trend.Counts{WeekStart: monday, Looks: 1, Blocks: 1, Plants: w.plants, Infested: w.infested})
		require.NoError(t, err)
		x.Points = append(x.Points, p)
	}
	var err error
	x.Course, err = trend.Follow(x.Points, trend.Prior{Growth: 0.2, GrowthSD: 0.3}) // of its own: the usual one may be tuned
	require.NoError(t, err)
	return x
}

// inBlocks says what was found in each block of the latest week.
func inBlocks(blocks ...found) []advice.BlockLook {
	var looks []advice.BlockLook
	for i, b := range blocks {
		looks = append(looks, advice.BlockLook{BlockID: domain.ID{15: byte(i + 1)}, Plants: b.plants, Infested: b.infested})
	}
	return looks
}

func line(t require.TestingT, x advice.Reading, code advice.EvidenceCode) advice.Evidence {
	for _, e := range advice.UsualRules().Evidence(x) {
		if e.Code == code {
			return e
		}
	}
	require.FailNow(t, "no such line", code)
	return advice.Evidence{}
}

func TestTheLinesComeInAFixedOrder(t *testing.T) {
	t.Parallel()
	want := []advice.EvidenceCode{
		"limit", "forecast", "growth", "spread", "foliage", "main_cultivar", "new_growth", "adults", "dense_leaves", "late_nymphs", "sampling", "time_left",
	}
	for _, x := range []advice.Reading{{}, reading(t, september(16), found{12, 60})} {
		var codes []advice.EvidenceCode
		for _, e := range advice.UsualRules().Evidence(x) {
			codes = append(codes, e.Code)
			require.Contains(t, []advice.Direction{advice.ForBiological, advice.AgainstBiological, advice.Open}, e.Direction)
		}
		require.Equal(t, want, codes)
	}
}

// Wilson's intervals worked out apart from this program: 12 of 60 is 11.8 to 31.8,
// 2 of 60 is 0.9 to 11.4, 30 of 60 is 37.7 to 62.3.
func TestTheLimitLineHoldsTheWholeIntervalAgainstTheLimit(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		found        found
		finding      advice.Finding
		direction    advice.Direction
		lower, upper float64
	}{
		"below":     {found{2, 60}, "below", advice.ForBiological, 0.9, 11.4},
		"above":     {found{30, 60}, "above", advice.AgainstBiological, 37.7, 62.3},
		"too close": {found{12, 60}, "too_close", advice.Open, 11.8, 31.8},
	} {
		e := line(t, reading(t, september(16), c.found), advice.LimitLine)
		require.Equal(t, c.finding, e.Finding, name)
		require.Equal(t, c.direction, e.Direction, name)
		require.Equal(t, []int{c.found.infested, c.found.plants}, []int{e.Infested, e.Plants}, name)
		require.InDelta(t, c.lower, *e.LowerPercent, 0.05, name)
		require.InDelta(t, c.upper, *e.UpperPercent, 0.05, name)
		require.InDelta(t, 20, *e.LimitPercent, 0, name)
		require.Equal(t, september(10), e.On, name)
	}
	none := reading(t, september(16))
	require.Equal(t, advice.Evidence{Code: advice.LimitLine, Finding: advice.CannotSay, Direction: advice.Open}, line(t, none, advice.LimitLine))
	unlimited := reading(t, september(16), found{2, 60})
	unlimited.Limits = nil
	require.Equal(t, advice.Finding("no_limit"), line(t, unlimited, advice.LimitLine).Finding)
	require.Nil(t, line(t, unlimited, advice.LimitLine).LimitPercent)
}

func TestTheForecastGoesToTheNextLimitToCome(t *testing.T) {
	t.Parallel()
	august := domain.NewDate(2026, time.August, 19)
	rising := reading(t, august, found{2, 100}, found{6, 100}, found{14, 100}, found{28, 100})
	e := line(t, rising, advice.ForecastLine)
	require.Equal(t, september(10), e.On, "the arrival limit counts only for the present")
	require.InDelta(t, 20, *e.LimitPercent, 0)
	require.Equal(t, advice.AgainstBiological, e.Direction)
	require.Equal(t, advice.Finding("above"), e.Finding)
	ahead := rising.Course.At(september(10))
	require.Equal(t, []float64{ahead.Percent, ahead.Lower90, ahead.Upper90}, []float64{*e.Percent, *e.LowerPercent, *e.UpperPercent})
	require.Equal(t, []int{4, 400}, []int{e.Weeks, e.Plants})

	low := line(t, reading(t, august, found{0, 100}, found{1, 100}, found{0, 100}, found{0, 100}), advice.ForecastLine)
	require.Equal(t, []any{advice.Finding("below"), advice.ForBiological}, []any{low.Finding, low.Direction})
	thin := line(t, reading(t, august, found{5, 40}, found{5, 40}), advice.ForecastLine)
	require.Equal(t, []any{advice.CannotSay, advice.Open}, []any{thin.Finding, thin.Direction})
	require.Nil(t, thin.Percent, "two weeks are no forecast")
	require.Equal(t, []int{2, 80}, []int{thin.Weeks, thin.Plants})
	over := rising
	over.Limits = nil
	require.Equal(t, advice.Finding("no_limit"), line(t, over, advice.ForecastLine).Finding)
}

func TestTheGrowthLineSaysOnlyWhatItsIntervalSays(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		weeks     []found
		finding   advice.Finding
		direction advice.Direction
	}{
		"rising":   {[]found{{2, 100}, {6, 100}, {14, 100}, {28, 100}, {45, 100}}, advice.Rising, advice.AgainstBiological},
		"falling":  {[]found{{60, 100}, {35, 100}, {15, 100}, {6, 100}, {2, 100}}, advice.Falling, advice.ForBiological},
		"steady":   {[]found{{10, 100}, {11, 100}, {10, 100}, {9, 100}}, advice.Steady, advice.Open},
		"too thin": {[]found{{10, 100}, {20, 100}}, advice.CannotSay, advice.Open},
		"no looks": {nil, advice.CannotSay, advice.Open},
	} {
		e := line(t, reading(t, september(16), c.weeks...), advice.GrowthLine)
		require.Equal(t, c.finding, e.Finding, name)
		require.Equal(t, c.direction, e.Direction, name)
		require.Equal(t, []int{len(c.weeks), 100 * len(c.weeks)}, []int{e.Weeks, e.Plants}, name)
	}
}

func TestTheSpreadLineTellsHotSpotsFromAllOver(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		blocks    []found
		finding   advice.Finding
		direction advice.Direction
		in        int
	}{
		"not looked at":            {nil, advice.CannotSay, advice.Open, 0},
		"nothing":                  {[]found{{0, 20}, {0, 20}, {0, 20}}, advice.NoneFound, advice.Open, 0},
		"the only block":           {[]found{{4, 20}}, advice.CannotSay, advice.Open, 1},
		"one of two":               {[]found{{4, 20}, {0, 20}}, advice.SingleBlock, advice.Open, 1},
		"one of three":             {[]found{{4, 20}, {0, 20}, {0, 20}}, advice.SingleBlock, advice.ForBiological, 1},
		"two of six":               {[]found{{4, 20}, {0, 20}, {0, 20}, {9, 20}, {0, 20}, {0, 20}}, advice.HotSpots, advice.ForBiological, 2},
		"two of five":              {[]found{{4, 20}, {0, 20}, {0, 20}, {9, 20}, {0, 20}}, advice.Widespread, advice.AgainstBiological, 2},
		"both":                     {[]found{{4, 20}, {1, 20}}, advice.Widespread, advice.AgainstBiological, 2},
		"a block without a plant ": {[]found{{4, 20}, {0, 0}}, advice.CannotSay, advice.Open, 1},
	} {
		x := reading(t, september(16), found{12, 60})
		x.Blocks = inBlocks(c.blocks...)
		e := line(t, x, advice.SpreadLine)
		require.Equal(t, c.finding, e.Finding, name)
		require.Equal(t, c.direction, e.Direction, name)
		require.Equal(t, c.in, e.Blocks, name)
	}
}

// The contrast is the one that trends show, so that the two never contradict each other:
// none of 15 dark plants says nothing, since 18 % of many may be infested all the same
// (1 - 0.05^(1/15)); from 59 on it is less than 5 % (1 - 0.05^(1/59)).
func TestTheFoliageLineSaysWhatTheContrastOfTrendsSays(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		light, dark found
		finding     trend.FoliageCode
		direction   advice.Direction
	}{
		"no dark one looked at":   {found{9, 60}, found{}, trend.FoliageCannotSay, advice.Open},
		"15 dark ones":            {found{9, 60}, found{0, 15}, trend.FoliageCannotSay, advice.Open},
		"58 dark ones":            {found{9, 60}, found{0, 58}, trend.FoliageCannotSay, advice.Open},
		"light only":              {found{9, 60}, found{0, 59}, trend.LightOnly, advice.ForBiological},
		"dark too":                {found{9, 60}, found{5, 60}, trend.DarkToo, advice.AgainstBiological},
		"more on dark ones":       {found{2, 60}, found{30, 60}, trend.DarkMore, advice.AgainstBiological},
		"dark, no light to match": {found{}, found{5, 60}, trend.FoliageCannotSay, advice.Open},
		"none":                    {found{0, 60}, found{0, 60}, trend.NoneFound, advice.Open},
		"none looked at":          {found{}, found{}, trend.FoliageCannotSay, advice.Open},
	} {
		by := map[stock.Foliage][]trend.Point{}
		for foliage, f := range map[stock.Foliage]found{stock.LightFoliage: c.light, stock.DarkFoliage: c.dark} {
			if f.plants > 0 {
				by[foliage] = []trend.Point{point(t, f.infested, f.plants)}
			}
		}
		x := reading(t, september(16), found{12, 60})
		var err error
		x.Contrast, err = trend.ContrastFoliage(by)
		require.NoError(t, err, name)
		require.Equal(t, c.finding, x.Contrast.Code, name)
		e := line(t, x, advice.FoliageLine)
		require.Equal(t, advice.Finding(c.finding), e.Finding, name)
		require.Equal(t, c.direction, e.Direction, name)
		require.Equal(t, []int{c.dark.plants, c.dark.infested}, []int{e.Plants, e.Infested}, name)
		require.Equal(t, c.dark.plants == 0, e.Percent == nil, name)
	}
	require.Equal(t, advice.CannotSay, line(t, reading(t, september(16)), advice.FoliageLine).Finding, "nothing was compared")
}

func TestAMainCultivarIsAQuarterOfTheHouseOrItsLargest(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		plants, house, largest int
		found                  found
		finding                advice.Finding
		direction              advice.Direction
	}{
		"a quarter, infested": {1500, 6000, 3000, found{1, 60}, advice.Main, advice.AgainstBiological},
		"a quarter, nothing":  {1500, 6000, 3000, found{0, 60}, advice.Main, advice.Open},
		"less":                {1499, 6000, 3000, found{1, 60}, advice.NotMain, advice.ForBiological},
		"less, yet largest":   {900, 6000, 900, found{1, 60}, advice.Main, advice.AgainstBiological},
		"not known":           {0, 6000, 900, found{1, 60}, advice.CannotSay, advice.Open},
	} {
		x := reading(t, september(16), c.found)
		x.StandingPlants, x.HousePlants, x.LargestPlants = c.plants, c.house, c.largest
		e := line(t, x, advice.MainCultivarLine)
		require.Equal(t, c.finding, e.Finding, name)
		require.Equal(t, c.direction, e.Direction, name)
		if c.plants > 0 {
			require.InDelta(t, 100*float64(c.plants)/6000, *e.Percent, 1e-9, name)
		}
	}
}
