package store

import (
	"context"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// Rebook works out anew the book of all lots, for tests that wrote movements past it.
func (s *Store) Rebook(ctx context.Context, a Actor) error {
	return s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		rows, err := tx.Query(ctx, `select id from lot where organisation_id = $1`, a.OrganisationID)
		if err != nil {
			return err
		}
		lots, err := pgx.CollectRows(rows, pgx.RowTo[domain.ID])
		if err != nil {
			return err
		}
		return rebookLots(ctx, tx, a.OrganisationID, lots...)
	})
}

// TrailSQL gives the query that follows lots forward.
func TrailSQL(from stock.TrailStart) string { return trailLots(trailStarts(from), false) }

// ContactsSQL gives the query that looks for contacts at a level.
func ContactsSQL(i int) string { return contactsOf(levels()[i]) }
