package advice_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/trend"
)

var aMonday = domain.NewDate(2026, time.September, 14)

func limitOf(percent float64) []advice.Threshold {
	return []advice.Threshold{{
		ID: domain.ID{15: 1}, FromOn: aMonday.AddDays(-4), ToOn: aMonday.AddDays(11), Percent: percent, Effect: advice.Act,
	}}
}

// lotOf is a lot looked at in one week, last week.
func lotOf(t require.TestingT, code string, infested, plants int, percent float64, suggestions ...advice.SuggestionCode) advice.LotThisWeek {
	point, err := trend.PointOf(trend.Counts{WeekStart: aMonday.AddDays(-7), Plants: plants, Infested: infested})
	require.NoError(t, err)
	course, err := trend.Follow([]trend.Point{point}, trend.UsualPrior())
	require.NoError(t, err)
	read := trend.Reading{Points: []trend.Point{point}, Course: course}
	return advice.UsualRules().ReadLot(domain.ID{}, code, read, limitOf(percent), suggestions, aMonday)
}

func codesOf(lots []advice.LotThisWeek) []string {
	codes := make([]string, len(lots))
	for i, x := range lots {
		codes[i] = x.Code
	}
	return codes
}

func TestOneOfFiveNeverStandsAboveFifteenOfEighty(t *testing.T) {
	t.Parallel()
	for _, percent := range []float64{1, 2, 5, 7, 10, 20} {
		lots := []advice.LotThisWeek{
			lotOf(t, "1 of 5", 1, 5, percent, advice.ConsiderSelective),
			lotOf(t, "0 of 15", 0, 15, percent, advice.LookAtMore),
			lotOf(t, "15 of 80", 15, 80, percent),
			lotOf(t, "2 of 8", 2, 8, percent),
			lotOf(t, "40 of 60", 40, 60, percent),
			lotOf(t, "30 of 200", 30, 200, percent),
		}
		advice.UsualRules().WorstFirst(lots)
		require.Equal(t, []string{"40 of 60", "15 of 80", "30 of 200", "2 of 8", "1 of 5", "0 of 15"}, codesOf(lots), "limit %v %%", percent)
		require.True(t, lots[1].NeedsAPerson(), "15 of 80 under a limit of %v %%", percent)
	}
}

// A lot above another has the higher lower limit, unless it is known to be over its limit
// and the other is not.
func TestTheOrderOfLotsGoesByWhatIsKnown(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		percent := rapid.Float64Range(1, 40).Draw(t, "limit")
		lots := make([]advice.LotThisWeek, rapid.IntRange(2, 12).Draw(t, "lots"))
		for i := range lots {
			plants := rapid.IntRange(1, 120).Draw(t, "plants")
			suggestion := rapid.SampledFrom([]advice.SuggestionCode{advice.LookAtMore, advice.ConsiderSelective, advice.StayBiological}).Draw(t, "suggestion")
			lots[i] = lotOf(t, string(rune('a'+i)), rapid.IntRange(0, plants).Draw(t, "infested"), plants, percent, suggestion)
		}
		shuffled := rapid.Permutation(lots).Draw(t, "shuffled")
		advice.UsualRules().WorstFirst(lots)
		advice.UsualRules().WorstFirst(shuffled)
		require.Equal(t, codesOf(lots), codesOf(shuffled))
		require.True(t, slices.IsSortedFunc(lots, func(a, b advice.LotThisWeek) int {
			if a.Answer.Point.LowerPercent > b.Answer.Point.LowerPercent {
				return -1
			}
			return int(b.Answer.Point.LowerPercent - a.Answer.Point.LowerPercent + 0.5)
		}), "with one limit for all, those over it have the highest lower limits")
	})
}

func TestALotNeedsAPersonByWhereItStandsAndByWhatIsSuggested(t *testing.T) {
	t.Parallel()
	point := func(infested, plants int, week domain.Date) trend.Point {
		p, err := trend.PointOf(trend.Counts{WeekStart: week, Plants: plants, Infested: infested})
		require.NoError(t, err)
		return p
	}
	last := aMonday.AddDays(-7)
	for _, x := range []struct {
		name   string
		answer advice.Answer
		chance float64
		known  bool
		want   advice.Concern
		needs  bool
	}{
		{"never looked at", advice.Answer{Standing: advice.NoLooks}, 0, false, advice.NotLookedAt, false},
		{"three weeks ago", advice.Answer{Standing: advice.Above, Point: point(20, 40, aMonday.AddDays(-28))}, 0, false, advice.NotLookedAt, false},
		{"two weeks ago", advice.Answer{Standing: advice.Above, Point: point(20, 40, aMonday.AddDays(-14))}, 0, false, advice.OverLimit, true},
		{"without a limit", advice.Answer{Standing: advice.NoLimit, Point: point(20, 40, last)}, 0, false, advice.Unlimited, false},
		{"over", advice.Answer{Standing: advice.Above, Point: point(20, 40, last)}, 0.1, true, advice.OverLimit, true},
		{"below, but growing", advice.Answer{Standing: advice.Below, Point: point(2, 60, last)}, 0.6, true, advice.HeadingOver, true},
		{"below", advice.Answer{Standing: advice.Below, Point: point(2, 60, last)}, 0.4, true, advice.WellBelow, false},
		{"too close, and open", advice.Answer{Standing: advice.TooClose, Point: point(4, 20, last)}, 0.4, true, advice.NearLimit, true},
		{"too close, and shrinking", advice.Answer{Standing: advice.TooClose, Point: point(4, 20, last)}, 0.2, true, advice.WellBelow, false},
		{"a few clean plants", advice.Answer{Standing: advice.TooClose, Point: point(0, 10, last)}, 0, false, advice.Unsettled, false},
		{"too few", advice.Answer{Standing: advice.TooFew, Point: point(4, 10, last)}, 0.9, true, advice.Unsettled, false},
	} {
		lot := advice.LotThisWeek{Answer: x.answer, Chance: x.chance, Known: x.known}
		lot.Concern = advice.UsualRules().ConcernOf(lot, aMonday)
		require.Equal(t, x.want, lot.Concern, x.name)
		require.Equal(t, x.needs, lot.NeedsAPerson(), x.name)
		lot.Suggestions = []advice.SuggestionCode{advice.StayBiological, advice.DealWithHotSpots}
		require.True(t, lot.NeedsAPerson(), x.name)
	}
}

func TestDecisionsAreAskedAboutUntilTheyAreDone(t *testing.T) {
	t.Parallel()
	made := func(days int, done bool) advice.Decision {
		d := advice.Decision{DecidedAt: aMonday.AddDays(days).Time().Add(9 * time.Hour)}
		if done {
			d.DoneOn = aMonday.AddDays(days)
		}
		return d
	}
	withdrawn := made(0, false)
	withdrawn.Withdrawn = "wrong house"
	all := []advice.Decision{made(1, true), made(0, false), withdrawn, made(-1, true), made(-7, false), made(-28, false), made(-29, false)}
	due := advice.ToCheck(all, aMonday, func(d advice.Decision) domain.Date { return domain.DateOf(d.DecidedAt) })
	require.Equal(t, []advice.Decision{all[0], all[1], all[4], all[5]}, due)
}
