package store

import (
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/arrival"
	"benchtrail/domain/stock"
)

// SecondLooks gives the lots of a site whose second look has not been made, by
// the day it should end. A zero day is today at the site.
func (s *Store) SecondLooks(ctx context.Context, a Actor, site domain.ID, on domain.Date) ([]arrival.DueLook, error) {
	looks := []arrival.DueLook{}
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		zone, err := siteZone(ctx, tx, a.OrganisationID, site)
		if err != nil {
			return err
		}
		if on.IsZero() {
			on = domain.DateOf(s.clock().In(zone))
		}
		looks, err = secondLooks(ctx, tx, a.OrganisationID, site, zone, on)
		return err
	})
	return looks, err
}

// secondLooks gives the second looks of a site that are still to be made, by
// the day they should end.
func secondLooks(ctx context.Context, tx pgx.Tx, org, site domain.ID, zone *time.Location, on domain.Date) ([]arrival.DueLook, error) {
	const q = `select lot.id, lot.code, lot.cultivar_id, lot.form, shipment.arrived_on, crop.second_look_from_days, crop.second_look_to_days,
			(select min(m.moved_at) from movement m where m.organisation_id = $1 and m.lot_id = lot.id and m.kind = 'stick'
				and m.withdrawn_because = '')
		from lot
		join shipment on shipment.organisation_id = $1 and shipment.id = lot.shipment_id
		join cultivar on cultivar.organisation_id = $1 and cultivar.id = lot.cultivar_id
		join crop on crop.organisation_id = $1 and crop.id = cultivar.crop_id
		where lot.organisation_id = $1 and lot.site_id = $2 and lot.withdrawn_because = '' and shipment.withdrawn_because = '' and shipment.docked_at is not null
			and (lot.plants_on_hand > 0 or exists (select from lot_share s join lot part on part.organisation_id = $1 and part.id = s.lot_id
				where s.organisation_id = $1 and s.arrival_id = lot.id and part.plants_on_hand > 0)) and not exists (select from inspection i where i.organisation_id = $1 and i.lot_id = lot.id
				and i.kind = 'second_look' and i.withdrawn_because = '')
		order by lot.id`
	rows, err := tx.Query(ctx, q, org, site)
	if err != nil {
		return nil, fmt.Errorf("read second looks: %w", err)
	}
	looks, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (arrival.DueLook, error) {
		var lot stock.Lot
		var crop stock.Crop
		var stuckAt time.Time
		err := row.Scan(&lot.ID, &lot.Code, &lot.CultivarID, &lot.Form, &lot.ArrivedOn, &crop.SecondLookFromDays, &crop.SecondLookToDays, &stuckAt)
		var stuckOn domain.Date
		if !stuckAt.IsZero() {
			stuckOn = domain.DateOf(stuckAt.In(zone))
		}
		return arrival.SecondLookOf(lot, crop, stuckOn, on), err
	})
	slices.SortStableFunc(looks, func(a, b arrival.DueLook) int { return a.To.Compare(b.To) })
	return looks, err
}

// WaitingLots gives the lots of a site (and of one shipment, unless it is zero)
// that arrived and were not inspected, with the history of their origin.
func (s *Store) WaitingLots(ctx context.Context, a Actor, site, shipment domain.ID) ([]arrival.Waiting, error) {
	const q = `with past as (
			select l.id, sh.supplier_id, coalesce(bool_or(f.infested_plants > 0), false) as found
			from inspection i
			join lot l on l.organisation_id = $1 and l.id = i.lot_id
			join shipment sh on sh.organisation_id = $1 and sh.id = l.shipment_id
			join cultivar c on c.organisation_id = $1 and c.id = l.cultivar_id
			join crop on crop.organisation_id = $1 and crop.id = c.crop_id
			left join inspection_finding f on f.organisation_id = $1 and f.inspection_id = i.id and f.organism_id = crop.main_organism_id
			where i.organisation_id = $1 and i.kind = 'dock' and i.withdrawn_because = '' and l.withdrawn_because = '' group by 1, 2)
		select t.id, t.code, t.cultivar_id, cultivar.foliage, t.plants, origin.farms > 0, history.lots, history.found
		from lot t
		join shipment on shipment.organisation_id = $1 and shipment.id = t.shipment_id
		join cultivar on cultivar.organisation_id = $1 and cultivar.id = t.cultivar_id
		cross join lateral (select count(*) as farms from lot_farm f where f.organisation_id = $1 and f.lot_id = t.id) origin
		cross join lateral (select count(*)::int as lots, count(*) filter (where p.found)::int as found from past p
			where case when origin.farms = 0 then p.supplier_id = shipment.supplier_id
				else exists (select from lot_farm mine join lot_farm theirs on theirs.organisation_id = $1 and theirs.farm_id = mine.farm_id
					where mine.organisation_id = $1 and mine.lot_id = t.id and theirs.lot_id = p.id) end) history
		where t.organisation_id = $1 and t.site_id = $2 and ($3::uuid is null or t.shipment_id = $3)
			and t.withdrawn_because = '' and shipment.withdrawn_because = '' and shipment.docked_at is not null and not ` + wasInspected
	var waiting []arrival.Waiting
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		if _, err := siteZone(ctx, tx, a.OrganisationID, site); err != nil {
			return err
		}
		rows, err := tx.Query(ctx, q, a.OrganisationID, site, shipment)
		if err != nil {
			return fmt.Errorf("read the waiting lots: %w", err)
		}
		waiting, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (arrival.Waiting, error) {
			var w arrival.Waiting
			return w, row.Scan(&w.LotID, &w.Code, &w.CultivarID, &w.Foliage, &w.Plants, &w.FarmKnown, &w.PastLots, &w.PastLotsWithFinds)
		})
		return err
	})
	return waiting, err
}

// NamesForPasting gives the names that a list pasted for a shipment may use.
func (s *Store) NamesForPasting(ctx context.Context, a Actor, shipment domain.ID) (stock.Known, error) {
	var known stock.Known
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		var supplier domain.ID
		const q = `select supplier_id from shipment where organisation_id = $1 and id = $2`
		if err := tx.QueryRow(ctx, q, a.OrganisationID, shipment).Scan(&supplier); err != nil {
			return missing(err, "shipment")
		}
		cultivars, farms := cultivarTable(), farmTable()
		names, err := cultivars.collect(ctx, tx, a.OrganisationID, cultivars.selectFrom())
		if err != nil {
			return err
		}
		for _, r := range names {
			known.Cultivars = append(known.Cultivars, r.Value)
		}
		origins, err := farms.collect(ctx, tx, a.OrganisationID, farms.selectFrom()+` and t.supplier_id = $2`, supplier)
		if err != nil {
			return err
		}
		for _, r := range origins {
			known.Farms = append(known.Farms, r.Value)
		}
		return nil
	})
	return known, err
}
