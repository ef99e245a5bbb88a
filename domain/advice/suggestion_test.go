package advice_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/trend"
)

func suggest(x advice.Reading) advice.Suggestion {
	r := advice.UsualRules()
	return r.Suggest(x, r.Evidence(x))
}

func august(d int) domain.Date { return domain.NewDate(2026, time.August, d) }

var (
	everywhere = []found{{5, 20}, {4, 20}, {6, 20}}
	oneSpot    = []found{{15, 20}, {0, 20}, {0, 20}}
)

func TestTheFirstRuleThatHoldsSpeaks(t *testing.T) {
	t.Parallel()
	rising := []found{{2, 100}, {6, 100}, {14, 100}, {28, 100}}
	quiet := []found{{0, 100}, {1, 100}, {0, 100}, {0, 100}}
	for name, c := range map[string]struct {
		today  domain.Date
		weeks  []found
		blocks []found
		change func(*advice.Reading)
		want   advice.SuggestionCode
		reason advice.EvidenceCode // the weightiest
	}{
		"no looks":                              {september(16), nil, nil, nil, advice.NothingToSay, "limit"},
		"no limit":                              {september(16), []found{{30, 60}}, everywhere, func(x *advice.Reading) { x.Limits = nil }, advice.NothingToSay, "limit"},
		"wholly over the limit, all over":       {september(16), []found{{30, 60}}, everywhere, nil, advice.ConsiderSelective, "limit"},
		"wholly over it, blocks not told":       {september(16), []found{{30, 60}}, nil, nil, advice.ConsiderSelective, "limit"},
		"wholly over it, in one of three":       {september(16), []found{{30, 60}}, oneSpot, nil, advice.DealWithHotSpots, "spread"},
		"wholly over it, in one of two":         {september(16), []found{{30, 60}}, oneSpot[:2], nil, advice.ConsiderSelective, "limit"},
		"wholly over it, yet few plants":        {september(16), []found{{30, 40}}, everywhere, nil, advice.LookAtMore, "sampling"},
		"wholly below it":                       {september(16), []found{{2, 60}}, everywhere, nil, advice.StayBiological, "limit"},
		"wholly below it, and foretold to stay": {september(16), quiet, everywhere, nil, advice.StayBiological, "limit"},
		"below it today, foretold over the next": {
			september(16), []found{{0, 100}, {1, 100}, {3, 100}, {11, 100}}, everywhere, lowerNext, advice.ConsiderSelective, "forecast",
		},
		"on the limit":                            {september(16), []found{{12, 60}}, everywhere, nil, advice.LookAtMore, "limit"},
		"fewer plants than the limit asks for":    {october(5), []found{{2, 60}}, everywhere, nil, advice.LookAtMore, "limit"},
		"in August, over the arrival limit alone": {august(19), []found{{30, 100}}, everywhere, nil, advice.LookAtMore, "limit"},
		"in August, foretold over":                {august(19), rising, everywhere, nil, advice.ConsiderSelective, "forecast"},
		"in August, foretold over, in one spot":   {august(19), rising, oneSpot, nil, advice.DealWithHotSpots, "spread"},
		"in August, foretold below":               {august(19), quiet, everywhere, nil, advice.StayBiological, "limit"},
		"in August, below the arrival limit":      {august(19), []found{{0, 60}}, everywhere, nil, advice.StayBiological, "limit"},
		"between limits, wholly over the next":    {september(4), []found{{30, 60}}, everywhere, nil, advice.ConsiderSelective, "limit"},
		"between limits, over the next, yet falling": {
			september(4), []found{{80, 100}, {60, 100}, {45, 100}, {32, 100}}, everywhere, nil, advice.LookAtMore, "forecast",
		},
		"below it today, the next one open": {
			september(16), []found{{1, 100}, {3, 100}, {6, 100}, {11, 100}}, everywhere, nil, advice.LookAtMore, "forecast",
		},
		"foretold over, on fewer plants than the limit asks for": {
			october(5), []found{{10, 40}, {14, 40}, {18, 40}, {22, 40}}, everywhere, nil, advice.LookAtMore, "limit",
		},
		"looks of three weeks ago": {september(16), []found{{30, 60}}, everywhere, later(22), advice.LookAtMore, "sampling"},
		"plants that are gone":     {september(16), []found{{30, 60}}, everywhere, func(x *advice.Reading) { x.Gone = true }, advice.NothingToSay, ""},
	} {
		x := reading(t, c.today, c.weeks...)
		x.Blocks = inBlocks(c.blocks...)
		if c.change != nil {
			c.change(&x)
		}
		s := suggest(x)
		require.Equal(t, c.want, s.Code, "%s: %v", name, s)
		require.Equal(t, c.want == advice.ConsiderSelective, advice.UsualRules().Call(x), name)
		if c.reason != "" {
			require.Equal(t, c.reason, s.Reasons[0], "%s: %v", name, s)
		}
		require.Equal(t, c.want == advice.LookAtMore, s.Fewest > 0, "%s: %v", name, s)
	}
}

