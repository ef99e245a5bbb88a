package store

import (
	"context"
	"encoding/base64"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func movementTable() table[stock.Movement] {
	return table[stock.Movement]{
		name: "movement",
		columns: `t.id, t.lot_id, t.kind, t.moved_at, t.plants, t.from_block_id, t.to_block_id, t.reason, t.note, t.withdrawn_because,
			t.site_id, t.while_held`,
		fields: func(m *stock.Movement) []any {
			return []any{
				&m.ID, &m.LotID, &m.Kind, &m.MovedAt, &m.Plants, &m.FromBlockID, &m.ToBlockID, &m.Reason, &m.Note, &m.Withdrawn,
				&m.SiteID, &m.WhileHeld,
			}
		},
	}
}

// PutMovement stores a movement and works out anew where the plants of its lot
// stand. One that takes more plants than there are is refused with the numbers.
// One made while the lot was on hold is kept and marked.
func (s *Store) PutMovement(ctx context.Context, a Actor, p Put, m stock.Movement) (Saved[stock.Movement], error) {
	return save(ctx, s, a, p, movementTable(), func(ctx context.Context, tx pgx.Tx, st stamp) (domain.ID, error) {
		var was domain.ID
		const before = `select lot_id from movement where organisation_id = $1 and id = $2`
		if st.version > 1 {
			if err := tx.QueryRow(ctx, before, st.org, st.id).Scan(&was); err != nil {
				return was, missing(err, "movement")
			}
			if was != m.LotID {
				return was, domain.Faults{{Path: "/lot_id", Code: "not_changeable", Detail: "a movement stays with its lot; withdraw it and record another"}}
			}
		}
		lot := stock.Lot{ID: m.LotID}
		var held bool
		const q = `select t.plants, t.site_id, coalesce(` + verdictAt + ` in ('hold', 'reject'), false)
			from lot t where t.organisation_id = $1 and t.id = $2 for update of t`
		if err := tx.QueryRow(ctx, q, st.org, m.LotID, m.MovedAt).Scan(&lot.Plants, &lot.SiteID, &held); err != nil {
			return lot.SiteID, missing(err, "lot")
		}
		for member, block := range map[string]domain.ID{"from_block": m.FromBlockID, "to_block": m.ToBlockID} {
			if block.IsZero() {
				continue
			}
			var there domain.ID
			const q = `select site_id from block where organisation_id = $1 and id = $2`
			if err := tx.QueryRow(ctx, q, st.org, block).Scan(&there); err != nil {
				return lot.SiteID, missing(err, member)
			}
			if there != lot.SiteID {
				return lot.SiteID, domain.Faults{{Path: "/" + member + "_id", Code: "other_site", Detail: "the block is at another site than the lot"}}
			}
		}
		// Receiving and the first sticking are how plants get to where they are held.
		held = held && m.Kind != stock.Receive && m.Kind != stock.Stick
		err := upsert(ctx, tx, st, "movement",
			"site_id, lot_id, kind, moved_at, plants, from_block_id, to_block_id, reason, note, while_held, withdrawn_because",
			lot.SiteID, m.LotID, m.Kind, m.MovedAt, m.Plants, m.FromBlockID, m.ToBlockID, m.Reason, m.Note, held, m.Withdrawn)
		if err != nil {
			return lot.SiteID, err
		}
		return lot.SiteID, writePlacements(ctx, tx, st.org, lot)
	})
}

// lifeOf folds the movements of a lot.
func lifeOf(ctx context.Context, tx pgx.Tx, org domain.ID, lot stock.Lot) (stock.Life, error) {
	t := movementTable()
	records, err := t.collect(ctx, tx, org, t.selectFrom()+` and t.lot_id = $2`, lot.ID)
	if err != nil {
		return stock.Life{}, err
	}
	movements := make([]stock.Movement, len(records))
	for i, r := range records {
		movements[i] = r.Value
	}
	return stock.Fold(lot, movements)
}

func writePlacements(ctx context.Context, tx pgx.Tx, org domain.ID, lot stock.Lot) error {
	life, err := lifeOf(ctx, tx, org, lot)
	if err != nil {
		return err
	}
	batch := &pgx.Batch{}
	batch.Queue(`delete from placement where organisation_id = $1 and lot_id = $2`, org, lot.ID)
	for _, p := range life.Placements {
		batch.Queue(`insert into placement (organisation_id, lot_id, block_id, from_at, to_at, plants, site_id)
			select $1, $2, $3, $4, $5, $6, site_id from block where organisation_id = $1 and id = $3`,
			org, lot.ID, p.BlockID, p.From, p.To, p.Plants)
	}
	batch.Queue(`update lot set plants_on_hand = $3 where organisation_id = $1 and id = $2`, org, lot.ID, life.OnHand())
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("write where the lot stands: %w", err)
	}
	return renewDoubts(ctx, tx, org, lot.ID)
}

