package advice_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/domain"
	"benchtrail/domain/advice"
)

func decision() advice.Decision {
	share, lower, upper := 20.0, 11.8, 31.8
	return advice.Decision{
		HouseID: domain.ID{15: 1}, CultivarID: domain.ID{15: 2}, OrganismID: domain.ID{15: 3}, SeasonID: domain.ID{15: 4},
		Choice: advice.ChoseBiological, Because: "the wasps are at work", DecidedAt: time.Date(2026, time.September, 14, 16, 0, 0, 0, time.UTC),
		Figures: advice.Figures{Week: "2026-W38", Plants: 60, Infested: 12, Percent: &share, LowerPercent: &lower, UpperPercent: &upper},
	}
}

func TestADecisionIsCheckedForEverythingAtOnce(t *testing.T) {
	t.Parallel()
	require.NoError(t, decision().Check())
	for _, choice := range []advice.Choice{
		advice.ChoseLookAtMore, advice.ChoseBiological, advice.ChoseHotSpots, advice.ChoseSelective, advice.ChoseSomethingElse,
	} {
		d := decision()
		d.Choice = choice
		require.NoError(t, d.Check(), choice)
	}
	require.Equal(t, []string{
		"/house_id missing", "/cultivar_id missing", "/organism_id missing", "/season_id missing", "/because missing", "/decided_at missing",
		"/choice not_allowed",
	}, codes(t, advice.Decision{}.Check()))
	d := decision()
	d.DoneNote = "sprayed on a dry morning"
	d.Figures.Infested, d.Figures.Week = 61, "2026-W54"
	d.Figures.LowerPercent, d.Figures.UpperPercent = d.Figures.UpperPercent, d.Figures.LowerPercent
	require.Equal(t, []string{
		"/done_on missing", "/figures/infested_plants more_infested_than_looked_at", "/figures/upper_percent before_start", "/figures/week wrong_form",
	}, codes(t, d.Check()))
	d = decision()
	d.DoneOn, d.DoneNote, d.Figures = september(15), "done", advice.Figures{}
	require.NoError(t, d.Check(), "figures need not be known")
}

func TestADecisionOfTheFarFutureHasNotBeenMade(t *testing.T) {
	t.Parallel()
	d := decision()
	require.NoError(t, d.CheckAt(d.DecidedAt.Add(-24*time.Hour)), "a clock may be ahead")
	require.NoError(t, d.CheckAt(d.DecidedAt.Add(1000*time.Hour)), "long ago is no fault")
	require.Equal(t, []string{"/decided_at in_the_future"}, codes(t, d.CheckAt(d.DecidedAt.Add(-24*time.Hour-time.Second))))
}

func TestADecisionIsNotCarriedOutInTheFuture(t *testing.T) {
	t.Parallel()
	d := decision() // decided on the 14th at 16:00 UTC
	now := d.DecidedAt
	for _, done := range []domain.Date{september(1), september(14), september(15)} {
		d.DoneOn = done
		require.NoError(t, d.CheckAt(now), "%s: before it was recorded, today, and a clock may be ahead", done)
	}
	d.DoneOn = september(16)
	require.Equal(t, []string{"/done_on in_the_future"}, codes(t, d.CheckAt(now)))
	require.NoError(t, d.CheckAt(now.In(time.FixedZone("nine hours ahead", 9*60*60))), "it is the 15th there")
	d.DecidedAt = now.Add(25 * time.Hour)
	require.Equal(t, []string{"/decided_at in_the_future", "/done_on in_the_future"}, codes(t, d.CheckAt(now)))
}

func TestACorrectedDecisionIsAboutTheSame(t *testing.T) {
	t.Parallel()
	was, d := decision(), decision()
	d.Choice, d.Because, d.DoneOn = advice.ChoseHotSpots, "only by the door", september(15)
	require.NoError(t, d.CheckCorrects(was))
	other := domain.ID{15: 9}
	d.HouseID, d.CultivarID, d.OrganismID, d.SeasonID = other, other, other, other
	require.Equal(t, []string{
		"/house_id not_changeable", "/cultivar_id not_changeable", "/organism_id not_changeable", "/season_id not_changeable",
	}, codes(t, d.CheckCorrects(was)))
}
