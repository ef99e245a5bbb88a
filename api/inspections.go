package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/scouting"
)

func inspectionFromWire(id domain.ID, b wire.InspectionBody) arrival.Inspection {
	return arrival.Inspection{
		ID: id, LotID: b.LotID, Occasion: arrival.Occasion(b.Kind), InspectedAt: b.InspectedAt, InspectorID: b.InspectorID,
		LensPower:          b.LensPower,
		DetectionPercent:   orDefault(b.DetectionPercent, arrival.DefaultDetectionPercent),
		ConfidencePercent:  orDefault(b.ConfidencePercent, arrival.DefaultConfidencePercent),
		SensitivityPercent: orDefault(b.SensitivityPercent, arrival.DefaultSensitivityPercent),
		Findings: each(b.Findings, func(f wire.Finding) arrival.Finding {
			return arrival.Finding{
				OrganismID: f.OrganismID, PlantsLookedAt: f.PlantsLookedAt, InfestedPlants: f.InfestedPlants,
				Signs: each(f.Signs, func(x wire.ArrivalSign) arrival.Sign {
					return arrival.Sign{Stage: scouting.Stage(x.Stage), State: scouting.State(x.State), Colour: x.Colour, Plants: x.Plants}
				}),
			}
		}),
		Roots: arrival.Roots{White: b.Roots.White, PartlyBrown: b.Roots.PartlyBrown, Brown: b.Roots.Brown, None: b.Roots.None},
		Condition: arrival.Condition{
			Sound: b.Condition.Sound, SlightlyDamaged: b.Condition.SlightlyDamaged, BadlyDamaged: b.Condition.BadlyDamaged,
			Unusable: b.Condition.Unusable,
		},
		LeafSpots: arrival.Incidence{PlantsLookedAt: b.LeafSpots.PlantsLookedAt, PlantsWith: b.LeafSpots.PlantsWith},
		OtherDiseases: each(b.OtherDiseases, func(d wire.OtherDisease) arrival.Incidence {
			return arrival.Incidence{Name: d.Name, PlantsLookedAt: d.PlantsLookedAt, PlantsWith: d.PlantsWith}
		}),
		Note: b.Note, Withdrawn: b.WithdrawnBecause,
	}
}

func inspectionToWire(r store.Record[arrival.Inspection]) wire.Inspection {
	x := r.Value
	return wire.Inspection{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		LotID: x.LotID, Kind: wire.InspectionKind(x.Occasion), InspectedAt: x.InspectedAt, InspectorID: x.InspectorID,
		LensPower: x.LensPower, DetectionPercent: x.DetectionPercent, ConfidencePercent: x.ConfidencePercent,
		SensitivityPercent: x.SensitivityPercent,
		Findings: each(x.Findings, func(f arrival.Finding) wire.Finding {
			return wire.Finding{
				OrganismID: f.OrganismID, PlantsLookedAt: f.PlantsLookedAt, InfestedPlants: f.InfestedPlants,
				Signs: each(f.Signs, func(x arrival.Sign) wire.ArrivalSign {
					return wire.ArrivalSign{Stage: wire.Stage(x.Stage), State: wire.Condition(x.State), Colour: x.Colour, Plants: x.Plants}
				}),
			}
		}),
		Roots: wire.RootCounts{White: x.Roots.White, PartlyBrown: x.Roots.PartlyBrown, Brown: x.Roots.Brown, None: x.Roots.None},
		Condition: wire.ConditionCounts{
			Sound: x.Condition.Sound, SlightlyDamaged: x.Condition.SlightlyDamaged, BadlyDamaged: x.Condition.BadlyDamaged,
			Unusable: x.Condition.Unusable,
		},
		LeafSpots: wire.Incidence{PlantsLookedAt: x.LeafSpots.PlantsLookedAt, PlantsWith: x.LeafSpots.PlantsWith},
		OtherDiseases: each(x.OtherDiseases, func(d arrival.Incidence) wire.OtherDisease {
			return wire.OtherDisease{Name: d.Name, PlantsLookedAt: d.PlantsLookedAt, PlantsWith: d.PlantsWith}
		}),
		Note: x.Note, WithdrawnBecause: x.Withdrawn,
		SiteID: x.SiteID, Inspector: wire.Author{ID: x.InspectorID, Name: x.InspectorName}, Reading: readingToWire(x.Reading),
	}
}