func october(d int) domain.Date { return domain.NewDate(2026, time.October, d) }

// lowerNext lets a lower limit follow.
func lowerNext(x *advice.Reading) {
	for i := range x.Limits {
		if x.Limits[i].FromOn == october(1) {
			x.Limits[i].Percent = 8
		}
	}
}

func later(days int) func(*advice.Reading) {
	return func(x *advice.Reading) { x.Today = x.Today.AddDays(days) }
}

func TestTheRulesAreNumbersThatCanBeTuned(t *testing.T) {
	t.Parallel()
	x := reading(t, august(19), found{2, 100}, found{5, 100}, found{8, 100}, found{15, 100})
	x.Blocks = inBlocks(everywhere...)
	chance := x.Course.ChanceOver(20, september(10))
	require.Greater(t, chance, 0.5)
	require.Less(t, chance, 0.99)
	r := advice.UsualRules()
	r.OverChance = chance - 0.001
	require.True(t, r.Call(x))
	r.OverChance = chance + 0.001
	require.False(t, r.Call(x), "the chance of the forecast decides before mid-September")
	r = advice.UsualRules()
	r.OverChance, r.LeastPlants = 0.5, 400
	require.True(t, r.Call(x))
	r.LeastPlants = 401
	require.False(t, r.Call(x), "so many plants are needed to call a crop lost")
	r = advice.UsualRules()
	r.UnderChance, r.OverChance = chance, 1
	require.Equal(t, advice.StayBiological, r.Suggest(x, r.Evidence(x)).Code)
}

func TestReasonsPointTheSameWay(t *testing.T) {
	t.Parallel()
	x := reading(t, september(16), found{30, 60})
	x.Blocks = inBlocks(everywhere...)
	x.Contrast = trend.FoliageContrast{Code: trend.DarkToo, DarkPlants: 60, DarkInfested: 5}
	x.Signs = advice.Signs{Looks: 3, Plants: 60, NewGrowth: 4}
	require.Equal(t, []advice.EvidenceCode{"limit", "spread", "new_growth", "foliage", "main_cultivar"}, suggest(x).Reasons)
	x = reading(t, september(16), found{2, 60})
	x.Blocks = inBlocks(found{2, 20}, found{0, 20}, found{0, 20})
	x.Signs = advice.Signs{Looks: 3, Plants: 60, NewGrowth: 1, PlantByPlant: 60}
	require.Equal(t, []advice.EvidenceCode{"limit", "spread", "dense_leaves", "adults", "time_left"}, suggest(x).Reasons)
}

