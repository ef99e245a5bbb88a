package api

import (
	"errors"
	"math"
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
		"/first/examined": "examined_a", "/first/infested": "infested_a", "/second/examined": "examined_b", "/second/infested": "infested_b",
		"/acceptable": "acceptable_percent", "/action": "action_percent", "/alpha": "alpha", "/beta": "beta",
		"/minimum": "minimum", "/maximum": "maximum", "/lower": "lower", "/base": "lower", "/upper": "upper",
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
	switch stats.Method(p.Method) {
	case stats.MethodClopperPearson:
		method, sum = stats.MethodClopperPearson, stats.ClopperPearson
	case stats.MethodJeffreys:
		method, sum = stats.MethodJeffreys, stats.Jeffreys
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

// SumDifference implements GET /sums/difference.
func (s *server) SumDifference(c echo.Context, p wire.SumDifferenceParams) error {
	a := stats.Proportion{Examined: p.ExaminedA, Infested: p.InfestedA}
	b := stats.Proportion{Examined: p.ExaminedB, Infested: p.InfestedB}
	confidence := orDefault(p.ConfidencePercent, arrival.DefaultConfidencePercent)
	d, err := stats.NewcombeDifference(a, b, confidence/100)
	if err != nil {
		return inQuery(err)
	}
	return c.JSON(http.StatusOK, wire.DifferenceSum{
		ExaminedA: a.Examined, InfestedA: a.Infested, ExaminedB: b.Examined, InfestedB: b.Infested, ConfidencePercent: confidence,
		DifferencePercent: 100 * d.Observed, LowerPercent: 100 * d.Lower, UpperPercent: 100 * d.Upper,
		Method: string(stats.MethodNewcombe), Source: stats.MethodNewcombe.Source(),
	})
}

// SumStopLines implements GET /sums/stop-lines. Beside the lines it says what
// they do, worked out exactly at a few true shares around the two levels.
func (s *server) SumStopLines(c echo.Context, p wire.SumStopLinesParams) error {
	acceptable, action := p.AcceptablePercent/100, p.ActionPercent/100
	lines, err := stats.NewStopLines(acceptable, action, p.Alpha, p.Beta, p.Maximum)
	if err != nil {
		return inQuery(err)
	}
	out := wire.StopLinesSum{
		AcceptablePercent: p.AcceptablePercent, ActionPercent: p.ActionPercent, Alpha: p.Alpha, Beta: p.Beta, Maximum: p.Maximum,
		Slope: lines.Slope, BelowIntercept: lines.BelowIntercept, AboveIntercept: lines.AboveIntercept,
		Lines:  each(lines.Lines, stopLineToWire),
		Method: string(stats.MethodSequential), Source: stats.MethodSequential.Source(),
	}
	gap := action - acceptable
	for _, share := range []float64{
		acceptable / 2, acceptable, acceptable + gap/4, acceptable + gap/2, acceptable + 3*gap/4, action, min(1.5*action, 1),
	} {
		below, average, err := lines.Operating(share)
		if err != nil {
			return inQuery(err)
		}
		out.Operating = append(out.Operating, wire.StopOperating{Percent: 100 * share, ProbabilityBelow: below, AveragePlants: average})
	}
	return c.JSON(http.StatusOK, out)
}

func stopLineToWire(x stats.StopLine) wire.StopLine {
	line := wire.StopLine{Plants: x.Examined}
	if x.BelowIfAtMost >= 0 {
		line.BelowIfAtMost = &x.BelowIfAtMost
	}
	if x.AboveIfAtLeast <= x.Examined {
		line.AboveIfAtLeast = &x.AboveIfAtLeast
	}
	return line
}

// SumDegreeDays implements GET /sums/degree-days.
func (s *server) SumDegreeDays(c echo.Context, p wire.SumDegreeDaysParams) error {
	hasUpper := c.QueryParams().Has("upper")
	method, upper := stats.MethodSingleSine, math.Inf(1)
	if hasUpper {
		upper = p.Upper
	}
	var sum float64
	var err error
	if stats.Method(p.Method) == stats.MethodAverage {
		if hasUpper {
			return domain.Faults{{Path: "#query/upper", Code: "not_wanted", Detail: "the average method has no upper threshold"}}
		}
		method = stats.MethodAverage
		sum, err = stats.AverageDegreeDays(p.Minimum, p.Maximum, p.Lower)
	} else {
		sum, err = stats.SineDegreeDays(p.Minimum, p.Maximum, p.Lower, upper)
	}
	if err != nil {
		return inQuery(err)
	}
	return c.JSON(http.StatusOK, wire.DegreeDaysSum{
		DegreeDays: sum, Unit: orDefault(wire.DegreeDaysSumUnit(p.Unit), "C"), Method: string(method), Source: method.Source(),
	})
}
