package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func movementTable() table[stock.Movement] {
	return table[stock.Movement]{
		name: "movement",
		columns: `t.id, t.lot_id, t.kind, t.moved_at, t.plants, t.from_block_id, t.to_block_id, t.reason, t.note, t.withdrawn_because,
			coalesce(t.rooted, 0), t.customer_id, t.paper_number, t.code, t.although_held, t.site_id`,
		fields: func(m *stock.Movement) []any {
			return []any{
				&m.ID, &m.LotID, &m.Kind, &m.MovedAt, &m.Plants, &m.FromBlockID, &m.ToBlockID, &m.Reason, &m.Note, &m.Withdrawn,
				&m.Rooted, &m.CustomerID, &m.PaperNumber, &m.Code, &m.AlthoughHeld, &m.SiteID,
			}
		},
		fill: fillMovements,
	}
}

func fillMovements(ctx context.Context, tx pgx.Tx, org domain.ID, movements []Record[stock.Movement]) error {
	err := eachPart(ctx, tx, `select movement_id, lot_id, plants, from_block_id, to_block_id, code from movement_part
		where organisation_id = $1 and movement_id = any($2) order by movement_id, ordinal`, org, movements,
		func(row pgx.CollectableRow, of func(domain.ID) *stock.Movement) error {
			var id domain.ID
			var p stock.Part
			if err := row.Scan(&id, &p.LotID, &p.Plants, &p.FromBlockID, &p.ToBlockID, &p.Code); err != nil {
				return err
			}
			of(id).Parts = append(of(id).Parts, p)
			return nil
		})
	if err != nil {
		return err
	}
	err = eachPart(ctx, tx, `select movement_id, hold_id from breach where organisation_id = $1 and movement_id = any($2) order by 1, 2`, org, movements,
		func(row pgx.CollectableRow, of func(domain.ID) *stock.Movement) error {
			var id, hold domain.ID
			if err := row.Scan(&id, &hold); err != nil {
				return err
			}
			of(id).HeldBy = append(of(id).HeldBy, hold)
			return nil
		})
	if err != nil {
		return err
	}
	return eachPart(ctx, tx, `select movement_id, code, lot_id, block_id, have, asked, detail, beside from movement_conflict
		where organisation_id = $1 and movement_id = any($2)`, org, movements,
		func(row pgx.CollectableRow, of func(domain.ID) *stock.Movement) error {
			var id domain.ID
			var c stock.Conflict
			if err := row.Scan(&id, &c.Code, &c.LotID, &c.BlockID, &c.Have, &c.Asked, &c.Detail, &c.With); err != nil {
				return err
			}
			of(id).Aside = &c
			return nil
		})
}

// PutMovement stores a movement that is asked for. What cannot be, or is held, is
// refused with the numbers.
func (s *Store) PutMovement(ctx context.Context, a Actor, p Put, m stock.Movement) (Saved[stock.Movement], error) {
	return s.putMovement(ctx, a, p, m, family.refuse)
}

// KeepMovement stores a movement that has happened. Where it does not fit the book
// it is set aside as a conflict; where the plants were held it is marked.
func (s *Store) KeepMovement(ctx context.Context, a Actor, p Put, m stock.Movement) (Saved[stock.Movement], error) {
	return s.putMovement(ctx, a, p, m, func(family, stock.Movement) error { return nil })
}

func (s *Store) putMovement(ctx context.Context, a Actor, p Put, m stock.Movement, refuse func(family, stock.Movement) error,
) (Saved[stock.Movement], error) {
	return save(ctx, s, a, p, movementTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		m := m // the transaction may be tried again
		var err error
		if m.SiteID, err = siteOfMovement(ctx, tx, st.org, m); err != nil {
			return m.SiteID, err
		}
		if err := lockBook(ctx, tx, m.SiteID); err != nil {
			return m.SiteID, err
		}
		if st.version > 1 {
			if err := sameLots(ctx, tx, st, m); err != nil {
				return m.SiteID, err
			}
		}
		if err := blocksAtSite(ctx, tx, st.org, m); err != nil {
			return m.SiteID, err
		}
		if err := bear(ctx, tx, st, m); err != nil {
			return m.SiteID, err
		}
		before, err := familyOf(ctx, tx, st.org, lotsOf(m)...)
		if err != nil {
			return m.SiteID, err
		}
		if err := refuse(before, m); err != nil {
			return m.SiteID, err
		}
		if err := writeMovement(ctx, tx, st, m); err != nil {
			return m.SiteID, err
		}
		return m.SiteID, rebookLots(ctx, tx, st.org, before.ids()...)
	})
}

func lotsOf(m stock.Movement) []domain.ID {
	lots := []domain.ID{m.LotID}
	for _, p := range m.Parts {
		lots = append(lots, p.LotID)
	}
	return lots
}

