package store

import (
	"context"
	"fmt"
	"slices"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// A verdict on a part of a lot does not speak for the lot.
const (
	latestVerdict = `(select v.decision from verdict v where v.organisation_id = t.organisation_id and v.lot_id = t.id
		and v.withdrawn_because = '' and v.plants is null order by v.signed_at desc, v.id desc limit 1)`
	isHeld = `exists (select from lot_hold h where h.organisation_id = t.organisation_id and h.lot_id = t.id
		and h.from_at <= bt_now() and (h.to_at is null or bt_now() < h.to_at))`
)

// A lot was inspected when one of the arrivals its plants came with was.
const wasInspected = `exists (select from lot_share s join inspection i on i.organisation_id = s.organisation_id and i.lot_id = s.arrival_id
	where s.organisation_id = t.organisation_id and s.lot_id = t.id and i.kind = 'dock' and i.withdrawn_because = '')`

func lotTable() table[stock.Lot] {
	return table[stock.Lot]{
		name: "lot",
		columns: `t.id, t.shipment_id, t.cultivar_id, t.farm_known_by, t.supplier_lot_code, t.rooting_station, t.form, t.plants, t.code,
			t.note, t.withdrawn_because, t.site_id, t.season_id, cultivar.crop_id, t.supplier_id, t.arrived_on,
			t.plants_on_hand, coalesce(` + latestVerdict + `, ''), ` + wasInspected + `, t.origin_id, t.born_by, t.mixed, t.state, ` + isHeld,
		joins: `join cultivar on cultivar.organisation_id = t.organisation_id and cultivar.id = t.cultivar_id`,
		fields: func(x *stock.Lot) []any {
			return []any{
				&x.ID, &x.ShipmentID, &x.CultivarID, &x.FarmKnownBy, &x.SupplierLotCode, &x.RootingStation, &x.Form, &x.Plants,
				&x.Code, &x.Note, &x.Withdrawn, &x.SiteID, &x.SeasonID, &x.CropID, &x.SupplierID, &x.ArrivedOn,
				&x.PlantsOnHand, &x.Verdict, &x.Inspected, &x.OriginID, &x.BornBy, &x.Mixed, &x.State, &x.Held,
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

// PutLot stores a lot. A lot without a code gets the next of its week. A lot that
// began here keeps what it has of its parents; its code and what people wrote of it
// can be corrected.
func (s *Store) PutLot(ctx context.Context, a Actor, p Put, x stock.Lot) (Saved[stock.Lot], error) {
	return save(ctx, s, a, p, lotTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		x := x // the transaction may be tried again
		if x.ShipmentID.IsZero() {
			return correctBorn(ctx, tx, st, x)
		}
		const q = `select site_id, arrived_on, supplier_id from shipment where organisation_id = $1 and id = $2`
		if err := tx.QueryRow(ctx, q, st.org, x.ShipmentID).Scan(&x.SiteID, &x.ArrivedOn, &x.SupplierID); err != nil {
			return x.SiteID, missing(err, "shipment")
		}
		if err := lockBook(ctx, tx, x.SiteID); err != nil {
			return x.SiteID, err
		}
		const again = `select site_id, arrived_on, supplier_id from shipment where organisation_id = $1 and id = $2 for share`
		if err := tx.QueryRow(ctx, again, st.org, x.ShipmentID).Scan(&x.SiteID, &x.ArrivedOn, &x.SupplierID); err != nil {
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
		before, err := familyOf(ctx, tx, st.org, st.id)
		if err != nil {
			return x.SiteID, err
		}
		if err := before.refuseLot(x); err != nil {
			return x.SiteID, err
		}
		err = upsert(ctx, tx, st, "lot",
			`site_id, shipment_id, cultivar_id, season_id, code, code_given, form, farm_known_by, supplier_lot_code, rooting_station,
			plants, plants_on_hand, note, withdrawn_because, origin_id, supplier_id, arrived_on`,
			x.SiteID, x.ShipmentID, x.CultivarID, x.SeasonID, x.Code, given, x.Form, x.FarmKnownBy, x.SupplierLotCode, x.RootingStation,
			x.Plants, x.Plants, x.Note, x.Withdrawn, x.ShipmentID, x.SupplierID, x.ArrivedOn)
		if err != nil {
			return x.SiteID, err
		}
		if err := writeFarms(ctx, tx, st, x); err != nil {
			return x.SiteID, err
		}
		if st.version > 1 {
			return x.SiteID, followShipment(ctx, tx, st, x.ShipmentID, x.SiteID, x.ArrivedOn)
		}
		return x.SiteID, rebookLots(ctx, tx, st.org, st.id)
	})
}

// correctBorn corrects a lot that began by a split or merge.
func correctBorn(ctx context.Context, tx pgx.Tx, st stamp, x stock.Lot) (domain.ID, error) {
	if st.version == 1 {
		return x.SiteID, domain.Faults{{Path: "/shipment_id", Code: "missing", Detail: "is needed, or the split or merge that makes the lot"}}
	}
	var was stock.Lot
	const q = `select site_id, shipment_id, cultivar_id, code from lot where organisation_id = $1 and id = $2 for update`
	if err := tx.QueryRow(ctx, q, st.org, st.id).Scan(&was.SiteID, &was.ShipmentID, &was.CultivarID, &was.Code); err != nil {
		return was.SiteID, missing(err, "lot")
	}
	switch {
	case !was.ShipmentID.IsZero():
		return was.SiteID, domain.Faults{{Path: "/shipment_id", Code: "missing", Detail: "is needed: the lot arrived"}}
	case was.CultivarID != x.CultivarID:
		return was.SiteID, domain.Faults{{Path: "/cultivar_id", Code: "not_changeable", Detail: "a lot born here is of the cultivar of its parents"}}
	case x.Withdrawn != "":
		return was.SiteID, domain.Faults{{Path: "/withdrawn_because", Code: "not_wanted", Detail: "withdraw the split or merge that made the lot"}}
	}
	code := was.Code
	if x.Code != "" {
		code = x.Code
	}
	const set = `update lot set version = $3, recorded_at = $4, recorded_by = $5, code = $6, code_given = code_given or $6 <> code,
		form = $7, note = $8 where organisation_id = $1 and id = $2`
	if _, err := tx.Exec(ctx, set, st.org, st.id, st.version, st.at, st.by, code, x.Form, x.Note); err != nil {
		return was.SiteID, fmt.Errorf("write lot: %w", err)
	}
	return was.SiteID, nil
}

// refuseLot refuses a correction of the lot that would set movements aside.
func (f family) refuseLot(x stock.Lot) error {
	lots := slices.Clone(f.lots)
	for i := range lots {
		if lots[i].ID == x.ID {
			lots[i].Plants, lots[i].CultivarID = x.Plants, x.CultivarID
		}
	}
	known := map[domain.ID]bool{}
	for _, c := range stock.FoldBook(f.lots, f.movements).Conflicts {
		known[c.Movement.ID] = true
	}
	var faults domain.Faults
	for _, c := range stock.FoldBook(lots, f.movements).Conflicts {
		if !known[c.Movement.ID] {
			path := "/plants"
			if c.Code == stock.OtherCultivar {
				path = "/cultivar_id"
			}
			faults.Add(path, string(c.Code), "%s", c.Detail)
		}
	}
	return faults.Err()
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
	and ($8 = '' or ($8 = 'inspected') = ` + wasInspected + ` and ($8 = 'inspected' or t.shipment_id is not null))`

// Lots lists the lots.
func (s *Store) Lots(ctx context.Context, a Actor, page Page, f LotFilter) (List[stock.Lot], error) {
	return list(ctx, s, a, lotTable(), page, lotFilter, f.SiteID, f.ShipmentID, f.CultivarID, f.SeasonID, f.State)
}
