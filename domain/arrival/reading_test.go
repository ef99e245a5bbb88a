package arrival_test

import (
	"encoding/json"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
)

var (
	whitefly  = domain.ID{15: 1}
	thrips    = domain.ID{15: 2}
	lewisMite = domain.ID{15: 3}
	lotID     = domain.ID{15: 4}
	dockHour  = time.Date(2026, time.July, 27, 10, 0, 0, 0, time.UTC)
)

// thousand is what is known of a lot of 1,000 with a limit of 7 % on whitefly.
func thousand() arrival.Known {
	return arrival.Known{
		LotPlants: 1000, MainOrganismID: whitefly, LimitPercent: 7,
		Organisms: map[domain.ID]stock.Organism{
			whitefly: {ID: whitefly, RegulatedNote: "regulated at import"}, thrips: {ID: thrips},
			lewisMite: {ID: lewisMite, RegulatedNote: "quarantine pest"},
		},
	}
}

func found(organism domain.ID, infested, lookedAt int) arrival.Finding {
	return arrival.Finding{OrganismID: organism, InfestedPlants: infested, PlantsLookedAt: lookedAt}
}

func inspection(findings ...arrival.Finding) arrival.Inspection {
	return arrival.Inspection{
		LotID: lotID, Occasion: arrival.AtDock, InspectedAt: dockHour, LensPower: 15,
		DetectionPercent: arrival.DefaultDetectionPercent, ConfidencePercent: arrival.DefaultConfidencePercent,
		SensitivityPercent: arrival.DefaultSensitivityPercent, Findings: findings,
	}
}

func reasons(r arrival.Reading) []string {
	var all []string
	for _, reason := range r.Reasons {
		all = append(all, reason.Code)
	}
	return all
}

// publishedSample reads a cell of ISPM 31 (FAO/IPPC, 2008), appendix 2, table 1.
func publishedSample(t *testing.T, lot int, level, confidence float64) int {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/ispm31_table1_hypergeometric_95_99.json")
	require.NoError(t, err)
	var file struct {
		Cases []struct {
			Lot        int
			Level      float64 `json:"level_of_detection"`
			Confidence float64
			Units      *int `json:"n_exact"`
			Printed    *int `json:"n_recalled"`
		}
	}
	require.NoError(t, json.Unmarshal(text, &file))
	for _, c := range file.Cases {
		if c.Lot == lot && c.Level == level && c.Confidence == confidence {
			require.NotNil(t, c.Printed)
			require.Equal(t, *c.Units, *c.Printed)
			return *c.Printed
		}
	}
	require.Fail(t, "the table has no such cell")
	return 0
}

// Wilson's interval of 2 of 57, worked out apart from this program: 1.0 to 11.9 %.
func TestTwoOfFiftySevenIsReadWithItsInterval(t *testing.T) {
	t.Parallel()
	r, err := arrival.Read(inspection(found(whitefly, 2, 57)), thousand())
	require.NoError(t, err)
	require.Equal(t, stats.MethodWilson, r.Method)
	require.InDelta(t, 95, r.ConfidencePercent, 0)
	require.Len(t, r.Findings, 1)
	f := r.Findings[0]
	require.Equal(t, 57, f.PlantsLookedAt)
	require.Equal(t, 2, f.InfestedPlants)
	require.InDelta(t, 3.5, f.InfestedPercent, 0.05)
	require.InDelta(t, 0.97, f.LowerPercent, 0.005)
	require.InDelta(t, 11.92, f.UpperPercent, 0.005)
	require.Zero(t, f.RulesOutPercent, "nothing is ruled out once something was found")
	require.Equal(t, arrival.AcceptAndWatch, r.Suggestion)
	require.Equal(t, []string{"spans_limit"}, reasons(r))
	require.InDelta(t, 7, r.Reasons[0].Numbers["limit_percent"], 0)
	require.InDelta(t, 2, r.Reasons[0].Numbers["infested_plants"], 0)
	require.Equal(t, whitefly, r.Reasons[0].OrganismID)
}

