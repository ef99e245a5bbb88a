package api

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/domain"
	"benchtrail/domain/arrival"
)

// ListSecondLooks implements GET /second-looks.
func (s *server) ListSecondLooks(c echo.Context, p wire.ListSecondLooksParams) error {
	looks, err := s.Store.SecondLooks(c.Request().Context(), actorOf(c), p.SiteID, p.On)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, wire.SecondLookList{Items: each(looks, secondLookToWire)})
}

func secondLookToWire(x arrival.DueLook) wire.SecondLook {
	from := wire.SecondLookCountedFrom("arrival")
	if x.FromSticking {
		from = "sticking"
	}
	return wire.SecondLook{
		LotID: x.LotID, LotCode: x.LotCode, CultivarID: x.CultivarID, DueFrom: x.From, DueTo: x.To, CountedFrom: from,
		State: wire.SecondLookState(x.StateOnTheDay),
	}
}

// Usual pace of a person looking at cuttings under a lens (common practice).
const (
	usualSecondsPerPlant = 20
	usualMinutesPerLot   = 1
)

// GetDockPlan implements GET /dock-plan.
func (s *server) GetDockPlan(c echo.Context, p wire.GetDockPlanParams) error {
	waiting, err := s.Store.WaitingLots(c.Request().Context(), actorOf(c), p.SiteID, p.ShipmentID)
	if err != nil {
		return err
	}
	confidence := orDefault(p.ConfidencePercent, arrival.DefaultConfidencePercent)
	pace := arrival.Pace{
		SecondsPerPlant: orDefault(p.SecondsPerPlant, usualSecondsPerPlant), MinutesPerLot: orDefault(p.MinutesPerLot, usualMinutesPerLot),
	}
	plan, err := arrival.PlanDock(waiting, p.Minutes, confidence/100, pace)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, wire.DockPlan{
		Minutes: plan.Minutes, MinutesUsed: plan.MinutesUsed, ConfidencePercent: confidence,
		SecondsPerPlant: pace.SecondsPerPlant, MinutesPerLot: pace.MinutesPerLot,
		LeftOut: each(plan.LeftOut, func(id domain.ID) domain.ID { return id }),
		Steps: each(plan.Steps, func(x arrival.Step) wire.DockPlanStep {
			return wire.DockPlanStep{
				LotID: x.LotID, LotCode: x.Code, CultivarID: x.CultivarID, LotSize: x.Plants, Plants: x.PlantsToLookAt, Minutes: x.Minutes,
				RulesOutPercent: x.RulesOutPercent, Reasons: each(x.Reasons, reasonToWire),
			}
		}),
	})
}

// GetSampleAdvice implements GET /lots/{id}/sample.
func (s *server) GetSampleAdvice(c echo.Context, id domain.ID, p wire.GetSampleAdviceParams) error {
	lot, err := s.Store.Lot(c.Request().Context(), actorOf(c), id)
	if err != nil {
		return err
	}
	out := wire.SampleAdvice{
		LotID: id, LotSize: lot.Value.Plants,
		DetectionPercent:   orDefault(p.DetectionPercent, arrival.DefaultDetectionPercent),
		ConfidencePercent:  orDefault(p.ConfidencePercent, arrival.DefaultConfidencePercent),
		SensitivityPercent: orDefault(p.SensitivityPercent, arrival.DefaultSensitivityPercent),
	}
	advice, err := arrival.AdviseSample(out.LotSize, out.DetectionPercent, out.ConfidencePercent, out.SensitivityPercent)
	if err != nil {
		return inQuery(err)
	}
	out.InfestedUnits, out.Method, out.Source = advice.InfestedUnits, string(advice.Method), advice.Method.Source()
	out.Reasons = each(advice.Reasons, reasonToWire)
	if advice.Attainable {
		out.Plants = &advice.Units
	}
	return c.JSON(http.StatusOK, out)
}
