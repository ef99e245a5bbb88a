package store

import (
	"context"
	"fmt"
	"slices"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// rebook works out anew what follows from the movements of the family and the
// holds on it, and writes it down.
func (f family) rebook(ctx context.Context, tx pgx.Tx, org domain.ID) error {
	if len(f.lots) == 0 {
		return nil
	}
	book := stock.FoldBook(f.lots, f.movements)
	batch := &pgx.Batch{}
	f.writeAccounts(batch, org, book)
	f.writeHolds(batch, org, book)
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write the book: %w", err)
	}
	for _, x := range f.lots {
		if err := renewDoubts(ctx, tx, org, x.ID); err != nil {
			return err
		}
	}
	return nil
}

func (f family) writeAccounts(batch *pgx.Batch, org domain.ID, book stock.Book) {
	ids := f.ids()
	for _, table := range []string{"placement", "lot_account", "lot_parent", "lot_share"} {
		batch.Queue(`delete from `+table+` where organisation_id = $1 and lot_id = any($2)`, org, ids)
	}
	batch.Queue(`delete from movement_conflict c using movement m where c.organisation_id = $1 and m.organisation_id = $1 and m.id = c.movement_id
		and m.lot_id = any($2)`, org, ids)
	for order, a := range book.InOrder() {
		x := a.Lot
		for _, p := range a.Placements {
			batch.Queue(`insert into placement (organisation_id, lot_id, block_id, from_at, to_at, plants, site_id) values ($1, $2, $3, $4, $5, $6, $7)`,
				org, x.ID, p.BlockID, p.From, p.To, p.Plants, x.SiteID)
		}
		t := a.Tally
		batch.Queue(`insert into lot_account (organisation_id, lot_id, site_id, received, unplaced, placed, discarded, dispatched, split_off, merged_away,
				gained, lost, stuck, rooted, born_at, born) values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16)`,
			org, x.ID, x.SiteID, t.In, t.Unplaced, t.Placed, t.Discarded, t.Dispatched, t.SplitOff, t.MergedAway, t.Gained, t.Lost,
			a.Strike.Stuck, a.Strike.Rooted, a.Birth.At, order)
		for _, p := range a.Birth.Parents {
			batch.Queue(`insert into lot_parent (organisation_id, lot_id, parent_id, site_id, movement_id, born_at, plants) values ($1, $2, $3, $4, $5, $6, $7)`,
				org, x.ID, p.LotID, x.SiteID, a.Birth.MovementID, a.Birth.At, p.Plants)
		}
		for _, s := range a.Composition {
			batch.Queue(`insert into lot_share (organisation_id, lot_id, arrival_id, site_id, numerator, denominator)
				values ($1, $2, $3, $4, $5::text::numeric, $6::text::numeric)`,
				org, x.ID, s.LotID, x.SiteID, s.Part.Num().String(), s.Part.Denom().String())
		}
		origin := f.originOf(a)
		batch.Queue(`update lot set plants_on_hand = $3, state = $4, origin_id = $5, supplier_id = $6, arrived_on = $7, mixed = $8
				where organisation_id = $1 and id = $2`,
			org, x.ID, t.OnHand(), a.State, origin.OriginID, origin.SupplierID, origin.ArrivedOn, origin.Mixed)
		if !x.BornBy.IsZero() { // it grows what its arrivals were grown at; not known where one's is not
			batch.Queue(`delete from lot_farm where organisation_id = $1 and lot_id = $2`, org, x.ID)
			batch.Queue(`insert into lot_farm (organisation_id, lot_id, farm_id, site_id)
				select distinct $1::uuid, $2::uuid, f.farm_id, $3::uuid from lot_share s join lot_farm f on f.organisation_id = $1 and f.lot_id = s.arrival_id
				where s.organisation_id = $1 and s.lot_id = $2 and not exists (select from lot_share o where o.organisation_id = $1 and o.lot_id = $2
					and not exists (select from lot_farm g where g.organisation_id = $1 and g.lot_id = o.arrival_id))`, org, x.ID, x.SiteID)
		}
	}
	for _, c := range book.Conflicts {
		with := c.With
		if with == nil {
			with = []domain.ID{}
		}
		batch.Queue(`insert into movement_conflict (organisation_id, movement_id, site_id, code, lot_id, block_id, have, asked, detail, beside)
			values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
			org, c.Movement.ID, c.Movement.SiteID, c.Code, c.LotID, c.BlockID, c.Have, c.Asked, c.Detail, with)
	}
}

// originOf says with which shipment and supplier all plants of the lot came, where
// there is one, and when the first did.
func (f family) originOf(a stock.Account) stock.Lot {
	origin := stock.Lot{ArrivedOn: a.Lot.ArrivedOn, SupplierID: a.Lot.SupplierID}
	for i, s := range a.Composition {
		from := f.lot(s.LotID)
		if i == 0 {
			origin = stock.Lot{OriginID: from.ShipmentID, SupplierID: from.SupplierID, ArrivedOn: from.ArrivedOn}
			continue
		}
		if origin.OriginID != from.ShipmentID {
			origin.OriginID, origin.Mixed = domain.ID{}, true
		}
		if origin.SupplierID != from.SupplierID {
			origin.SupplierID = domain.ID{}
		}
		if from.ArrivedOn.Compare(origin.ArrivedOn) < 0 {
			origin.ArrivedOn = from.ArrivedOn
		}
	}
	return origin
}

// writeHolds writes which holds reach the lots, and what was done in spite of them.
func (f family) writeHolds(batch *pgx.Batch, org domain.ID, book stock.Book) {
	ids := f.ids()
	holding := book.Under(f.holds, f.spots)
	batch.Queue(`delete from lot_hold where organisation_id = $1 and lot_id = any($2)`, org, ids)
	batch.Queue(`delete from breach b using movement m where b.organisation_id = $1 and m.organisation_id = $1 and m.id = b.movement_id
		and m.lot_id = any($2)`, org, ids)
	for _, x := range f.lots {
		for _, r := range holding.Reaching(x.ID) {
			batch.Queue(`insert into lot_hold (organisation_id, lot_id, hold_id, site_id, by_verdict, scope, scope_id, kind, from_at, to_at, reason)
				values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
				org, x.ID, r.Hold.ID, x.SiteID, r.Hold.ByVerdict, r.Hold.Scope, r.Hold.ScopeID, r.Hold.Kind, r.From, r.To, r.Hold.Reason)
		}
	}
	for _, breach := range holding.Breaches(f.movements) {
		var seen []domain.ID
		for _, hold := range breach.Holds {
			if !slices.Contains(seen, hold.ID) {
				seen = append(seen, hold.ID)
				batch.Queue(`insert into breach (organisation_id, movement_id, hold_id, site_id) values ($1, $2, $3, $4)`,
					org, breach.Movement.ID, hold.ID, breach.Movement.SiteID)
			}
		}
	}
}

// rebookLots works out anew the book of the lots, and of those related to them.
func rebookLots(ctx context.Context, tx pgx.Tx, org domain.ID, lots ...domain.ID) error {
	f, err := familyOf(ctx, tx, org, lots...)
	if err != nil {
		return err
	}
	return f.rebook(ctx, tx, org)
}

// holdAnew works out anew which holds reach the lots that a query names by $2.
func holdAnew(ctx context.Context, tx pgx.Tx, org domain.ID, lotsOf string, id domain.ID) error {
	rows, err := tx.Query(ctx, lotsOf, org, id)
	if err != nil {
		return fmt.Errorf("read the lots that are held: %w", err)
	}
	lots, err := pgx.CollectRows(rows, pgx.RowTo[domain.ID])
	if err != nil {
		return fmt.Errorf("read the lots that are held: %w", err)
	}
	f, err := familyOf(ctx, tx, org, lots...)
	if err != nil || len(f.lots) == 0 {
		return err
	}
	batch := &pgx.Batch{}
	f.writeHolds(batch, org, stock.FoldBook(f.lots, f.movements))
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write what is held: %w", err)
	}
	return nil
}