// ISPM 31, appendix 2, table 1: in a lot of 1,000 a sample of 57 finds 5 % with
// 95 % confidence. So 0 of 57 rules 5 % out, and one plant less does not.
func TestNoneOfFiftySevenRulesOutFivePercentAsPublished(t *testing.T) {
	t.Parallel()
	n := publishedSample(t, 1000, 0.05, 0.95)
	require.Equal(t, 57, n)
	r, err := arrival.Read(inspection(found(whitefly, 0, n)), thousand())
	require.NoError(t, err)
	require.InDelta(t, 5, r.Findings[0].RulesOutPercent, 1e-9)
	require.InDelta(t, 0, r.Findings[0].InfestedPercent, 0)
	require.InDelta(t, 6.31, r.Findings[0].UpperPercent, 0.005, "the two-sided interval is another number")
	require.Equal(t, arrival.Accept, r.Suggestion)
	require.Equal(t, []string{"none_found"}, reasons(r))
	require.InDelta(t, 5, r.Reasons[0].Numbers["rules_out_percent"], 1e-9)

	r, err = arrival.Read(inspection(found(whitefly, 0, n-1)), thousand())
	require.NoError(t, err)
	require.Greater(t, r.Findings[0].RulesOutPercent, 5.0)
	require.Equal(t, arrival.AcceptAndWatch, r.Suggestion)
	require.Equal(t, []string{"none_found", "sample_smaller_than_asked"}, reasons(r))
	require.InDelta(t, 57, r.Reasons[1].Numbers["plants_asked"], 0)
}

func TestTheSampleForALotIsThePublishedOne(t *testing.T) {
	t.Parallel()
	advice, err := arrival.AdviseSample(1000, 5, 95, 100)
	require.NoError(t, err)
	require.Equal(t, publishedSample(t, 1000, 0.05, 0.95), advice.Units)
	require.Len(t, advice.Reasons, 1)
	require.Equal(t, "finds_level", advice.Reasons[0].Code)
	require.InDelta(t, 57, advice.Reasons[0].Numbers["plants"], 0)
	require.InDelta(t, 50, advice.Reasons[0].Numbers["infested_units"], 0)
	require.GreaterOrEqual(t, advice.Reasons[0].Numbers["confidence_reached_percent"], 95.0)

	missed, err := arrival.AdviseSample(1000, 5, 95, 80)
	require.NoError(t, err)
	require.Greater(t, missed.Units, advice.Units, "who overlooks a fifth has to look at more")

	small, err := arrival.AdviseSample(10, 5, 95, 100)
	require.NoError(t, err)
	require.Zero(t, small.Units)
	require.Equal(t, "no_infested_unit", small.Reasons[0].Code)

	_, err = arrival.AdviseSample(0, 5, 100, 100)
	var faults domain.Faults
	require.ErrorAs(t, err, &faults)
	require.Len(t, faults, 2)
}