func TestCautionsGoWithTheSuggestion(t *testing.T) {
	t.Parallel()
	lost := reading(t, september(16), found{30, 60})
	require.Equal(t, []advice.Caution{"label", "reentry", "licensed", "compatibility", "rule_of_thumb"}, suggest(lost).Cautions)
	lost.Blocks = inBlocks(oneSpot...)
	lost.Regulated, lost.Held = true, true
	require.Equal(t, []advice.Caution{"label", "reentry", "licensed", "compatibility", "regulated", "held", "rule_of_thumb"}, suggest(lost).Cautions)
	none := reading(t, september(16), found{0, 60})
	require.Equal(t, []advice.Caution{"compatibility", "zero_is_not_free", "rule_of_thumb"}, suggest(none).Cautions)
	few := reading(t, september(16), found{0, 10})
	require.Equal(t, advice.LookAtMore, suggest(few).Code, "none of ten may still be over 20 %")
	require.Equal(t, []advice.Caution{"zero_is_not_free", "rule_of_thumb"}, suggest(few).Cautions)
	require.Equal(t, []advice.Caution{"rule_of_thumb"}, suggest(reading(t, september(16))).Cautions)
}

// 8 of 60 against 20 %: 139 in all settle it if the share stays (139 (8/60-0.2)² >
// 1.96² 0.2 0.8). At best every further one is free, and Wilson's upper limit for 8 of
// 74 is 19.9 %, for 8 of 73 it is 20.2 % (worked out apart from this program).
func TestMorePlantsAreTheFewestAndTheLikely(t *testing.T) {
	t.Parallel()
	x := reading(t, september(16), found{8, 60})
	x.Blocks = inBlocks(everywhere...)
	s := suggest(x)
	require.Equal(t, []any{advice.LookAtMore, 14, 79, advice.NoneInfested}, []any{s.Code, s.Fewest, s.Likely, s.Settles})
	// For 16 of 60 it is further infested ones that settle it soonest: Wilson's lower limit
	// is 19.2 % for 18 of 62 and 20.2 % for 19 of 63.
	more := suggest(reading(t, september(16), found{16, 60}))
	require.Equal(t, []any{3, advice.AllInfested}, []any{more.Fewest, more.Settles})

	// Plants of a block are alike: with a design effect of 2 thirty plants drawn one
	// by one would have told as much, and every further one counts half.
	p := &x.Points[0]
	p.Design, p.DesignEffect, p.Effective = true, 2, 30
	p.LowerPercent, p.UpperPercent = 5.1, 30.6
	s = suggest(x)
	require.Equal(t, 2*(139-30), s.Likely)
	require.Greater(t, s.Fewest, 14)
	require.Equal(t, s.Likely, advice.Judge(x.Points, x.Limits, x.Today).MorePlants)

	// The published limit of October asks for 100 plants.
	s = suggest(reading(t, october(5), found{2, 60}))
	require.Equal(t, []any{advice.LookAtMore, 40, 40, advice.Outcome("")}, []any{s.Code, s.Fewest, s.Likely, s.Settles}, "whatever they show")
}

func TestPlantsThatDoNotStandThereSettleNothing(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		today, standing int
		want            advice.SuggestionCode
		fewest          int
	}{
		{16, 60 + 14, advice.LookAtMore, 14},
		{16, 60 + 13, advice.LookAtMore, 45}, // the next round, before the next limit: 15 plants in three of six blocks
		{24, 60 + 13, advice.LookAtMore, 45},
		{25, 60 + 14, advice.LookAtMore, 14},
		{25, 60 + 13, advice.NothingToSay, 0}, // six days before the next limit no round is left
	} {
		x := reading(t, september(c.today), found{8, 60})
		x.StandingPlants = c.standing
		s := suggest(x)
		require.Equal(t, c.want, s.Code, c)
		require.Equal(t, c.fewest, s.Fewest, c)
		require.Equal(t, []advice.EvidenceCode{"limit"}, s.Reasons, c)
	}
}