// siteOfMovement gives the site of the lots that are moved. They are all at one.
func siteOfMovement(ctx context.Context, tx pgx.Tx, org domain.ID, m stock.Movement) (domain.ID, error) {
	var site domain.ID
	for i, lot := range m.Sources() {
		path := "/lot_id"
		if m.Kind == stock.Merge {
			path = fmt.Sprintf("/parts/%d/lot_id", slices.IndexFunc(m.Parts, func(p stock.Part) bool { return p.LotID == lot }))
		}
		at, err := ownSite(ctx, tx, org, "lot", lot)
		var faults domain.Faults
		if errors.As(err, &faults) {
			faults[0].Path = path
		}
		if err != nil {
			return site, err
		}
		if i > 0 && at != site {
			return site, domain.Faults{{Path: path, Code: "other_site", Detail: "the lots of a merge stand at one site"}}
		}
		site = at
	}
	return site, nil
}

// sameLots refuses a correction that would name other lots: those that were born
// of the movement would be left without a beginning.
func sameLots(ctx context.Context, tx pgx.Tx, st stamp, m stock.Movement) error {
	var lots []domain.ID
	var kind stock.Kind
	const q = `select lot_id || array(select distinct p.lot_id from movement_part p where p.organisation_id = $1 and p.movement_id = $2), kind
		from movement where organisation_id = $1 and id = $2`
	if err := tx.QueryRow(ctx, q, st.org, st.id).Scan(&lots, &kind); err != nil {
		return missing(err, "movement")
	}
	now := lotsOf(m)
	slices.SortFunc(now[1:], func(a, b domain.ID) int { return bytes.Compare(a[:], b[:]) })
	slices.SortFunc(lots[1:], func(a, b domain.ID) int { return bytes.Compare(a[:], b[:]) })
	if lots[0] != now[0] {
		return domain.Faults{{Path: "/lot_id", Code: "not_changeable", Detail: "a movement stays with its lot; withdraw it and record another"}}
	}
	if !slices.Equal(lots, append(now[:1], slices.Compact(now[1:])...)) {
		return domain.Faults{{Path: "/parts", Code: "not_changeable", Detail: "a " + string(kind) + " stays with its lots; withdraw it and record another"}}
	}
	return nil
}

// blocksAtSite refuses blocks that are not there or are at another site.
func blocksAtSite(ctx context.Context, tx pgx.Tx, org domain.ID, m stock.Movement) error {
	type named struct {
		path  string
		block domain.ID
	}
	blocks := []named{{"/from_block_id", m.FromBlockID}, {"/to_block_id", m.ToBlockID}}
	for i, p := range m.Parts {
		blocks = append(blocks, named{fmt.Sprintf("/parts/%d/from_block_id", i), p.FromBlockID}, named{fmt.Sprintf("/parts/%d/to_block_id", i), p.ToBlockID})
	}
	for _, x := range blocks {
		if x.block.IsZero() {
			continue
		}
		at, err := ownSite(ctx, tx, org, "block", x.block)
		var faults domain.Faults
		if errors.As(err, &faults) {
			faults[0].Path = x.path
		}
		if err != nil {
			return err
		}
		if at != m.SiteID {
			return domain.Faults{{Path: x.path, Code: "other_site", Detail: "the block is at another site than the lot"}}
		}
	}
	return nil
}

func writeMovement(ctx context.Context, tx pgx.Tx, st stamp, m stock.Movement) error {
	var rooted *int
	if m.Kind == stock.Root {
		rooted = &m.Rooted
	}
	err := upsert(ctx, tx, st, "movement", `site_id, lot_id, kind, moved_at, plants, from_block_id, to_block_id, reason, note, withdrawn_because,
		rooted, customer_id, paper_number, code, although_held`,
		m.SiteID, m.LotID, m.Kind, m.MovedAt, m.Plants, m.FromBlockID, m.ToBlockID, m.Reason, m.Note, m.Withdrawn,
		rooted, m.CustomerID, m.PaperNumber, m.Code, m.AlthoughHeld)
	if err != nil {
		return err
	}
	batch := &pgx.Batch{}
	batch.Queue(`delete from movement_part where organisation_id = $1 and movement_id = $2`, st.org, st.id)
	for i, p := range m.Parts {
		batch.Queue(`insert into movement_part (organisation_id, movement_id, ordinal, site_id, lot_id, plants, from_block_id, to_block_id, code)
			values ($1, $2, $3, $4, $5, $6, $7, $8, $9)`, st.org, st.id, i, m.SiteID, p.LotID, p.Plants, p.FromBlockID, p.ToBlockID, p.Code)
	}
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write the parts of the movement: %w", err)
	}
	return nil
}

// Movement reads a movement.
func (s *Store) Movement(ctx context.Context, a Actor, id domain.ID) (Record[stock.Movement], error) {
	return get(ctx, s, a, movementTable(), id)
}

// MovementFilter narrows a list of movements; zero members do not.
type MovementFilter struct{ SiteID, LotID, ShipmentID domain.ID }

// Movements lists the movements.
func (s *Store) Movements(ctx context.Context, a Actor, page Page, f MovementFilter) (List[stock.Movement], error) {
	return list(ctx, s, a, movementTable(), page, `and ($4::uuid is null or t.site_id = $4) and ($5::uuid is null or t.lot_id = $5
			or exists (select from movement_part p where p.organisation_id = $1 and p.movement_id = t.id and p.lot_id = $5))
		and ($6::uuid is null or exists (select from lot where lot.organisation_id = $1 and lot.id = t.lot_id and lot.shipment_id = $6))`,
		f.SiteID, f.LotID, f.ShipmentID)
}
