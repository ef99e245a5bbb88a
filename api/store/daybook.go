package store

import (
	"context"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/advice"
	"benchtrail/domain/arrival"
	"benchtrail/domain/place"
	"benchtrail/domain/scouting"
	"benchtrail/domain/stock"
)

// Daybook is all that a walk through a site needs on one day.
type Daybook struct {
	Now        time.Time
	On         domain.Date
	Site       Record[place.Site]
	Houses     []Record[place.House]
	Sections   []Record[place.Section]
	Blocks     []Record[place.Block]
	Lots       []Record[stock.Lot] // with plants on hand, and all of the shipments
	Placements []stock.Placement   // as they are now
	Cultivars  []Record[stock.Cultivar]
	Crops      []Record[stock.Crop]
	Organisms  []Record[stock.Organism]
	Thresholds []Record[advice.Threshold] // in force now or later
	Looks      []Record[scouting.Look]    // of this week
	Holds      []Record[stock.Hold]       // in force
	Customers  []Record[stock.Customer]

	Shipments   []Record[stock.Shipment]     // lately, soon, or with plants received on hand
	Inspections []Record[arrival.Inspection] // of the lots
	Verdicts    []Record[arrival.Verdict]    // of the lots
	SecondLooks []arrival.DueLook            // still to be made
	Suppliers   []Record[stock.Supplier]
	Farms       []Record[stock.Farm]
	Seasons     []Record[stock.Season]
}

// How far a phone may look back and ahead at the dock with no network, in days.
const (
	daybookBack  = 60
	daybookAhead = 30
)

// Daybook reads the daybook of a site.
func (s *Store) Daybook(ctx context.Context, a Actor, site domain.ID) (Daybook, error) {
	d := Daybook{Now: s.clock()}
	org := a.OrganisationID
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) (err error) {
		if d.Site, err = siteTable().one(ctx, tx, org, site); err != nil {
			return err
		}
		zone, err := d.Site.Value.Location()
		if err != nil {
			return err
		}
		d.On = domain.DateOf(d.Now.In(zone))
		if d.Houses, err = all(ctx, tx, org, houseTable(), `and t.site_id = $2 order by t.name`, site); err != nil {
			return err
		}
		if d.Sections, err = all(ctx, tx, org, sectionTable(), `and t.site_id = $2 order by t.name`, site); err != nil {
			return err
		}
		if d.Blocks, err = all(ctx, tx, org, blockTable(), `and t.site_id = $2 order by t.house_id, t.position, t.name, t.id`, site); err != nil {
			return err
		}
		if err = d.readStock(ctx, tx, org, site); err != nil {
			return err
		}
		if d.Cultivars, err = all(ctx, tx, org, cultivarTable(), `order by t.name`); err != nil {
			return err
		}
		if d.Crops, err = all(ctx, tx, org, cropTable(), `order by t.name`); err != nil {
			return err
		}
		if d.Organisms, err = all(ctx, tx, org, organismTable(), `order by t.scientific_name`); err != nil {
			return err
		}
		if d.Thresholds, err = all(ctx, tx, org, thresholdTable(), `and t.withdrawn_because = '' and t.to_on >= $2 order by t.from_on, t.id`, d.On); err != nil {
			return err
		}
		if d.Looks, err = all(ctx, tx, org, lookTable(), `and t.site_id = $2 and t.week_start = $3 order by t.looked_at, t.id`,
			site, d.On.Week().Monday()); err != nil {
			return err
		}
		if d.Holds, err = holdsInForce(ctx, tx, org, site); err != nil {
			return err
		}
		if d.Customers, err = all(ctx, tx, org, customerTable(), `order by t.name`); err != nil {
			return err
		}
		if d.SecondLooks, err = secondLooks(ctx, tx, org, site, zone, d.On); err != nil {
			return err
		}
		d.Placements, err = standing(ctx, tx, org, site)
		return err
	})
	return d, err
}

// readStock reads what came and what is expected, with what was found at the dock.
func (d *Daybook) readStock(ctx context.Context, tx pgx.Tx, org, site domain.ID) (err error) {
	if d.Shipments, err = all(ctx, tx, org, shipmentTable(), `and t.site_id = $2 and t.withdrawn_because = '' and (t.arrived_on between $3 and $4
		or exists (select from lot l where l.organisation_id = $1 and l.withdrawn_because = '' and l.plants_on_hand > 0 and l.state <> 'expected'
			and t.id in (l.shipment_id, l.origin_id))) order by t.arrived_on, t.id`, site, d.On.AddDays(-daybookBack), d.On.AddDays(daybookAhead)); err != nil {
		return err
	}
	if d.Lots, err = all(ctx, tx, org, lotTable(), `and t.withdrawn_because = '' and (t.shipment_id = any($3) or t.plants_on_hand > 0 and (t.import_id is null or t.state <> 'expected') and (t.site_id = $2
		or exists (select from placement p where p.organisation_id = $1 and p.lot_id = t.id and p.site_id = $2 and p.to_at is null))) order by t.id`,
		site, idsOf(d.Shipments)); err != nil {
		return err
	}
	if d.Inspections, err = all(ctx, tx, org, inspectionTable(), `and t.withdrawn_because = '' and t.lot_id = any($2) order by t.inspected_at, t.id`,
		idsOf(d.Lots)); err != nil {
		return err
	}
	if d.Verdicts, err = all(ctx, tx, org, verdictTable(), `and t.withdrawn_because = '' and t.lot_id = any($2) order by t.signed_at, t.id`,
		idsOf(d.Lots)); err != nil {
		return err
	}
	if d.Suppliers, err = all(ctx, tx, org, supplierTable(), `order by t.name, t.id`); err != nil {
		return err
	}
	if d.Farms, err = all(ctx, tx, org, farmTable(), `order by t.name, t.id`); err != nil {
		return err
	}
	d.Seasons, err = all(ctx, tx, org, seasonTable(), `order by t.year, t.id`)
	return err
}

func idsOf[T any](records []Record[T]) []domain.ID {
	ids := make([]domain.ID, len(records))
	for i, r := range records {
		ids[i] = r.ID
	}
	return ids
}

func all[T any](ctx context.Context, tx pgx.Tx, org domain.ID, t table[T], rest string, args ...any) ([]Record[T], error) {
	return t.collect(ctx, tx, org, t.selectFrom()+rest, args...)
}

func standing(ctx context.Context, tx pgx.Tx, org, site domain.ID) ([]stock.Placement, error) {
	const q = `select lot_id, block_id, from_at, plants from placement
		where organisation_id = $1 and site_id = $2 and to_at is null order by block_id, lot_id`
	rows, err := tx.Query(ctx, q, org, site)
	if err != nil {
		return nil, fmt.Errorf("read placements: %w", err)
	}
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (stock.Placement, error) {
		var p stock.Placement
		return p, row.Scan(&p.LotID, &p.BlockID, &p.From, &p.Plants)
	})
}