// Movement reads a movement.
func (s *Store) Movement(ctx context.Context, a Actor, id domain.ID) (Record[stock.Movement], error) {
	return get(ctx, s, a, movementTable(), id)
}

// MovementFilter narrows a list of movements; zero members do not.
type MovementFilter struct{ SiteID, LotID, ShipmentID domain.ID }

// Movements lists the movements.
func (s *Store) Movements(ctx context.Context, a Actor, page Page, f MovementFilter) (List[stock.Movement], error) {
	return list(ctx, s, a, movementTable(), page, `and ($4::uuid is null or t.site_id = $4) and ($5::uuid is null or t.lot_id = $5)
		and ($6::uuid is null or exists (select from lot where lot.organisation_id = $1 and lot.id = t.lot_id and lot.shipment_id = $6))`,
		f.SiteID, f.LotID, f.ShipmentID)
}

// PlacementFilter narrows a list of placements; zero members do not.
type PlacementFilter struct {
	SiteID, BlockID, LotID domain.ID
	At                     time.Time
}

// Placements lists which lot stood where. A page ends with an opaque token,
// since placements have no id of their own.
func (s *Store) Placements(ctx context.Context, a Actor, after string, limit int, f PlacementFilter) ([]stock.Placement, string, error) {
	last, err := afterPlacement(after)
	if err != nil {
		return nil, "", err
	}
	const q = `select lot_id, block_id, from_at, to_at, plants from placement
		where organisation_id = $1 and ($2::uuid is null or (lot_id, block_id, from_at) > ($2, $3, $4))
			and ($6::uuid is null or site_id = $6) and ($7::uuid is null or block_id = $7) and ($8::uuid is null or lot_id = $8)
			and ($9::timestamptz is null or (from_at <= $9 and (to_at is null or $9 < to_at)))
		order by lot_id, block_id, from_at limit $5`
	var placements []stock.Placement
	err = s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		rows, err := tx.Query(ctx, q, a.OrganisationID, last.LotID, last.BlockID, last.From, limit+1, f.SiteID, f.BlockID, f.LotID, f.At)
		if err != nil {
			return fmt.Errorf("read placements: %w", err)
		}
		placements, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (stock.Placement, error) {
			var p stock.Placement
			return p, row.Scan(&p.LotID, &p.BlockID, &p.From, &p.To, &p.Plants)
		})
		return err
	})
	if err != nil || len(placements) <= limit {
		return placements, "", err
	}
	placements = placements[:limit]
	return placements, placementToken(placements[limit-1]), nil
}

func placementToken(p stock.Placement) string {
	text := p.LotID.String() + p.BlockID.String() + p.From.Format(time.RFC3339Nano)
	return base64.RawURLEncoding.EncodeToString([]byte(text))
}

func afterPlacement(token string) (stock.Placement, error) {
	var p stock.Placement
	if token == "" {
		return p, nil
	}
	text, err := base64.RawURLEncoding.DecodeString(token)
	if err != nil || len(text) < 72 {
		return p, ErrToken
	}
	if p.LotID, err = domain.ParseID(string(text[:36])); err != nil {
		return p, ErrToken
	}
	if p.BlockID, err = domain.ParseID(string(text[36:72])); err != nil {
		return p, ErrToken
	}
	if p.From, err = time.Parse(time.RFC3339Nano, string(text[72:])); err != nil {
		return p, ErrToken
	}
	return p, nil
}
