package store

import (
	"context"
	"fmt"
	"slices"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/place"
	"benchtrail/domain/stock"
)

// TrailRecord is a trail with everything that happened to its lots, and the names
// to tell it in words.
type TrailRecord struct {
	Trail

	NotRuledOut Trail            // what became of the plants of Trail.CannotRuleOut that are not in the trail besides
	Movements   []stock.Movement // that are in the book, in time
	Names       TrailNames
}

// TrailNames has everything that a trail names, by id, and nothing else.
type TrailNames struct {
	Lots      map[domain.ID]stock.Lot // with code, cultivar, site and supplier; those too that are only a movement's other part
	Cultivars map[domain.ID]stock.Cultivar
	Sites     map[domain.ID]place.Site
	Houses    map[domain.ID]place.House
	Blocks    map[domain.ID]place.Block
	Suppliers map[domain.ID]stock.Supplier
	Farms     map[domain.ID]stock.Farm
	Customers map[domain.ID]stock.Customer
}

// TrailMovements follows plants as Trail does and reads what happened to them.
// Back, dispatches and discards are those of Trail.Exits: where else plants of the
// same origin went is nobody's business who asks where these came from.
func (s *Store) TrailMovements(ctx context.Context, a Actor, q TrailQuery) (TrailRecord, error) {
	var t TrailRecord
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) (err error) {
		t = TrailRecord{}
		org := a.OrganisationID
		if err := t.read(ctx, tx, org, q); err != nil {
			return err
		}
		if err := t.readNotRuledOut(ctx, tx, org, q); err != nil {
			return err
		}
		if err := t.readMovements(ctx, tx, org, q); err != nil {
			return err
		}
		return t.readNames(ctx, tx, org)
	})
	return t, err
}

func (t *TrailRecord) readNotRuledOut(ctx context.Context, tx pgx.Tx, org domain.ID, q TrailQuery) error {
	if len(t.CannotRuleOut) == 0 {
		return nil
	}
	certain := map[domain.ID]bool{}
	for _, x := range t.Lots {
		certain[x.Lot.ID] = true
	}
	rest := Trail{Lots: t.CannotRuleOut}
	// A lot without a farm may have been merged with one of the farm: the link is
	// wanted, what became of the merged lot is told already.
	if err := rest.readLinks(ctx, tx, org); err != nil {
		return err
	}
	rest.Links = slices.DeleteFunc(rest.Links, func(x stock.Link) bool { return certain[x.From] })
	rest.Lots = slices.DeleteFunc(slices.Clone(rest.Lots), func(x stock.TrailLot) bool { return certain[x.Lot.ID] })
	if err := rest.readPlacements(ctx, tx, org); err != nil {
		return err
	}
	if err := rest.readExits(ctx, tx, org, q); err != nil {
		return err
	}
	err := rest.readShipments(ctx, tx, org)
	t.NotRuledOut = rest
	return err
}

func (t *TrailRecord) readMovements(ctx context.Context, tx pgx.Tx, org domain.ID, q TrailQuery) error {
	const filter = ` and t.withdrawn_because = ''
		and not exists (select from movement_conflict c where c.organisation_id = $1 and c.movement_id = t.id)
		and (t.lot_id = any($2) or exists (select from movement_part p
			where p.organisation_id = $1 and p.movement_id = t.id and p.lot_id = any($2)))
		order by t.moved_at, array_position(array['receive', 'stick', 'root', 'pot', 'pinch', 'space', 'move', 'split', 'merge',
			'discard', 'dispatch', 'count'], t.kind), t.id`
	table := movementTable()
	records, err := table.collect(ctx, tx, org, table.selectFrom()+filter, t.ids())
	for _, r := range records {
		leaves := r.Value.Kind == stock.Discard || r.Value.Kind == stock.Dispatch
		if q.Back && leaves && !slices.ContainsFunc(t.Exits, func(x stock.Movement) bool { return x.ID == r.ID }) {
			continue
		}
		t.Movements = append(t.Movements, r.Value)
	}
	return err
}

