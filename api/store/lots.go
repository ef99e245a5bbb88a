package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// A verdict on a part of a lot does not speak for the lot.
const (
	latestVerdict = `(select v.decision from verdict v where v.organisation_id = t.organisation_id and v.lot_id = t.id` + inOrderOfSigning
	verdictAt     = `(select v.decision from verdict v where v.organisation_id = t.organisation_id and v.lot_id = t.id
		and v.signed_at <= $3` + inOrderOfSigning
	inOrderOfSigning = ` and v.withdrawn_because = '' and v.plants is null order by v.signed_at desc, v.id desc limit 1)`
)

const wasInspected = `exists (select from inspection i where i.organisation_id = t.organisation_id and i.lot_id = t.id
	and i.kind = 'dock' and i.withdrawn_because = '')`

func lotTable() table[stock.Lot] {
	return table[stock.Lot]{
		name: "lot",
		columns: `t.id, t.shipment_id, t.cultivar_id, t.farm_known_by, t.supplier_lot_code, t.rooting_station, t.form, t.plants, t.code,
			t.note, t.withdrawn_because, t.site_id, t.season_id, cultivar.crop_id, shipment.supplier_id, shipment.arrived_on,
			t.plants_on_hand, coalesce(` + latestVerdict + `, ''), ` + wasInspected,
		joins: `join shipment on shipment.organisation_id = t.organisation_id and shipment.id = t.shipment_id
			join cultivar on cultivar.organisation_id = t.organisation_id and cultivar.id = t.cultivar_id`,
		fields: func(x *stock.Lot) []any {
			return []any{
				&x.ID, &x.ShipmentID, &x.CultivarID, &x.FarmKnownBy, &x.SupplierLotCode, &x.RootingStation, &x.Form, &x.Plants,
				&x.Code, &x.Note, &x.Withdrawn, &x.SiteID, &x.SeasonID, &x.CropID, &x.SupplierID, &x.ArrivedOn,
				&x.PlantsOnHand, &x.Verdict, &x.Inspected,
			}
		},
		fill: func(ctx context.Context, tx pgx.Tx, org domain.ID, lots []Record[stock.Lot]) error {
			return eachPart(ctx, tx, `select lot_id, farm_id from lot_farm where organisation_id = $1 and lot_id = any($2) order by lot_id, farm_id`,
				org, lots, func(row pgx.CollectableRow, of func(domain.ID) *stock.Lot) error {
					var lot, farm domain.ID
					if err := row.Scan(&lot, &farm); err != nil {
						return err
					}
					of(lot).FarmIDs = append(of(lot).FarmIDs, farm)
					return nil
				})
		},
	}
}

// PutLot stores a lot. A lot without a code gets the next of its week.
func (s *Store) PutLot(ctx context.Context, a Actor, p Put, x stock.Lot) (Saved[stock.Lot], error) {
	return save(ctx, s, a, p, lotTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		x := x // the transaction may be tried again
		if st.version > 1 {
			// Movements wait for this row too: the two must not pass each other.
			const wait = `select from lot where organisation_id = $1 and id = $2 for update`
			if _, err := tx.Exec(ctx, wait, st.org, st.id); err != nil {
				return x.SiteID, fmt.Errorf("wait for the lot: %w", err)
			}
		}
		const q = `select site_id, arrived_on from shipment where organisation_id = $1 and id = $2 for share`
		if err := tx.QueryRow(ctx, q, st.org, x.ShipmentID).Scan(&x.SiteID, &x.ArrivedOn); err != nil {
			return x.SiteID, missing(err, "shipment")
		}
		const ofCultivar = `select crop_id from cultivar where organisation_id = $1 and id = $2`
		if err := tx.QueryRow(ctx, ofCultivar, st.org, x.CultivarID).Scan(&x.CropID); err != nil {
			return x.SiteID, missing(err, "cultivar")
		}
		var err error
		if x.SeasonID, err = seasonFor(ctx, tx, st, x.CropID, x.ArrivedOn); err != nil {
			return x.SiteID, err
		}
		given := x.Code != ""
		if !given {
			if x.Code, err = lotCode(ctx, tx, st, x); err != nil {
				return x.SiteID, err
			}
		}
		life, err := lifeOf(ctx, tx, st.org, stock.Lot{ID: st.id, Plants: x.Plants})
		if err != nil {
			return x.SiteID, err
		}
		err = upsert(ctx, tx, st, "lot",
			`site_id, shipment_id, cultivar_id, season_id, code, code_given, form, farm_known_by, supplier_lot_code, rooting_station,
			plants, plants_on_hand, note, withdrawn_because`,
			x.SiteID, x.ShipmentID, x.CultivarID, x.SeasonID, x.Code, given, x.Form, x.FarmKnownBy, x.SupplierLotCode, x.RootingStation,
			x.Plants, life.OnHand(), x.Note, x.Withdrawn)
		if err != nil {
			return x.SiteID, err
		}
		if err := writeFarms(ctx, tx, st, x); err != nil || st.version == 1 {
			return x.SiteID, err
		}
		return x.SiteID, followShipment(ctx, tx, st, x.ShipmentID, x.SiteID, x.ArrivedOn)
	})
}

