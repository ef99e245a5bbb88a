package advice_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/trend"
)

// Wilson's intervals worked out apart from this program: 15 of 80 is 11.7 to 28.7 %, 3 of
// 80 is 1.3 to 10.5 %, 30 of 80 is 27.7 to 48.5 %.
func TestAWeekIsOverTheLimitOfThatWeekOnlyWithItsWholeInterval(t *testing.T) {
	t.Parallel()
	monday := domain.NewDate(2026, time.August, 24)
	var points []trend.Point
	for i, infested := range []int{3, 15, 30, 30, 30} {
		p, err := trend.PointOf(trend.Counts{WeekStart: monday.AddDays(7 * i), Plants: 80, Infested: infested})
		require.NoError(t, err)
		points = append(points, p)
	}
	limits := []advice.Threshold{
		{FromOn: monday, ToOn: monday.AddDays(13), Percent: 10, Effect: advice.Act},
		{FromOn: monday.AddDays(14), ToOn: monday.AddDays(16), Percent: 30, Effect: advice.Act},
		{FromOn: monday.AddDays(16), ToOn: monday.AddDays(30), Percent: 5, Effect: advice.Act, SmallestPlants: 100},
		{FromOn: monday, ToOn: monday.AddDays(60), Percent: 1, Effect: advice.WentWell},
	}
	require.Equal(t, advice.WeeksOver{Looked: 5, Judged: 3, Over: 1}, advice.CountWeeksOver(points, limits))
	require.Equal(t, advice.WeeksOver{}, advice.CountWeeksOver(nil, limits))
}

func TestLotsAreCountedByWhereTheyStand(t *testing.T) {
	t.Parallel()
	of := func(standings ...advice.Standing) []advice.Answer {
		var answers []advice.Answer
		for _, s := range standings {
			answers = append(answers, advice.Answer{Standing: s})
		}
		return answers
	}
	require.Equal(t, advice.LotCount{Under: 2, Over: 1, CannotSay: 2, NoLimit: 1},
		advice.CountLots(of(advice.Below, advice.Above, advice.Below, advice.TooClose, advice.TooFew, advice.NoLimit)))
}