// readNames reads the name of everything that the rest of the record names.
func (t *TrailRecord) readNames(ctx context.Context, tx pgx.Tx, org domain.ID) (err error) {
	lots, blocks, suppliers, customers, farms := idSet{}, idSet{}, idSet{}, idSet{}, idSet{}
	for _, trail := range []Trail{t.Trail, t.NotRuledOut} {
		for _, x := range trail.Lots {
			lots.add(x.Lot.ID)
			farms.add(x.Lot.FarmIDs...)
		}
		for _, p := range trail.Placements {
			blocks.add(p.BlockID)
		}
		for _, x := range trail.Shipments {
			suppliers.add(x.SupplierID)
		}
	}
	for _, m := range slices.Concat(t.Movements, t.Exits, t.NotRuledOut.Exits) {
		lots.add(m.LotID)
		blocks.add(m.FromBlockID, m.ToBlockID)
		customers.add(m.CustomerID)
		for _, p := range m.Parts {
			lots.add(p.LotID)
			blocks.add(p.FromBlockID, p.ToBlockID)
		}
	}
	n := &t.Names
	if n.Lots, err = namesOf(ctx, tx, org, namedLotTable(), lots); err != nil {
		return err
	}
	cultivars, sites, houses := idSet{}, idSet{}, idSet{}
	for _, x := range n.Lots {
		cultivars.add(x.CultivarID)
		sites.add(x.SiteID)
		suppliers.add(x.SupplierID)
	}
	if n.Blocks, err = namesOf(ctx, tx, org, blockTable(), blocks); err != nil {
		return err
	}
	for _, x := range n.Blocks {
		houses.add(x.HouseID)
		sites.add(x.SiteID)
	}
	if n.Cultivars, err = namesOf(ctx, tx, org, cultivarTable(), cultivars); err != nil {
		return err
	}
	if n.Sites, err = namesOf(ctx, tx, org, siteTable(), sites); err != nil {
		return err
	}
	if n.Houses, err = namesOf(ctx, tx, org, houseTable(), houses); err != nil {
		return err
	}
	if n.Suppliers, err = namesOf(ctx, tx, org, supplierTable(), suppliers); err != nil {
		return err
	}
	if n.Farms, err = namesOf(ctx, tx, org, farmTable(), farms); err != nil {
		return err
	}
	n.Customers, err = namesOf(ctx, tx, org, customerTable(), customers)
	return err
}

func namedLotTable() table[stock.Lot] {
	return table[stock.Lot]{
		name: "lot", columns: `t.id, t.code, t.cultivar_id, t.site_id, coalesce(s.supplier_id, t.supplier_id)`,
		joins:  `left join shipment s on s.organisation_id = $1 and s.id = t.shipment_id`,
		fields: func(x *stock.Lot) []any { return []any{&x.ID, &x.Code, &x.CultivarID, &x.SiteID, &x.SupplierID} },
	}
}

type idSet map[domain.ID]bool

func (s idSet) add(ids ...domain.ID) {
	for _, id := range ids {
		if !id.IsZero() {
			s[id] = true
		}
	}
}

func namesOf[T any](ctx context.Context, tx pgx.Tx, org domain.ID, t table[T], ids idSet) (map[domain.ID]T, error) {
	wanted := make([]domain.ID, 0, len(ids))
	for id := range ids {
		wanted = append(wanted, id)
	}
	records, err := t.collect(ctx, tx, org, t.selectFrom()+` and t.id = any($2)`, wanted)
	if err != nil {
		return nil, fmt.Errorf("read the names of a trail: %w", err)
	}
	named := make(map[domain.ID]T, len(records))
	for _, r := range records {
		named[r.ID] = r.Value
	}
	return named, nil
}