// The bounds are common practice; each suggestion is reached by a reason with its
// numbers.
func TestTheSuggestionIsTheMostCautiousOneThatAReasonAsksFor(t *testing.T) {
	t.Parallel()
	none := found(whitefly, 0, 60)
	for name, c := range map[string]struct {
		change  func(*arrival.Inspection, *arrival.Known)
		want    arrival.Decision
		reasons []string
	}{
		"nothing was found": {func(*arrival.Inspection, *arrival.Known) {}, arrival.Accept, []string{"none_found"}},
		"some below the limit": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Findings[0] = found(whitefly, 2, 200)
		}, arrival.AcceptAndWatch, []string{"below_limit"}},
		"some, and no limit is set": {func(x *arrival.Inspection, k *arrival.Known) {
			x.Findings[0], k.LimitPercent = found(whitefly, 12, 60), 0
		}, arrival.AcceptAndWatch, []string{"found"}},
		"surely above the limit": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Findings[0] = found(whitefly, 12, 60)
		}, arrival.Hold, []string{"above_limit"}},
		"perhaps above the limit": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Findings[0] = found(whitefly, 6, 60)
		}, arrival.AcceptAndWatch, []string{"spans_limit"}},
		"surely above a fifth": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Findings[0] = found(whitefly, 30, 60)
		}, arrival.Reject, []string{"heavily_infested"}},
		"surely above a fifth, and no limit is set": {func(x *arrival.Inspection, k *arrival.Known) {
			x.Findings[0], k.LimitPercent = found(whitefly, 30, 60), 0
		}, arrival.Reject, []string{"heavily_infested"}},
		"another organism": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Findings = append(x.Findings, found(thrips, 50, 60))
		}, arrival.AcceptAndWatch, []string{"none_found", "found"}},
		"a regulated organism, once": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Findings = append(x.Findings, found(lewisMite, 1, 60))
		}, arrival.Hold, []string{"none_found", "found", "regulated_suspected"}},
		"a regulated organism that was not found": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Findings = append(x.Findings, found(lewisMite, 0, 60))
		}, arrival.Accept, []string{"none_found", "none_found"}},
		"a regulated organism on a lot to reject otherwise": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Findings = []arrival.Finding{found(whitefly, 40, 60), found(lewisMite, 1, 60)}
		}, arrival.Hold, []string{"heavily_infested", "found", "regulated_suspected"}},
		"a regulated organism on plants in poor state": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Findings = append(x.Findings, found(lewisMite, 1, 60))
			x.Condition = arrival.Condition{Unusable: 60}
		}, arrival.Hold, []string{"none_found", "found", "regulated_suspected", "condition_poor"}},
		"a lot to reject, looked at without a lens": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Findings[0], x.LensPower = found(whitefly, 40, 60), 0
		}, arrival.Reject, []string{"heavily_infested", "no_lens"}},
		"no lens": {
			func(x *arrival.Inspection, _ *arrival.Known) { x.LensPower = 0 },
			arrival.AcceptAndWatch,
			[]string{"none_found", "no_lens"},
		},
		"fewer plants than asked": {
			func(x *arrival.Inspection, _ *arrival.Known) { x.Findings[0] = found(whitefly, 0, 20) },
			arrival.AcceptAndWatch,
			[]string{"none_found", "sample_smaller_than_asked"},
		},
		"most of a lot too small for the level": {func(x *arrival.Inspection, k *arrival.Known) {
			k.LotPlants, x.Findings[0] = 15, found(whitefly, 0, 14)
		}, arrival.AcceptAndWatch, []string{"none_found", "sample_smaller_than_asked"}},
		"all of a lot too small for the level": {func(x *arrival.Inspection, k *arrival.Known) {
			k.LotPlants, x.Findings[0] = 15, found(whitefly, 0, 15)
		}, arrival.Accept, []string{"none_found"}},
		"an eye that overlooks half, which rules out nothing": {func(x *arrival.Inspection, k *arrival.Known) {
			k.LotPlants, x.Findings[0], x.SensitivityPercent = 2, found(whitefly, 0, 2), 50
		}, arrival.AcceptAndWatch, []string{"none_found"}},
		"nobody looked for the main pest": {
			func(x *arrival.Inspection, _ *arrival.Known) { x.Findings[0] = found(thrips, 0, 60) },
			arrival.AcceptAndWatch,
			[]string{"none_found", "main_organism_not_looked_for"},
		},
		"a damaged plant": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Condition = arrival.Condition{Sound: 59, BadlyDamaged: 1}
		}, arrival.AcceptAndWatch, []string{"none_found", "condition_poor"}},
		"slight damage is none": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Condition = arrival.Condition{Sound: 20, SlightlyDamaged: 40}
		}, arrival.Accept, []string{"none_found"}},
		"a fourth of the plants in poor state": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Condition = arrival.Condition{Sound: 45, BadlyDamaged: 10, Unusable: 5}
		}, arrival.Hold, []string{"none_found", "condition_poor"}},
		"most plants in poor state": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Condition = arrival.Condition{Sound: 15, BadlyDamaged: 25, Unusable: 20}
		}, arrival.Reject, []string{"none_found", "condition_poor"}},
		"most roots brown": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Roots = arrival.Roots{White: 10, Brown: 45, None: 5}
		}, arrival.Hold, []string{"none_found", "roots_poor"}},
		"partly brown roots are no loss": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.Roots = arrival.Roots{White: 10, PartlyBrown: 50}
		}, arrival.Accept, []string{"none_found"}},
		"a leaf spot": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.LeafSpots = arrival.Incidence{PlantsLookedAt: 60, PlantsWith: 1}
		}, arrival.AcceptAndWatch, []string{"none_found", "leaf_spots"}},
		"leaf spots on most": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.LeafSpots = arrival.Incidence{PlantsLookedAt: 60, PlantsWith: 50}
		}, arrival.Hold, []string{"none_found", "leaf_spots"}},
		"another disease on a fourth": {func(x *arrival.Inspection, _ *arrival.Known) {
			x.OtherDiseases = []arrival.Incidence{{Name: "rot", PlantsLookedAt: 60, PlantsWith: 15}, {Name: "mould", PlantsLookedAt: 60}}
		}, arrival.Hold, []string{"none_found", "other_disease"}},
	} {
		x, k := inspection(none), thousand()
		c.change(&x, &k)
		r, err := arrival.Read(x, k)
		require.NoError(t, err, name)
		require.Equal(t, c.want, r.Suggestion, name)
		require.Equal(t, c.reasons, reasons(r), name)
	}
}

