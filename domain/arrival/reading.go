package arrival

import (
	"fmt"
	"math"
	"slices"

	"benchtrail/domain"
	"benchtrail/domain/stats"
	"benchtrail/domain/stock"
)

// Reason is one reason with its numbers. Pages put it into words, in the
// language of the reader.
type Reason struct {
	Code       string
	OrganismID domain.ID
	Numbers    map[string]float64
}

// FindingReading is one finding with what can be said of the whole lot.
type FindingReading struct {
	Finding
	InfestedPercent, LowerPercent, UpperPercent float64
	// After no find, the smallest share of infested plants that the sample makes
	// unlikely at the confidence asked for; 0 when something was found or the
	// sample rules out nothing.
	RulesOutPercent float64
}

// Reading is what an inspection does and does not rule out, and what it suggests.
type Reading struct {
	ConfidencePercent float64
	Method            stats.Method
	Suggestion        Decision
	Reasons           []Reason
	Findings          []FindingReading
}

const regulatedSuspected = "regulated_suspected"

// Known is what a reading needs besides the inspection.
type Known struct {
	LotPlants      int
	MainOrganismID domain.ID
	// The limit on the main organism at arrival, in percent; 0 when none is set.
	LimitPercent float64
	Organisms    map[domain.ID]stock.Organism
}

// Bounds for the suggestion that no published table gives (common practice):
// more than a tenth of the plants in poor state is worth a claim, more than
// half is not worth keeping, and a lot with more than a fifth of its plants
// infested is not worth bringing in.
const (
	poorShare       = 0.10
	lostShare       = 0.50
	heavilyInfested = 20.0
)

// Read says what the inspection means for its lot. The intervals are Wilson's;
// what a sample without a find rules out is the exact hypergeometric answer for
// the lot. The suggestion is the most cautious one that a reason asks for; only a
// suspected regulated organism is always held, for its plants must not be sent
// back or thrown out before the authority has spoken.
func Read(x Inspection, k Known) (Reading, error) {
	r := Reading{ConfidencePercent: x.ConfidencePercent, Method: stats.MethodWilson, Suggestion: Accept}
	confidence := x.ConfidencePercent / 100
	for _, finding := range x.Findings { // a lot's size may have been corrected since
		k.LotPlants = max(k.LotPlants, finding.PlantsLookedAt)
	}
	for i, finding := range x.Findings {
		read, err := readFinding(x, finding, k.LotPlants)
		if err != nil {
			return Reading{}, fmt.Errorf("finding %d: %w", i, err)
		}
		r.Findings = append(r.Findings, read)
		r.weigh(read, k)
	}
	r.weighSample(x, k)
	if err := r.weighShares(x, confidence); err != nil {
		return Reading{}, err
	}
	if slices.ContainsFunc(r.Reasons, func(reason Reason) bool { return reason.Code == regulatedSuspected }) {
		r.Suggestion = Hold
	}
	return r, nil
}

func readFinding(x Inspection, finding Finding, lotPlants int) (FindingReading, error) {
	p := stats.Proportion{Examined: finding.PlantsLookedAt, Infested: finding.InfestedPlants}
	interval, err := stats.Wilson(p, x.ConfidencePercent/100)
	if err != nil {
		return FindingReading{}, fmt.Errorf("interval: %w", err)
	}
	read := FindingReading{
		Finding:         finding,
		InfestedPercent: 100 * float64(p.Infested) / float64(p.Examined),
		LowerPercent:    100 * interval.Lower,
		UpperPercent:    100 * interval.Upper,
	}
	if p.Infested == 0 {
		level, err := stats.DetectableLevel(lotPlants, p.Examined, x.ConfidencePercent/100, x.SensitivityPercent/100)
		if err != nil {
			return FindingReading{}, fmt.Errorf("what the sample rules out: %w", err)
		}
		if level.Attainable {
			read.RulesOutPercent = 100 * level.Share
		}
	}
	return read, nil
}

func (r *Reading) suggest(d Decision, reason Reason) {
	order := map[Decision]int{Accept: 0, AcceptAndWatch: 1, Hold: 2, Reject: 3}
	if order[d] > order[r.Suggestion] {
		r.Suggestion = d
	}
	r.Reasons = append(r.Reasons, reason)
}

func (r *Reading) weigh(read FindingReading, k Known) {
	numbers := map[string]float64{
		"infested_plants": float64(read.InfestedPlants), "plants_looked_at": float64(read.PlantsLookedAt),
		"infested_percent": read.InfestedPercent, "lower_percent": read.LowerPercent, "upper_percent": read.UpperPercent,
	}
	reason := Reason{OrganismID: read.OrganismID, Numbers: numbers}
	if read.InfestedPlants == 0 {
		numbers["rules_out_percent"] = read.RulesOutPercent
		reason.Code = "none_found"
		if read.RulesOutPercent == 0 {
			r.suggest(AcceptAndWatch, reason)
			return
		}
		r.suggest(Accept, reason)
		return
	}
	if read.OrganismID != k.MainOrganismID {
		reason.Code = "found"
		r.suggest(AcceptAndWatch, reason)
		if k.Organisms[read.OrganismID].RegulatedNote != "" {
			r.suggest(Hold, Reason{Code: regulatedSuspected, OrganismID: read.OrganismID})
		}
		return
	}
	numbers["limit_percent"] = k.LimitPercent
	switch {
	case read.LowerPercent > heavilyInfested:
		reason.Code = "heavily_infested"
		r.suggest(Reject, reason)
	case k.LimitPercent == 0:
		reason.Code = "found"
		r.suggest(AcceptAndWatch, reason)
	case read.LowerPercent > k.LimitPercent:
		reason.Code = "above_limit"
		r.suggest(Hold, reason)
	case read.UpperPercent <= k.LimitPercent:
		reason.Code = "below_limit"
		r.suggest(AcceptAndWatch, reason)
	default:
		reason.Code = "spans_limit"
		r.suggest(AcceptAndWatch, reason)
	}
}

