package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// TrailQuery asks where plants went or, with Back, came from.
type TrailQuery struct {
	From stock.TrailStart
	ID   domain.ID
	Back bool
}

// Trail is the lots that plants went through, with what became of them.
type Trail struct {
	Lots          []stock.TrailLot // parents before their children
	Links         []stock.Link
	Placements    []stock.Placement
	Exits         []stock.Movement // dispatches and discards that are in the book, in time
	Shipments     []stock.Shipment // with their papers
	CannotRuleOut []stock.TrailLot // of a farm: what came of its supplier's lots without a known farm
	Balance       *stock.TrailBalance
}

// trailStarts gives the lots that a trail starts with, by what it starts at, and
// whether each is of it for certain.
func trailStarts(from stock.TrailStart) string {
	return map[stock.TrailStart]string{
		stock.FromSupplier: `select lot.id, '-infinity'::timestamptz, true from lot join shipment s on s.organisation_id = $1 and s.id = lot.shipment_id
			where lot.organisation_id = $1 and s.supplier_id = $2`,
		stock.FromFarm: `select lot.id, '-infinity'::timestamptz,
				(select count(*) from lot_farm o where o.organisation_id = $1 and o.lot_id = lot.id) = 1
			from lot_farm f join lot on lot.organisation_id = $1 and lot.id = f.lot_id
			where f.organisation_id = $1 and f.farm_id = $2 and lot.shipment_id is not null`,
		stock.FromShipment: `select id, '-infinity'::timestamptz, true from lot where organisation_id = $1 and shipment_id = $2`,
		stock.FromLot:      `select id, '-infinity'::timestamptz, true from lot where organisation_id = $1 and id = $2`,
		stock.FromBlock:    `select lot_id, min(from_at), true from placement where organisation_id = $1 and block_id = $2 group by 1`,
		stock.FromCustomer: `select distinct m.lot_id, '-infinity'::timestamptz, true from movement m
			where m.organisation_id = $1 and m.customer_id = $2 and m.withdrawn_because = ''`,
		stock.FromDispatch: `select lot_id, '-infinity'::timestamptz, true from movement where organisation_id = $1 and id = $2 and kind = 'dispatch'`,
	}[from]
}

// unknownFarm gives the lots of a farm's supplier whose farm nobody has named.
const unknownFarm = `select lot.id, '-infinity'::timestamptz, false from farm
	join shipment s on s.organisation_id = $1 and s.supplier_id = farm.supplier_id
	join lot on lot.organisation_id = $1 and lot.shipment_id = s.id
	where farm.organisation_id = $1 and farm.id = $2
		and not exists (select from lot_farm f where f.organisation_id = $1 and f.lot_id = lot.id)`

// trailLots follows the starts down to everything that descends from them (what left
// a lot before it came to the block asked for is left out), or up.
func trailLots(starts string, back bool) string {
	step := `select p.lot_id, trail.since, trail.certain from trail
		join lot_parent p on p.organisation_id = $1 and p.parent_id = trail.id and p.born_at >= trail.since`
	if back {
		step = `select p.parent_id, trail.since, trail.certain from trail join lot_parent p on p.organisation_id = $1 and p.lot_id = trail.id`
	}
	return `with recursive trail(id, since, certain) as (` + starts + ` union ` + step + `)
		select lot.id, bool_or(lot.id in (select id from (` + starts + `) s(id, since, certain))), bool_and(trail.certain),
			lot.code, lot.cultivar_id, lot.site_id, lot.shipment_id, lot.supplier_lot_code, lot.state, lot.arrived_on, lot.form,
			` + isHeldLot + `, a.born_at, a.received, a.unplaced, a.placed, a.discarded, a.dispatched, a.split_off, a.merged_away, a.gained, a.lost,
			array(select f.farm_id from lot_farm f where f.organisation_id = $1 and f.lot_id = lot.id order by 1)
		from trail join lot on lot.organisation_id = $1 and lot.id = trail.id and lot.withdrawn_because = ''
		join lot_account a on a.organisation_id = $1 and a.lot_id = lot.id
		group by lot.organisation_id, lot.id, a.organisation_id, a.lot_id order by a.born, lot.arrived_on, lot.code, lot.id`
}

const isHeldLot = `exists (select from lot_hold h where h.organisation_id = $1 and h.lot_id = lot.id
	and h.from_at <= bt_now() and (h.to_at is null or bt_now() < h.to_at))`

func readTrailLots(ctx context.Context, tx pgx.Tx, org domain.ID, sql string, id domain.ID) ([]stock.TrailLot, error) {
	rows, err := tx.Query(ctx, sql, pgx.QueryExecModeCacheDescribe, org, id)
	if err != nil {
		return nil, fmt.Errorf("follow the lots: %w", err)
	}
	lots, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (x stock.TrailLot, err error) {
		l, t := &x.Lot, &x.Tally
		return x, row.Scan(&l.ID, &x.Start, &x.Certain, &l.Code, &l.CultivarID, &l.SiteID, &l.ShipmentID, &l.SupplierLotCode, &l.State, &l.ArrivedOn, &l.Form,
			&l.Held, &x.BornAt, &t.In, &t.Unplaced, &t.Placed, &t.Discarded, &t.Dispatched, &t.SplitOff, &t.MergedAway, &t.Gained, &t.Lost,
			&l.FarmIDs)
	})
	if err != nil {
		return nil, fmt.Errorf("follow the lots: %w", err)
	}
	return lots, nil
}