func TestAReadingOfNothingIsRefused(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		change func(*arrival.Inspection)
		says   string
	}{
		"no plants":              {func(x *arrival.Inspection) { x.Findings[0] = found(whitefly, 0, 0) }, "finding 0"},
		"complete confidence":    {func(x *arrival.Inspection) { x.ConfidencePercent = 100 }, "interval"},
		"more spots than plants": {func(x *arrival.Inspection) { x.LeafSpots = arrival.Incidence{PlantsLookedAt: 3, PlantsWith: 4} }, "leaf_spots"},
	} {
		x := inspection(found(whitefly, 0, 60))
		c.change(&x)
		_, err := arrival.Read(x, thousand())
		var faults domain.Faults
		require.ErrorAs(t, err, &faults, name)
		require.ErrorContains(t, err, c.says, name)
	}
}

// The papers may say fewer than were counted later.
func TestALotIsAtLeastWhatWasLookedAt(t *testing.T) {
	t.Parallel()
	k := thousand()
	k.LotPlants = 40
	r, err := arrival.Read(inspection(found(whitefly, 0, 57)), k)
	require.NoError(t, err)
	require.InDelta(t, 100.0/57, r.Findings[0].RulesOutPercent, 1e-9, "not one of the 57")
}

func TestMoreFoundNeverMakesTheSuggestionBolder(t *testing.T) {
	t.Parallel()
	caution := map[arrival.Decision]int{arrival.Accept: 0, arrival.AcceptAndWatch: 1, arrival.Hold: 2, arrival.Reject: 3}
	rapid.Check(t, func(t *rapid.T) {
		k := thousand()
		k.LotPlants = rapid.IntRange(1, 5000).Draw(t, "lot")
		k.LimitPercent = rapid.SampledFrom([]float64{0, 1, 5, 7, 20}).Draw(t, "limit")
		lookedAt := rapid.IntRange(1, k.LotPlants).Draw(t, "looked at")
		infested := rapid.IntRange(0, lookedAt-1).Draw(t, "infested")
		read := func(infested int) arrival.Reading {
			r, err := arrival.Read(inspection(found(whitefly, infested, lookedAt)), k)
			require.NoError(t, err)
			return r
		}
		less, more := read(infested), read(infested+1)
		require.LessOrEqual(t, caution[less.Suggestion], caution[more.Suggestion])
		require.NotEmpty(t, less.Reasons, "a suggestion always has a reason")
		f := less.Findings[0]
		require.LessOrEqual(t, f.LowerPercent, f.InfestedPercent+1e-9)
		require.GreaterOrEqual(t, f.UpperPercent, f.InfestedPercent-1e-9)
		if infested > 0 {
			require.Zero(t, f.RulesOutPercent)
		}
	})
}

// What is said to be ruled out is: the sample for that level is no larger.
func TestWhatIsRuledOutWouldHaveBeenFound(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		k := thousand()
		k.LotPlants = rapid.IntRange(1, 3000).Draw(t, "lot")
		x := inspection(found(whitefly, 0, rapid.IntRange(1, k.LotPlants).Draw(t, "looked at")))
		x.SensitivityPercent = rapid.SampledFrom([]float64{100, 80}).Draw(t, "sensitivity")
		r, err := arrival.Read(x, k)
		require.NoError(t, err)
		out := r.Findings[0].RulesOutPercent
		if out == 0 {
			require.Equal(t, arrival.AcceptAndWatch, r.Suggestion, "a sample that rules out nothing is no reason to accept")
			return
		}
		reached, err := stats.ConfidenceReached(k.LotPlants, x.Findings[0].PlantsLookedAt, out/100, x.SensitivityPercent/100)
		require.NoError(t, err)
		require.GreaterOrEqual(t, reached, 0.95-1e-9)
	})
}