// While the forecast is open, what more plants can settle is whether the share today
// is one that would grow to the limit.
func TestAnOpenForecastAsksWhereTheShareStandsToday(t *testing.T) {
	t.Parallel()
	x := reading(t, august(19), found{2, 40}, found{2, 40}, found{3, 40}, found{4, 40})
	chance := x.Course.ChanceOver(20, september(10))
	require.Greater(t, chance, 0.3)
	require.Less(t, chance, 0.88)
	s := suggest(x)
	require.Equal(t, advice.LookAtMore, s.Code)
	require.Equal(t, advice.ForecastLine, s.Reasons[0])
	require.Positive(t, s.Fewest)
	require.LessOrEqual(t, s.Fewest, s.Likely)
	require.NotEqual(t, 150, s.Fewest, "not merely the next round")

	// From 4 000 plants the share of today is sure, on either side; only its growth is not,
	// and the next round tells: 5 % of 30 000 plants.
	for _, weeks := range [][]found{{{300, 4000}, {360, 4000}, {430, 4000}}, {{320, 4000}, {400, 4000}, {560, 4000}}} {
		x = reading(t, august(19), weeks...)
		x.StandingPlants = 30_000
		chance = x.Course.ChanceOver(20, september(10))
		require.Greater(t, chance, 0.3)
		require.Less(t, chance, 0.88)
		s = suggest(x)
		require.Equal(t, []any{advice.LookAtMore, 1500, 1500}, []any{s.Code, s.Fewest, s.Likely})
	}
}

// 13 of 60 lies so near the limit that only some thousand plants of many would settle
// it; having looked at all that stand does too.
func TestNoMorePlantsAreAskedForThanStand(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ standing, likely int }{{80, 20}, {61, 1}} {
		p := point(t, 13, 60)
		p.StandingPlants = c.standing
		a := advice.Judge([]trend.Point{p}, []advice.Threshold{fifth()}, september(14))
		require.Equal(t, advice.TooClose, a.Standing)
		require.Equal(t, c.likely, a.MorePlants)
	}
}

// When all that stand were looked at, none is left.
func TestAWholeCropLookedAtAsksForNoMore(t *testing.T) {
	t.Parallel()
	p := point(t, 3, 20)
	p.StandingPlants = 20
	a := advice.Judge([]trend.Point{p}, []advice.Threshold{fifth()}, september(14))
	require.Equal(t, []any{advice.TooClose, 0}, []any{a.Standing, a.MorePlants})
	p.StandingPlants = 19 // some were taken away in the week
	require.Zero(t, advice.Judge([]trend.Point{p}, []advice.Threshold{fifth()}, september(14)).MorePlants)

	x := reading(t, september(25), found{3, 20})
	x.Points[0].StandingPlants, x.StandingPlants = 20, 20
	require.Equal(t, advice.NothingToSay, suggest(x).Code, "and no round is left before the next limit")
}

// Sixty plants are asked for before a crop is called lost, or all of a smaller one.
func TestASmallCropIsCalledLostByAllOfIt(t *testing.T) {
	t.Parallel()
	small := func(infested, plants int) advice.Reading {
		x := reading(t, september(16), found{infested, plants})
		x.Blocks = inBlocks(found{infested, plants})
		x.Points[0].StandingPlants, x.StandingPlants, x.StandingBlocks = 20, 20, 1
		return x
	}
	require.Equal(t, advice.ConsiderSelective, suggest(small(18, 20)).Code)
	s := suggest(small(11, 12))
	require.Equal(t, []any{advice.LookAtMore, advice.SamplingLine, 8, 8}, []any{s.Code, s.Reasons[0], s.Fewest, s.Likely})
}

// A regulated pest is suspected where something was found, not everywhere.
func TestAnAuthorityIsNamedWhereThePestWasFound(t *testing.T) {
	t.Parallel()
	for infested, want := range map[int]bool{0: false, 2: true} {
		x := reading(t, september(16), found{infested, 60})
		x.Regulated = true
		require.Equal(t, want, slices.Contains(suggest(x).Cautions, advice.MayBeRegulated))
	}
}