// Without a lens eggs are not seen, a sample smaller than asked for rules out
// less than was wanted, and a pest nobody looked for is not ruled out at all:
// each is worth a second look, not a hold.
func (r *Reading) weighSample(x Inspection, k Known) {
	if x.LensPower == 0 {
		r.suggest(AcceptAndWatch, Reason{Code: "no_lens"})
	}
	lookedFor := false
	for _, finding := range x.Findings {
		if finding.OrganismID != k.MainOrganismID {
			continue
		}
		lookedFor = true
		asked, err := stats.SampleSizeToDetect(k.LotPlants, x.DetectionPercent/100, x.ConfidencePercent/100, x.SensitivityPercent/100)
		if err == nil && !asked.Attainable {
			asked.Units = k.LotPlants // no part of the lot would do
		}
		if err != nil || finding.PlantsLookedAt >= asked.Units {
			continue
		}
		r.suggest(AcceptAndWatch, Reason{Code: "sample_smaller_than_asked", OrganismID: finding.OrganismID, Numbers: map[string]float64{
			"plants_looked_at": float64(finding.PlantsLookedAt), "plants_asked": float64(asked.Units),
			"detection_percent": x.DetectionPercent, "confidence_percent": x.ConfidencePercent,
		}})
	}
	if !lookedFor {
		r.suggest(AcceptAndWatch, Reason{Code: "main_organism_not_looked_for", OrganismID: k.MainOrganismID})
	}
}

func (r *Reading) weighShares(x Inspection, confidence float64) error {
	shares := []struct {
		code        string
		with, total int
		worst       Decision
	}{
		{"condition_poor", x.Condition.BadlyDamaged + x.Condition.Unusable, x.Condition.Total(), Reject},
		{"roots_poor", x.Roots.Brown + x.Roots.None, x.Roots.Total(), Hold},
		{"leaf_spots", x.LeafSpots.PlantsWith, x.LeafSpots.PlantsLookedAt, Hold},
	}
	for _, d := range x.OtherDiseases {
		shares = append(shares, struct {
			code        string
			with, total int
			worst       Decision
		}{"other_disease", d.PlantsWith, d.PlantsLookedAt, Hold})
	}
	for _, s := range shares {
		if s.with == 0 || s.total == 0 {
			continue
		}
		interval, err := stats.Wilson(stats.Proportion{Examined: s.total, Infested: s.with}, confidence)
		if err != nil {
			return fmt.Errorf("%s: %w", s.code, err)
		}
		decision := AcceptAndWatch
		switch {
		case interval.Lower > lostShare:
			decision = s.worst
		case interval.Lower > poorShare:
			decision = Hold
		}
		r.suggest(decision, Reason{Code: s.code, Numbers: map[string]float64{
			"plants_with": float64(s.with), "plants_looked_at": float64(s.total), "percent": 100 * float64(s.with) / float64(s.total),
			"lower_percent": 100 * interval.Lower, "upper_percent": 100 * interval.Upper,
		}})
	}
	return nil
}

// SampleAdvice says how many plants of a lot to look at before anything is counted.
type SampleAdvice struct {
	stats.Detection
	Reasons []Reason
}

// AdviseSample gives the sample for a lot: the fewest plants that, with the
// confidence asked for, show at least one infested plant when the share asked
// for is infested and the inspector recognises the given share of infested plants.
// All three are percentages above 0 and up to 100 (the confidence below 100).
func AdviseSample(lotPlants int, detectionPercent, confidencePercent, sensitivityPercent float64) (SampleAdvice, error) {
	d, err := stats.SampleSizeToDetect(lotPlants, detectionPercent/100, confidencePercent/100, sensitivityPercent/100)
	if err != nil {
		return SampleAdvice{}, fmt.Errorf("sample size: %w", err)
	}
	numbers := map[string]float64{
		"plants": float64(d.Units), "lot_size": float64(lotPlants), "infested_units": float64(d.InfestedUnits),
		"detection_percent": detectionPercent, "confidence_percent": confidencePercent, "sensitivity_percent": sensitivityPercent,
		"confidence_reached_percent": math.Floor(1000*d.ConfidenceReached) / 10,
	}
	code := "finds_level"
	if !d.Attainable {
		code = string(d.Reason)
	}
	return SampleAdvice{d, []Reason{{Code: code, Numbers: numbers}}}, nil
}
