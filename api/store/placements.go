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
