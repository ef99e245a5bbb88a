package api

import (
	"errors"
	"net/http"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/stats"
)

// inQuery leads the faults of a sum, which name its arguments, to the query
// parameters they came from.
func inQuery(err error) error {
	var faults domain.Faults
	if !errors.As(err, &faults) {
		return err
	}
	names := map[string]string{
		"/lot": "lot_size", "/detection": "detection_percent", "/confidence": "confidence_percent", "/sensitivity": "sensitivity_percent",
		"/examined": "examined", "/infested": "infested",
	}
	out := make(domain.Faults, len(faults))
	for i, f := range faults {
		if name, ok := names[f.Path]; ok {
			f.Path = "#query/" + name
		}
		out[i] = f
	}
	return out
}

// SumSampleSize implements GET /sums/sample-size.
func (s *server) SumSampleSize(c echo.Context, p wire.SumSampleSizeParams) error {
	out := wire.SampleSizeSum{
		LotSize: p.LotSize, DetectionPercent: p.DetectionPercent, ConfidencePercent: p.ConfidencePercent,
		SensitivityPercent: orDefault(p.SensitivityPercent, arrival.DefaultSensitivityPercent),
	}
	d, err := stats.SampleSizeToDetect(out.LotSize, out.DetectionPercent/100, out.ConfidencePercent/100, out.SensitivityPercent/100)
	if err != nil {
		return inQuery(err)
	}
	out.InfestedUnits, out.Method, out.Source, out.Reason = d.InfestedUnits, string(d.Method), d.Method.Source(), string(d.Reason)
	if d.Attainable {
		out.Plants = &d.Units
	}
	return c.JSON(http.StatusOK, out)
}

// SumProportion implements GET /sums/proportion.
func (s *server) SumProportion(c echo.Context, p wire.SumProportionParams) error {
	x := stats.Proportion{Examined: p.Examined, Infested: p.Infested}
	confidence := orDefault(p.ConfidencePercent, arrival.DefaultConfidencePercent)
	method, sum := stats.MethodWilson, stats.Wilson
	if p.Method == wire.SumProportionParamsMethod(stats.MethodClopperPearson) {
		method, sum = stats.MethodClopperPearson, stats.ClopperPearson
	}
	interval, err := sum(x, confidence/100)
	if err != nil {
		return inQuery(err)
	}
	out := wire.ProportionSum{
		Examined: x.Examined, Infested: x.Infested, ConfidencePercent: confidence,
		InfestedPercent: 100 * float64(x.Infested) / float64(x.Examined),
		LowerPercent:    100 * interval.Lower, UpperPercent: 100 * interval.Upper, Method: string(method), Source: method.Source(),
	}
	if x.Infested == 0 {
		limit, err := stats.UpperLimitForZero(x.Examined, confidence/100)
		if err != nil {
			return inQuery(err)
		}
		out.RulesOutPercent = 100 * limit
	}
	return c.JSON(http.StatusOK, out)
}
