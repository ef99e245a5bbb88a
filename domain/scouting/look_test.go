package scouting_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/scouting"
)

var (
	whitefly = domain.ID{15: 1}
	botrytis = domain.ID{15: 2}
	block    = domain.ID{15: 3}
	lot      = domain.ID{15: 4}
	monday   = time.Date(2026, time.September, 14, 9, 0, 0, 0, time.UTC)
)

func codes(t require.TestingT, err error) []string {
	if err == nil {
		return nil
	}
	var faults domain.Faults
	require.ErrorAs(t, err, &faults)
	var all []string
	for _, f := range faults {
		all = append(all, f.Path+" "+f.Code)
	}
	return all
}

func lookWith(targets ...scouting.Target) scouting.Look {
	return scouting.Look{BlockID: block, LookedAt: monday, Targets: targets}
}

func TestPlantsAreCountedUnderTheRuleOfTheOrganism(t *testing.T) {
	t.Parallel()
	target := scouting.Target{OrganismID: whitefly, Plants: []scouting.Plant{
		{},
		{Seen: true},
		{Seen: true, Signs: []scouting.Sign{sign(scouting.EmptyCase, "")}},
		{Seen: true, Signs: []scouting.Sign{sign(scouting.Egg, scouting.Alive)}},
	}}
	for name, c := range map[string]struct {
		stages []string
		want   int
	}{"eggs count": {anyStage, 2}, "eggs do not count": {noEggs, 1}} {
		counted := target.Count(c.stages)
		require.Equal(t, 4, counted.PlantsLookedAt, name)
		require.Equal(t, c.want, counted.InfestedPlants, name)
	}
	require.Zero(t, target.PlantsLookedAt, "the target itself is left alone")
	tally := scouting.Target{OrganismID: whitefly, PlantsLookedAt: 18, InfestedPlants: 4}
	require.Equal(t, tally, tally.Count(noEggs))
}

func TestCountsOfPlantsStayWithinThePlants(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var target scouting.Target
		seen := 0
		for range rapid.IntRange(1, 30).Draw(t, "plants") {
			plant := scouting.Plant{Seen: rapid.Bool().Draw(t, "seen")}
			if plant.Seen {
				seen++
				plant.Signs = rapid.SliceOfN(anySign(), 0, 3).Draw(t, "signs")
			}
			target.Plants = append(target.Plants, plant)
		}
		stages := rapid.SampledFrom([][]string{anyStage, noEggs, nil}).Draw(t, "stages")
		counted := target.Count(stages)
		require.Equal(t, len(target.Plants), counted.PlantsLookedAt)
		require.LessOrEqual(t, counted.InfestedPlants, seen)
		require.Equal(t, counted, counted.Count(stages))
	})
}

func TestALookIsCheckedForEverythingAtOnce(t *testing.T) {
	t.Parallel()
	require.Equal(t, []string{"/block_id missing", "/looked_at missing", "/targets missing"}, codes(t, scouting.Look{}.Check()))
	for name, c := range map[string]struct {
		targets []scouting.Target
		want    []string
	}{
		"plants":  {[]scouting.Target{{OrganismID: whitefly, Plants: []scouting.Plant{{}, {Seen: true}}}}, nil},
		"a tally": {[]scouting.Target{{OrganismID: whitefly, PlantsLookedAt: 18, InfestedPlants: 4}}, nil},
		"two organisms": {[]scouting.Target{
			{OrganismID: whitefly, PlantsLookedAt: 18}, {OrganismID: botrytis, PlantsLookedAt: 18, InfestedPlants: 18},
		}, nil},
		"more infested than looked at": {
			[]scouting.Target{{OrganismID: whitefly, PlantsLookedAt: 18, InfestedPlants: 19}},
			[]string{"/targets/0/tally/infested_plants more_infested_than_looked_at"},
		},
		"no plants": {[]scouting.Target{{OrganismID: whitefly}}, []string{"/targets/0 no_plants"}},
		"plants and a tally": {
			[]scouting.Target{{OrganismID: whitefly, PlantsLookedAt: 1, Plants: []scouting.Plant{{}}}},
			[]string{"/targets/0/tally plants_and_tally"},
		},
		"the same organism twice": {
			[]scouting.Target{{OrganismID: whitefly, PlantsLookedAt: 1}, {OrganismID: whitefly, PlantsLookedAt: 1}},
			[]string{"/targets/1/organism_id twice"},
		},
		"no organism": {[]scouting.Target{{PlantsLookedAt: 1}}, []string{"/targets/0/organism_id missing"}},
		"signs where nothing was seen": {
			[]scouting.Target{{OrganismID: whitefly, Plants: []scouting.Plant{{Signs: []scouting.Sign{{Stage: scouting.Egg}}}}}},
			[]string{"/targets/0/plants/0/signs signs_on_unseen"},
		},
		"severity of every plant":  {[]scouting.Target{{OrganismID: botrytis, PlantsLookedAt: 10, Severity: []int{6, 2, 1, 1, 0}}}, nil},
		"severity of too few":      {[]scouting.Target{{OrganismID: botrytis, PlantsLookedAt: 10, Severity: []int{6, 2, 1, 0, 0}}}, []string{"/targets/0/severity severity_does_not_add_up"}},
		"severity in four classes": {[]scouting.Target{{OrganismID: botrytis, PlantsLookedAt: 10, Severity: []int{6, 2, 1, 1}}}, []string{"/targets/0/severity severity_does_not_add_up"}},
		"severity plant by plant":  {[]scouting.Target{{OrganismID: botrytis, Plants: []scouting.Plant{{}, {Seen: true}}, Severity: []int{1, 1, 0, 0, 0}}}, nil},
	} {
		require.Equal(t, c.want, codes(t, lookWith(c.targets...).Check()), name)
	}
}