func writeFarms(ctx context.Context, tx pgx.Tx, st stamp, x stock.Lot) error {
	batch := &pgx.Batch{}
	batch.Queue(`delete from lot_farm where organisation_id = $1 and lot_id = $2`, st.org, st.id)
	for _, farm := range x.FarmIDs {
		batch.Queue(`insert into lot_farm (organisation_id, lot_id, farm_id, site_id) values ($1, $2, $3, $4)`, st.org, st.id, farm, x.SiteID)
	}
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write the farms of the lot: %w", err)
	}
	return nil
}

// lotCode keeps the code a lot was given before, as long as its week of arrival
// is the same, and else takes the next free one. Lots of a season wait for one
// another here.
func lotCode(ctx context.Context, tx pgx.Tx, st stamp, x stock.Lot) (string, error) {
	if _, err := tx.Exec(ctx, `select pg_advisory_xact_lock(hashtextextended($1::text, 2))`, x.SeasonID.String()); err != nil {
		return "", fmt.Errorf("wait for the codes of the season: %w", err)
	}
	week := stock.LotCode(x.ArrivedOn, 0)[:3]
	const q = `select coalesce(max(code) filter (where id = $3 and not code_given and starts_with(code, $4)), ''),
			coalesce(max(substring(code from '^\d\d-(\d{2,6})$')::int) filter (where starts_with(code, $4)), 0)
		from lot where organisation_id = $1 and season_id = $2`
	var had string
	var last int
	if err := tx.QueryRow(ctx, q, st.org, x.SeasonID, st.id, week).Scan(&had, &last); err != nil {
		return "", fmt.Errorf("find a code for the lot: %w", err)
	}
	if had != "" {
		return had, nil
	}
	return stock.LotCode(x.ArrivedOn, last+1), nil
}

// Lot reads a lot.
func (s *Store) Lot(ctx context.Context, a Actor, id domain.ID) (Record[stock.Lot], error) {
	return get(ctx, s, a, lotTable(), id)
}

// LotFilter narrows a list of lots; zero members do not.
type LotFilter struct {
	SiteID, ShipmentID, CultivarID, SeasonID domain.ID
	State                                    string // waiting or inspected
}

const lotFilter = `and ($4::uuid is null or t.site_id = $4) and ($5::uuid is null or t.shipment_id = $5)
	and ($6::uuid is null or t.cultivar_id = $6) and ($7::uuid is null or t.season_id = $7)
	and ($8 = '' or ($8 = 'inspected') = ` + wasInspected + `)`

// Lots lists the lots.
func (s *Store) Lots(ctx context.Context, a Actor, page Page, f LotFilter) (List[stock.Lot], error) {
	return list(ctx, s, a, lotTable(), page, lotFilter, f.SiteID, f.ShipmentID, f.CultivarID, f.SeasonID, f.State)
}