func readingToWire(r arrival.Reading) wire.InspectionReading {
	return wire.InspectionReading{
		ConfidencePercent: r.ConfidencePercent, Method: string(r.Method), Suggestion: wire.InspectionReadingSuggestion(r.Suggestion),
		Reasons: each(r.Reasons, reasonToWire),
		Findings: each(r.Findings, func(f arrival.FindingReading) wire.FindingReading {
			out := wire.FindingReading{
				OrganismID: f.OrganismID, PlantsLookedAt: f.PlantsLookedAt, InfestedPlants: f.InfestedPlants,
				InfestedPercent: f.InfestedPercent, LowerPercent: f.LowerPercent, UpperPercent: f.UpperPercent,
			}
			if f.RulesOutPercent > 0 {
				out.RulesOutPercent = &f.RulesOutPercent
			}
			return out
		}),
	}
}

func reasonToWire(r arrival.Reason) wire.Reason {
	return wire.Reason{Code: r.Code, OrganismID: r.OrganismID, Numbers: r.Numbers}
}

func (s *server) inspections() writer {
	return writerOf(s, daily, inspectionFromWire, s.Store.PutInspection, inspectionToWire)
}

// PutInspection implements PUT /inspections/{id}.
func (s *server) PutInspection(c echo.Context, id domain.ID, p wire.PutInspectionParams) error {
	return s.put(c, s.inspections(), id, p.IfMatch)
}

// GetInspection implements GET /inspections/{id}.
func (s *server) GetInspection(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Inspection, inspectionToWire)
}

// ListInspections implements GET /inspections.
func (s *server) ListInspections(c echo.Context, p wire.ListInspectionsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[arrival.Inspection], error) {
		return s.Store.Inspections(ctx, a, page, p.SiteID, p.LotID, p.ShipmentID)
	}
	return list(c, p.Limit, p.After, read, inspectionToWire)
}

func verdictFromWire(id domain.ID, b wire.VerdictBody) arrival.Verdict {
	return arrival.Verdict{
		ID: id, InspectionID: b.InspectionID, Decision: arrival.Decision(b.Decision), Plants: b.Plants, Because: b.Because,
		Withdrawn: b.WithdrawnBecause,
	}
}

func verdictToWire(r store.Record[arrival.Verdict]) wire.Verdict {
	x := r.Value
	return wire.Verdict{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		InspectionID: x.InspectionID, Decision: wire.VerdictDecision(x.Decision), Plants: x.Plants, Because: x.Because, WithdrawnBecause: x.Withdrawn,
		LotID: x.LotID, SiteID: x.SiteID, Suggested: wire.VerdictSuggested(x.Suggested),
	}
}

func (s *server) verdicts() writer {
	return writerOf(s, daily, verdictFromWire, s.Store.PutVerdict, verdictToWire)
}

// PutVerdict implements PUT /verdicts/{id}.
func (s *server) PutVerdict(c echo.Context, id domain.ID, p wire.PutVerdictParams) error {
	return s.put(c, s.verdicts(), id, p.IfMatch)
}

// GetVerdict implements GET /verdicts/{id}.
func (s *server) GetVerdict(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.Verdict, verdictToWire)
}

// ListVerdicts implements GET /verdicts.
func (s *server) ListVerdicts(c echo.Context, p wire.ListVerdictsParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[arrival.Verdict], error) {
		return s.Store.Verdicts(ctx, a, page, p.LotID, p.ShipmentID)
	}
	return list(c, p.Limit, p.After, read, verdictToWire)
}