func TestALookIsDoubtedAndKept(t *testing.T) {
	t.Parallel()
	now := monday
	for name, c := range map[string]struct {
		lot   domain.ID
		stood bool
		at    time.Time
		want  []scouting.Doubt
	}{
		"the lot stood there":                 {lot, true, now, nil},
		"no lot was named":                    {domain.ID{}, false, now, []scouting.Doubt{scouting.LotNotKnown}},
		"the lot stood elsewhere":             {lot, false, now, []scouting.Doubt{scouting.LotNotInBlock}},
		"a clock a quarter of an hour ahead":  {lot, true, now.Add(15 * time.Minute), nil},
		"a clock further ahead":               {lot, true, now.Add(15*time.Minute + time.Second), []scouting.Doubt{scouting.InTheFuture}},
		"a lot elsewhere and a clock ahead":   {lot, false, now.Add(time.Hour), []scouting.Doubt{scouting.LotNotInBlock, scouting.InTheFuture}},
		"a look that reached us a month late": {lot, true, now.AddDate(0, -1, 0), nil},
	} {
		look := scouting.Look{LotID: c.lot, LookedAt: c.at}
		require.Equal(t, c.want, look.DoubtsNow(c.stood, false, now), name)
	}
}

func TestAClockThatWasSetPutsAMomentInDoubtUntilItIsSaidAnew(t *testing.T) {
	t.Parallel()
	const minute = 60_000
	for _, c := range []struct {
		then, now int64
		set       bool
	}{
		{0, 10 * minute, false},
		{0, 10*minute + 1, true},
		{0, -10 * minute, false},
		{0, -10*minute - 1, true},
		{-300 * minute, -300 * minute, false}, // wrong all along, and known to be
		{-400_000_000_000_000, 251_000_000_000_000, true},
	} {
		require.Equal(t, c.set, scouting.ClockSet(c.then, c.now), "%d, %d", c.then, c.now)
	}

	look := scouting.Look{LotID: lot, LookedAt: monday}
	require.False(t, look.MomentInDoubt(scouting.Look{}, false))
	require.True(t, look.MomentInDoubt(scouting.Look{}, true))
	require.Equal(t, []scouting.Doubt{scouting.ClockChanged}, look.DoubtsNow(true, true, monday))

	sure, unsure := look, look
	unsure.Doubts = []scouting.Doubt{scouting.ClockChanged}
	look.Note = "wet"
	require.True(t, look.MomentInDoubt(unsure, false), "corrected, but not in its moment")
	require.False(t, look.MomentInDoubt(sure, true), "the moment was there before the clock was set")
	look.LookedAt = monday.Add(time.Hour)
	require.False(t, look.MomentInDoubt(unsure, false), "said anew by a good clock")
	require.True(t, look.MomentInDoubt(sure, true))
}

func TestADoubtWaitsUntilAPersonSettlesIt(t *testing.T) {
	t.Parallel()
	look := scouting.Look{Doubts: []scouting.Doubt{scouting.LotNotInBlock}}
	require.True(t, look.InDoubt())
	look.Settled = "the lot was moved on Friday, the move came later"
	require.False(t, look.InDoubt())
	require.False(t, scouting.Look{}.InDoubt())
}

func TestLooksOnPurposeAndWithdrawnOnesStayOutOfEstimates(t *testing.T) {
	t.Parallel()
	require.True(t, scouting.Look{Purpose: scouting.Planned}.Counts())
	require.False(t, scouting.Look{Purpose: scouting.OnPurpose}.Counts())
	require.False(t, scouting.Look{Purpose: scouting.Planned, Withdrawn: "wrong block"}.Counts())
	require.True(t, scouting.Look{Purpose: scouting.Planned, Doubts: []scouting.Doubt{scouting.LotNotKnown}}.Counts())
}

func TestStageHotSpotAndTimeHaveTheirBounds(t *testing.T) {
	t.Parallel()
	look := lookWith(scouting.Target{OrganismID: whitefly, PlantsLookedAt: 18})
	require.NoError(t, look.Check(), "none of them is needed")
	for _, stage := range scouting.CropStages() {
		look.CropStage = stage
		require.NoError(t, look.Check())
	}
	look.HotSpot, look.Seconds = strings.Repeat("ñ", scouting.MostHotSpot), scouting.MostSeconds
	require.NoError(t, look.Check())
	look.CropStage, look.HotSpot, look.Seconds = "wilted", look.HotSpot+"a", scouting.MostSeconds+1
	require.Equal(t, []string{"/crop_stage unknown_kind", "/hot_spot too_long", "/seconds out_of_range"}, codes(t, look.Check()))
	look.CropStage, look.HotSpot, look.Seconds = "", "", -1
	require.Equal(t, []string{"/seconds out_of_range"}, codes(t, look.Check()))
}
