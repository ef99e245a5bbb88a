package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func shipmentTable() table[stock.Shipment] {
	return table[stock.Shipment]{
		name: "shipment",
		columns: `t.id, t.site_id, t.supplier_id, t.expected_on, t.left_at, t.landed_at, t.docked_at, t.opened_at, t.arrived_on,
			t.note, t.withdrawn_because, supplier.claim_hours,
			(select count(*) from lot l where l.organisation_id = $1 and l.shipment_id = t.id and l.withdrawn_because = ''),
			(select count(*) from lot l where l.organisation_id = $1 and l.shipment_id = t.id and l.withdrawn_because = ''
				and exists (select from inspection i where i.organisation_id = $1 and i.lot_id = l.id and i.kind = 'dock'
					and i.withdrawn_because = ''))`,
		joins: `join supplier on supplier.organisation_id = t.organisation_id and supplier.id = t.supplier_id`,
		fields: func(x *stock.Shipment) []any {
			return []any{
				&x.ID, &x.SiteID, &x.SupplierID, &x.ExpectedOn, &x.LeftAt, &x.LandedAt, &x.DockedAt, &x.OpenedAt, &x.ArrivedOn,
				&x.Note, &x.Withdrawn, &x.ClaimHours, &x.Lots, &x.LotsInspected,
			}
		},
		fill: fillShipments,
	}
}

func fillShipments(ctx context.Context, tx pgx.Tx, org domain.ID, shipments []Record[stock.Shipment]) error {
	for i := range shipments {
		x := &shipments[i].Value
		x.ClaimClosesAt = x.ClaimEnd(x.ClaimHours)
	}
	err := eachPart(ctx, tx, `select shipment_id, kind, number from shipment_paper
		where organisation_id = $1 and shipment_id = any($2) order by shipment_id, ordinal`, org, shipments,
		func(row pgx.CollectableRow, of func(domain.ID) *stock.Shipment) error {
			var id domain.ID
			var p stock.Paper
			if err := row.Scan(&id, &p.Kind, &p.Number); err != nil {
				return err
			}
			of(id).Papers = append(of(id).Papers, p)
			return nil
		})
	if err != nil {
		return err
	}
	err = eachPart(ctx, tx, `select shipment_id, cultivar_id, form, ordered, invoiced, substitute_for_id from shipment_order_line
		where organisation_id = $1 and shipment_id = any($2) order by shipment_id, ordinal`, org, shipments,
		func(row pgx.CollectableRow, of func(domain.ID) *stock.Shipment) error {
			var id domain.ID
			var l stock.OrderLine
			if err := row.Scan(&id, &l.CultivarID, &l.Form, &l.Ordered, &l.Invoiced, &l.SubstituteForID); err != nil {
				return err
			}
			of(id).OrderLines = append(of(id).OrderLines, l)
			return nil
		})
	if err != nil {
		return err
	}
	return eachPart(ctx, tx, `select shipment_id, label, temperature_c, opened_at, cultivar_ids from shipment_box
		where organisation_id = $1 and shipment_id = any($2) order by shipment_id, ordinal`, org, shipments,
		func(row pgx.CollectableRow, of func(domain.ID) *stock.Shipment) error {
			var id domain.ID
			var b stock.Box
			if err := row.Scan(&id, &b.Label, &b.TemperatureC, &b.OpenedAt, &b.CultivarIDs); err != nil {
				return err
			}
			of(id).Boxes = append(of(id).Boxes, b)
			return nil
		})
}

// PutShipment stores a shipment with its papers, order lines and boxes. When
// its date of arrival or its site changes, its lots follow.
func (s *Store) PutShipment(ctx context.Context, a Actor, p Put, x stock.Shipment) (Saved[stock.Shipment], error) {
	return save(ctx, s, a, p, shipmentTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		zone, err := siteZone(ctx, tx, st.org, x.SiteID)
		if err != nil {
			return x.SiteID, err
		}
		if err := lockBook(ctx, tx, x.SiteID); err != nil {
			return x.SiteID, err
		}
		err = upsert(ctx, tx, st, "shipment",
			"site_id, supplier_id, expected_on, left_at, landed_at, docked_at, opened_at, arrived_on, note, withdrawn_because",
			x.SiteID, x.SupplierID, x.ExpectedOn, x.LeftAt, x.LandedAt, x.DockedAt, x.OpenedAt, x.DateAtSite(zone), x.Note, x.Withdrawn)
		if err != nil {
			return x.SiteID, err
		}
		if err := writeShipmentParts(ctx, tx, st, x); err != nil {
			return x.SiteID, err
		}
		if err := moveClaims(ctx, tx, st.org, x.SiteID, st.id); err != nil {
			return x.SiteID, err
		}
		return x.SiteID, followShipment(ctx, tx, st, st.id, x.SiteID, x.DateAtSite(zone))
	})
}

