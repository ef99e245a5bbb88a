package api

import (
	"context"

	"github.com/labstack/echo/v4"

	"benchtrail/api/internal/wire"
	"benchtrail/api/store"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func labSampleFromWire(id domain.ID, b wire.LabSampleBody) stock.LabSample {
	return stock.LabSample{
		ID: id, LotID: b.LotID, BlockID: b.BlockID, TakenAt: b.TakenAt, Plants: b.Plants, SampleNumber: b.SampleNumber, Laboratory: b.Laboratory,
		LookedFor: b.LookedFor, Result: orDefault(stock.Result(b.Result), stock.Waiting), ResultOn: b.ResultOn, ReportNumber: b.ReportNumber,
		Note: b.Note, Withdrawn: b.WithdrawnBecause,
	}
}

func labSampleToWire(r store.Record[stock.LabSample]) wire.LabSample {
	x := r.Value
	return wire.LabSample{
		ID: r.ID, Version: r.Version, RecordedAt: r.RecordedAt, RecordedBy: author(r.RecordedBy),
		LotID: x.LotID, BlockID: x.BlockID, TakenAt: x.TakenAt, Plants: x.Plants, SampleNumber: x.SampleNumber, Laboratory: x.Laboratory,
		LookedFor: x.LookedFor, Result: wire.LabSampleResult(x.Result), ResultOn: x.ResultOn, ReportNumber: x.ReportNumber,
		Note: x.Note, WithdrawnBecause: x.Withdrawn, SiteID: x.SiteID,
	}
}

func (s *server) labSamples() writer {
	return writerOf(s, daily, labSampleFromWire, s.Store.PutLabSample, labSampleToWire)
}

// PutLabSample implements PUT /lab-samples/{id}.
func (s *server) PutLabSample(c echo.Context, id domain.ID, p wire.PutLabSampleParams) error {
	return s.put(c, s.labSamples(), id, p.IfMatch)
}

// GetLabSample implements GET /lab-samples/{id}.
func (s *server) GetLabSample(c echo.Context, id domain.ID) error {
	return get(c, id, s.Store.LabSample, labSampleToWire)
}

// ListLabSamples implements GET /lab-samples.
func (s *server) ListLabSamples(c echo.Context, p wire.ListLabSamplesParams) error {
	read := func(ctx context.Context, a store.Actor, page store.Page) (store.List[stock.LabSample], error) {
		return s.Store.LabSamples(ctx, a, page, p.SiteID, p.LotID)
	}
	return list(c, p.Limit, p.After, read, labSampleToWire)
}
