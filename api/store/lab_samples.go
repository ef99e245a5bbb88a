package store

import (
	"context"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func labSampleTable() table[stock.LabSample] {
	return table[stock.LabSample]{
		name: "lab_sample",
		columns: `t.id, t.lot_id, t.block_id, t.taken_at, coalesce(t.plants, 0), t.sample_number, t.laboratory, t.looked_for, t.result, t.result_on,
			t.report_number, t.note, t.withdrawn_because, t.site_id`,
		fields: func(x *stock.LabSample) []any {
			return []any{
				&x.ID, &x.LotID, &x.BlockID, &x.TakenAt, &x.Plants, &x.SampleNumber, &x.Laboratory, &x.LookedFor, &x.Result, &x.ResultOn,
				&x.ReportNumber, &x.Note, &x.Withdrawn, &x.SiteID,
			}
		},
	}
}

// PutLabSample stores a sample sent to a laboratory.
func (s *Store) PutLabSample(ctx context.Context, a Actor, p Put, x stock.LabSample) (Saved[stock.LabSample], error) {
	return save(ctx, s, a, p, labSampleTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		site, err := ownSite(ctx, tx, st.org, "lot", x.LotID)
		if err != nil {
			return site, err
		}
		if !x.BlockID.IsZero() {
			at, err := ownSite(ctx, tx, st.org, "block", x.BlockID)
			if err == nil && at != site {
				err = missing(ErrNotFound, "block")
			}
			if err != nil {
				return site, err
			}
		}
		return site, upsert(ctx, tx, st, "lab_sample", `site_id, lot_id, block_id, taken_at, plants, sample_number, laboratory, looked_for, result,
			result_on, report_number, note, withdrawn_because`,
			site, x.LotID, x.BlockID, x.TakenAt, orNull(x.Plants), x.SampleNumber, x.Laboratory, x.LookedFor, x.Result,
			x.ResultOn, x.ReportNumber, x.Note, x.Withdrawn)
	})
}

// LabSample reads a sample.
func (s *Store) LabSample(ctx context.Context, a Actor, id domain.ID) (Record[stock.LabSample], error) {
	return get(ctx, s, a, labSampleTable(), id)
}

// LabSamples lists the samples, of one site or lot unless they are zero. A lot has
// those that were taken of lots it came from before it left them.
func (s *Store) LabSamples(ctx context.Context, a Actor, page Page, site, lot domain.ID) (List[stock.LabSample], error) {
	return list(ctx, s, a, labSampleTable(), page, `and ($4::uuid is null or t.site_id = $4) and ($5::uuid is null or t.lot_id = $5
		or exists (with recursive up(id, until) as (
				select p.parent_id, p.born_at from lot_parent p where p.organisation_id = $1 and p.lot_id = $5
				union select p.parent_id, least(up.until, p.born_at) from up join lot_parent p on p.organisation_id = $1 and p.lot_id = up.id)
			select from up where up.id = t.lot_id and t.taken_at < up.until))`, site, lot)
}