// Trail follows plants forward or back.
func (s *Store) Trail(ctx context.Context, a Actor, q TrailQuery) (Trail, error) {
	var t Trail
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		t = Trail{}
		return t.read(ctx, tx, a.OrganisationID, q)
	})
	return t, err
}

func (t *Trail) read(ctx context.Context, tx pgx.Tx, org domain.ID, q TrailQuery) (err error) {
	if err := trailBegins(ctx, tx, org, q); err != nil {
		return err
	}
	if t.Lots, err = readTrailLots(ctx, tx, org, trailLots(trailStarts(q.From), q.Back), q.ID); err != nil {
		return err
	}
	if err := t.readLinks(ctx, tx, org); err != nil {
		return err
	}
	if err := t.readPlacements(ctx, tx, org); err != nil {
		return err
	}
	if err := t.readExits(ctx, tx, org, q); err != nil {
		return err
	}
	if err := t.readShipments(ctx, tx, org); err != nil {
		return err
	}
	if q.Back {
		return nil
	}
	if q.From == stock.FromFarm {
		if t.CannotRuleOut, err = readTrailLots(ctx, tx, org, trailLots(unknownFarm, false), q.ID); err != nil {
			return err
		}
	}
	if q.From != stock.FromBlock { // what left its lots before is not followed, so that nothing adds up
		balance := stock.BalanceOf(t.Lots, t.Links)
		t.Balance = &balance
		parts, _ := stock.Parts(t.Lots, t.Links)
		for i := range t.Lots {
			t.Lots[i].Part = parts[t.Lots[i].Lot.ID]
		}
	}
	return nil
}

// trailBegins refuses a start that is not there.
func trailBegins(ctx context.Context, tx pgx.Tx, org domain.ID, q TrailQuery) error {
	table, and := string(q.From), ""
	if q.From == stock.FromDispatch {
		table, and = "movement", " and kind = 'dispatch' and withdrawn_because = ''"
	}
	var there bool
	if err := tx.QueryRow(ctx, `select exists (select from `+table+` where organisation_id = $1 and id = $2`+and+`)`, org, q.ID).Scan(&there); err != nil {
		return fmt.Errorf("look for the start of the trail: %w", err)
	}
	if !there {
		return domain.Faults{{Path: "/id", Code: "not_found", Detail: "there is no such " + string(q.From) + " here"}}
	}
	return nil
}

func (t *Trail) ids() []domain.ID {
	ids := make([]domain.ID, len(t.Lots))
	for i, x := range t.Lots {
		ids[i] = x.Lot.ID
	}
	return ids
}

func (t *Trail) readLinks(ctx context.Context, tx pgx.Tx, org domain.ID) error {
	const q = `select parent_id, lot_id, movement_id, born_at, plants from lot_parent
		where organisation_id = $1 and lot_id = any($2) and parent_id = any($2) order by born_at, lot_id, parent_id`
	rows, err := tx.Query(ctx, q, org, t.ids())
	if err != nil {
		return fmt.Errorf("read the links of the trail: %w", err)
	}
	t.Links, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (x stock.Link, err error) {
		return x, row.Scan(&x.From, &x.To, &x.MovementID, &x.At, &x.Plants)
	})
	return err
}

func (t *Trail) readPlacements(ctx context.Context, tx pgx.Tx, org domain.ID) error {
	const q = `select lot_id, block_id, from_at, to_at, plants from placement where organisation_id = $1 and lot_id = any($2) order by from_at, lot_id, block_id`
	rows, err := tx.Query(ctx, q, org, t.ids())
	if err != nil {
		return fmt.Errorf("read where the lots stood: %w", err)
	}
	t.Placements, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (p stock.Placement, err error) {
		return p, row.Scan(&p.LotID, &p.BlockID, &p.From, &p.To, &p.Plants)
	})
	return err
}

// readExits reads the dispatches and discards: forward of every lot, back those
// that the trail starts at.
func (t *Trail) readExits(ctx context.Context, tx pgx.Tx, org domain.ID, q TrailQuery) error {
	var lots []domain.ID
	for _, x := range t.Lots {
		if !q.Back || x.Start {
			lots = append(lots, x.Lot.ID)
		}
	}
	table := movementTable()
	filter := ` and t.kind in ('dispatch', 'discard') and t.withdrawn_because = '' and t.lot_id = any($2)
		and not exists (select from movement_conflict c where c.organisation_id = $1 and c.movement_id = t.id)`
	switch {
	case q.Back && q.From == stock.FromCustomer:
		filter += ` and t.customer_id = $3`
	case q.Back && q.From == stock.FromDispatch:
		filter += ` and t.id = $3`
	default:
		filter += ` and $3::uuid is not null`
	}
	records, err := table.collect(ctx, tx, org, table.selectFrom()+filter+` order by t.moved_at, t.id`, lots, q.ID)
	for _, r := range records {
		t.Exits = append(t.Exits, r.Value)
	}
	return err
}

func (t *Trail) readShipments(ctx context.Context, tx pgx.Tx, org domain.ID) error {
	var ids []domain.ID
	for _, x := range t.Lots {
		ids = append(ids, x.Lot.ShipmentID)
	}
	table := shipmentTable()
	records, err := table.collect(ctx, tx, org, table.selectFrom()+` and t.id = any($2) order by t.arrived_on, t.id`, ids)
	for _, r := range records {
		t.Shipments = append(t.Shipments, r.Value)
	}
	return err
}
