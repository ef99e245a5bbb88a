package store

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// family is lots related by splits and merges, with all their movements.
type family struct {
	lots      []stock.Lot
	movements []stock.Movement
	holds     []stock.Hold
	spots     map[domain.ID]stock.Spot
}

// lockBook lets the book of a site be changed by one at a time: what one movement
// makes impossible must be seen by the next.
func lockBook(ctx context.Context, tx pgx.Tx, site domain.ID) error {
	if _, err := tx.Exec(ctx, `select pg_advisory_xact_lock(hashtextextended($1::text, 3))`, site.String()); err != nil {
		return fmt.Errorf("wait for the book of the site: %w", err)
	}
	return nil
}

// kin gives the lots related to those of $2, and those themselves. Withdrawn
// movements relate too: they may be corrected back.
const kin = `with recursive kin(id) as (
		select unnest($2::uuid[])
		union
		select other.id from kin cross join lateral (
			select p.lot_id as id from movement m join movement_part p on p.organisation_id = $1 and p.movement_id = m.id
				where m.organisation_id = $1 and m.lot_id = kin.id
			union all
			select m.lot_id from movement_part p join movement m on m.organisation_id = $1 and m.id = p.movement_id
				where p.organisation_id = $1 and p.lot_id = kin.id) other)`

// familyOf reads the lots related to those given, by the lots of the book alone.
func familyOf(ctx context.Context, tx pgx.Tx, org domain.ID, lots ...domain.ID) (family, error) {
	var f family
	if len(lots) == 0 {
		return f, nil
	}
	const q = kin + ` select t.id, t.shipment_id, t.cultivar_id, t.plants, t.code, t.site_id, t.season_id, c.crop_id, t.withdrawn_because,
			coalesce(s.supplier_id, t.supplier_id), coalesce(s.arrived_on, t.arrived_on), t.born_by
		from kin join lot t on t.organisation_id = $1 and t.id = kin.id
		join cultivar c on c.organisation_id = $1 and c.id = t.cultivar_id
		left join shipment s on s.organisation_id = $1 and s.id = t.shipment_id`
	rows, err := tx.Query(ctx, q, org, lots)
	if err != nil {
		return f, fmt.Errorf("read the related lots: %w", err)
	}
	f.lots, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (x stock.Lot, err error) {
		return x, row.Scan(&x.ID, &x.ShipmentID, &x.CultivarID, &x.Plants, &x.Code, &x.SiteID, &x.SeasonID, &x.CropID, &x.Withdrawn,
			&x.SupplierID, &x.ArrivedOn, &x.BornBy)
	})
	if err != nil {
		return f, fmt.Errorf("read the related lots: %w", err)
	}
	t := movementTable()
	records, err := t.collect(ctx, tx, org, t.selectFrom()+` and t.lot_id = any($2)`, f.ids())
	if err != nil {
		return f, err
	}
	f.movements = make([]stock.Movement, len(records))
	for i, r := range records {
		f.movements[i] = r.Value
	}
	if f.holds, err = holdsOn(ctx, tx, org, f); err != nil {
		return f, err
	}
	f.spots, err = spotsOf(ctx, tx, org, f)
	return f, err
}

func (f family) ids() []domain.ID {
	ids := make([]domain.ID, len(f.lots))
	for i, x := range f.lots {
		ids[i] = x.ID
	}
	return ids
}

// lot gives a lot of the family; zero when it has none of the id.
func (f family) lot(id domain.ID) stock.Lot {
	for _, x := range f.lots {
		if x.ID == id {
			return x
		}
	}
	return stock.Lot{}
}

// spotsOf says of every block of the family's sites where it lies.
func spotsOf(ctx context.Context, tx pgx.Tx, org domain.ID, f family) (map[domain.ID]stock.Spot, error) {
	sites := []domain.ID{}
	for _, x := range f.lots {
		sites = append(sites, x.SiteID)
	}
	spots := map[domain.ID]stock.Spot{}
	rows, err := tx.Query(ctx, `select id, house_id, site_id, quarantine from block where organisation_id = $1 and site_id = any($2)`, org, sites)
	if err != nil {
		return nil, fmt.Errorf("read where the blocks lie: %w", err)
	}
	var block domain.ID
	var spot stock.Spot
	_, err = pgx.ForEachRow(rows, []any{&block, &spot.HouseID, &spot.SiteID, &spot.Quarantine}, func() error { spots[block] = spot; return nil })
	if err != nil {
		return nil, fmt.Errorf("read where the blocks lie: %w", err)
	}
	return spots, nil
}

// holdsOn reads the holds that may reach the family. A verdict that holds or
// rejects a whole lot is one, from its signing until the next verdict on the lot.
func holdsOn(ctx context.Context, tx pgx.Tx, org domain.ID, f family) ([]stock.Hold, error) {
	named := f.ids()
	for _, x := range f.lots {
		named = append(named, x.ShipmentID, x.CropID, x.SiteID)
	}
	const q = `select id, scope, scope_id, kind, from_at, to_at, reason, false, false from hold
		where organisation_id = $1 and withdrawn_because = '' and (scope_id = any($2)
			or scope = 'house' and scope_id in (select id from house where organisation_id = $1 and site_id = any($2)))
		union all
		select id, 'lot', lot_id, 'internal', signed_at, until, because, true, decision = 'reject' from (
			select v.*, lead(signed_at) over (partition by lot_id order by signed_at, id) as until from verdict v
			where v.organisation_id = $1 and v.lot_id = any($2) and v.withdrawn_because = '' and v.plants is null) v
		where decision in ('hold', 'reject') and (until is null or signed_at < until)
		order by 5, 1`
	rows, err := tx.Query(ctx, q, org, named)
	if err != nil {
		return nil, fmt.Errorf("read the holds: %w", err)
	}
	holds, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (h stock.Hold, err error) {
		return h, row.Scan(&h.ID, &h.Scope, &h.ScopeID, &h.Kind, &h.From, &h.To, &h.Reason, &h.ByVerdict, &h.Rejects)
	})
	if err != nil {
		return nil, fmt.Errorf("read the holds: %w", err)
	}
	return holds, nil
}

// refuse answers a movement that is asked for and cannot be, with the numbers.
func (f family) refuse(m stock.Movement) error {
	if m.Withdrawn == "" && !m.AlthoughHeld {
		for _, hold := range stock.FoldBook(f.lots, f.movements).Under(f.holds, f.spots).Forbids(m) {
			return domain.Faults{{Path: "/although_held", Code: "held", Detail: fmt.Sprintf(
				"the plants are held since %s (%s: %s); bring them into quarantine, lift the hold, or say that it was done all the same",
				hold.From.Format(time.DateOnly), hold.Kind, hold.Reason)}}
		}
	}
	return stock.Fits(f.lots, f.movements, m)
}