func writeShipmentParts(ctx context.Context, tx pgx.Tx, st stamp, x stock.Shipment) error {
	batch := &pgx.Batch{}
	for _, table := range []string{"shipment_paper", "shipment_order_line", "shipment_box"} {
		batch.Queue(`delete from `+table+` where organisation_id = $1 and shipment_id = $2`, st.org, st.id)
	}
	for i, paper := range x.Papers {
		batch.Queue(`insert into shipment_paper (organisation_id, shipment_id, ordinal, site_id, kind, number) values ($1, $2, $3, $4, $5, $6)`,
			st.org, st.id, i, x.SiteID, paper.Kind, paper.Number)
	}
	for i, line := range x.OrderLines {
		batch.Queue(`insert into shipment_order_line (organisation_id, shipment_id, ordinal, site_id, cultivar_id, form, ordered, invoiced,
				substitute_for_id) values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
			st.org, st.id, i, x.SiteID, line.CultivarID, line.Form, line.Ordered, line.Invoiced, line.SubstituteForID)
	}
	if err := knowCultivars(ctx, tx, st.org, x.Boxes); err != nil {
		return err
	}
	for i, box := range x.Boxes {
		cultivars := box.CultivarIDs
		if cultivars == nil {
			cultivars = []domain.ID{}
		}
		batch.Queue(`insert into shipment_box (organisation_id, shipment_id, ordinal, site_id, label, temperature_c, opened_at, cultivar_ids)
			values ($1, $2, $3, $4, $5, $6, $7, $8)`,
			st.org, st.id, i, x.SiteID, box.Label, box.TemperatureC, box.OpenedAt, cultivars)
	}
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write the parts of the shipment: %w", err)
	}
	return nil
}

// knowCultivars refuses a box with a cultivar that is not there: what an array
// holds, no foreign key can check.
func knowCultivars(ctx context.Context, tx pgx.Tx, org domain.ID, boxes []stock.Box) error {
	for i, box := range boxes {
		const q = `select count(*) from unnest($2::uuid[]) wanted where not exists
			(select from cultivar c where c.organisation_id = $1 and c.id = wanted)`
		var unknown int
		if err := tx.QueryRow(ctx, q, org, box.CultivarIDs).Scan(&unknown); err != nil {
			return fmt.Errorf("look for the cultivars of box %d: %w", i, err)
		}
		if unknown > 0 {
			return domain.Faults{{Path: fmt.Sprintf("/boxes/%d/cultivar_ids", i), Code: "not_found", Detail: "there is no such cultivar here"}}
		}
	}
	return nil
}

// followShipment gives the lots of a shipment, and what hangs on them, the site
// and the season that its correction leads to.
func followShipment(ctx context.Context, tx pgx.Tx, st stamp, shipment, site domain.ID, arrivedOn domain.Date) error {
	const of = `select distinct c.crop_id from lot l join cultivar c on c.organisation_id = $1 and c.id = l.cultivar_id
		where l.organisation_id = $1 and l.shipment_id = $2`
	rows, err := tx.Query(ctx, of, st.org, shipment)
	if err != nil {
		return fmt.Errorf("read the crops of the shipment: %w", err)
	}
	crops, err := pgx.CollectRows(rows, pgx.RowTo[domain.ID])
	if err != nil || len(crops) == 0 {
		return err
	}
	const elsewhere = `select exists (select from placement p join lot l on l.organisation_id = $1 and l.id = p.lot_id
		where p.organisation_id = $1 and l.shipment_id = $2 and p.site_id <> $3)`
	var placed bool
	if err := tx.QueryRow(ctx, elsewhere, st.org, shipment, site).Scan(&placed); err != nil {
		return fmt.Errorf("see where the lots stand: %w", err)
	}
	if placed {
		return domain.Faults{{Path: "/site_id", Code: "other_site", Detail: "its lots have been placed in blocks of another site; withdraw those movements first"}}
	}
	const parted = `select exists (select from lot l join movement_part p on p.organisation_id = $1
		and (p.lot_id = l.id or p.movement_id in (select id from movement m where m.organisation_id = $1 and m.lot_id = l.id))
		where l.organisation_id = $1 and l.shipment_id = $2 and l.site_id <> $3)`
	if err := tx.QueryRow(ctx, parted, st.org, shipment, site).Scan(&placed); err != nil {
		return fmt.Errorf("see what became of the lots: %w", err)
	}
	if placed {
		return domain.Faults{{Path: "/site_id", Code: "other_site", Detail: "its lots have been split or merged at another site"}}
	}
	batch := &pgx.Batch{}
	for _, crop := range crops {
		season, err := seasonFor(ctx, tx, st, crop, arrivedOn)
		if err != nil {
			return err
		}
		batch.Queue(`update lot set season_id = $3 where organisation_id = $1 and $2 in (shipment_id, origin_id) and season_id <> $3 and exists
			(select from cultivar c where c.organisation_id = $1 and c.id = lot.cultivar_id and c.crop_id = $4)`, st.org, shipment, season, crop)
	}
	batch.Queue(`update lot set site_id = $3 where organisation_id = $1 and shipment_id = $2 and site_id <> $3`, st.org, shipment, site)
	const itsLots = `lot_id in (select id from lot where organisation_id = $1 and shipment_id = $2)`
	for _, table := range []string{"lot_farm", "inspection", "verdict", "movement", "lab_sample"} {
		batch.Queue(`update `+table+` set site_id = $3 where organisation_id = $1 and site_id <> $3 and `+itsLots, st.org, shipment, site)
	}
	for _, table := range []string{"inspection_finding", "inspection_sign", "inspection_disease"} {
		batch.Queue(`update `+table+` set site_id = $3 where organisation_id = $1 and site_id <> $3 and inspection_id in
			(select id from inspection where organisation_id = $1 and `+itsLots+`)`, st.org, shipment, site)
	}
	batch.Queue(`update revision r set site_id = $3 where r.organisation_id = $1 and r.site_id is distinct from $3 and r.record_id in (
			select id from lot where organisation_id = $1 and shipment_id = $2
			union all select id from inspection where organisation_id = $1 and `+itsLots+`
			union all select id from verdict where organisation_id = $1 and `+itsLots+`
			union all select id from lab_sample where organisation_id = $1 and `+itsLots+`
			union all select id from movement where organisation_id = $1 and `+itsLots+`)`, st.org, shipment, site)
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("let the lots follow their shipment: %w", err)
	}
	rows, err = tx.Query(ctx, `select id from lot where organisation_id = $1 and shipment_id = $2`, st.org, shipment)
	if err != nil {
		return fmt.Errorf("read the lots of the shipment: %w", err)
	}
	lots, err := pgx.CollectRows(rows, pgx.RowTo[domain.ID])
	if err != nil {
		return fmt.Errorf("read the lots of the shipment: %w", err)
	}
	if err := movePhotos(ctx, tx, st.org, site, lots...); err != nil {
		return err
	}
	return rebookLots(ctx, tx, st.org, lots...)
}

// Shipment reads a shipment.
func (s *Store) Shipment(ctx context.Context, a Actor, id domain.ID) (Record[stock.Shipment], error) {
	return get(ctx, s, a, shipmentTable(), id)
}

// ShipmentFilter narrows a list of shipments; zero members do not.
type ShipmentFilter struct {
	SiteID domain.ID
	State  string // expected or arrived
}

// Shipments lists the shipments.
func (s *Store) Shipments(ctx context.Context, a Actor, page Page, f ShipmentFilter) (List[stock.Shipment], error) {
	return list(ctx, s, a, shipmentTable(), page, `and ($4::uuid is null or t.site_id = $4)
		and ($5 = '' or ($5 = 'arrived') = (t.docked_at is not null))`, f.SiteID, f.State)
}
