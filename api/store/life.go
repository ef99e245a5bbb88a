package store

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
	"benchtrail/domain/stock"
)

// LotLife is what the book says of one lot.
type LotLife struct {
	Account  stock.Account
	Ancestry []stock.Ancestor
	Holds    []stock.Reach
}

// LotLife reads the life of a lot.
func (s *Store) LotLife(ctx context.Context, a Actor, lot domain.ID) (LotLife, error) {
	var life LotLife
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		f, err := familyOf(ctx, tx, a.OrganisationID, lot)
		if err != nil {
			return err
		}
		book := stock.FoldBook(f.lots, f.movements)
		account, known := book.Account(lot)
		if !known {
			return fmt.Errorf("lot %s: %w", lot, ErrNotFound)
		}
		life = LotLife{account, book.Ancestry(lot), book.Under(f.holds, f.spots).Reaching(lot)}
		return nil
	})
	return life, err
}

// Unsettled lists the movements, of one site unless it is zero, that could not be
// entered in the book, in time.
func (s *Store) Unsettled(ctx context.Context, a Actor, site domain.ID) ([]Record[stock.Movement], error) {
	var found []Record[stock.Movement]
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) (err error) {
		t := movementTable()
		found, err = t.collect(ctx, tx, a.OrganisationID, t.selectFrom()+` and ($2::uuid is null or t.site_id = $2)
			and exists (select from movement_conflict c where c.organisation_id = $1 and c.movement_id = t.id) order by t.moved_at, t.id limit 500`, site)
		return err
	})
	return found, err
}
