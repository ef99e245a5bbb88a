package store

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"benchtrail/domain"
)

// Installation says what kind of database this is. Only a demo's may hold the
// demo's accounts.
type Installation struct {
	Demo   bool
	Filled bool // the demo's season is all there
	// The demo's clock showed ClockAt at the moment ClockFrom and runs on from there.
	ClockFrom, ClockAt time.Time
}

// Installation reads what kind of database this is.
func (s *Store) Installation(ctx context.Context) (Installation, error) {
	var i Installation
	err := s.inTx(ctx, nil, func(tx pgx.Tx) error {
		return tx.QueryRow(ctx, `select demo, demo_filled, demo_clock_from, demo_clock_at from installation`).
			Scan(&i.Demo, &i.Filled, &i.ClockFrom, &i.ClockAt)
	})
	return i, err
}

// ErrInUse says that a database holds organisations and is no demo's.
var ErrInUse = errors.New("the database is in use and is not a demo's")

// MarkDemo makes an empty database a demo's, with a clock that shows at now. It
// needs the connection of the owner of the tables: the program's role may not.
// A demo's database stays as it is.
func MarkDemo(ctx context.Context, owner *pgx.Conn, now, at time.Time) error {
	tx, err := owner.Begin(ctx)
	if err != nil {
		return fmt.Errorf("begin: %w", err)
	}
	defer func() { _ = tx.Rollback(context.WithoutCancel(ctx)) }() // after a commit it does nothing
	var demo, used bool
	const q = `select demo, exists (select from organisation) from installation for update`
	if err := tx.QueryRow(ctx, q).Scan(&demo, &used); err != nil {
		return fmt.Errorf("read the installation: %w", err)
	}
	switch {
	case demo:
		return nil
	case used:
		return ErrInUse
	}
	if _, err := tx.Exec(ctx, `update installation set demo = true, demo_clock_from = $1, demo_clock_at = $2`, now, at); err != nil {
		return fmt.Errorf("mark the demo: %w", err)
	}
	return tx.Commit(ctx)
}

// MarkFilled notes that the demo's season is all there, and lets Postgres count its
// rows at once: until it has, it plans the first questions as if there were few.
func MarkFilled(ctx context.Context, owner *pgx.Conn) error {
	if _, err := owner.Exec(ctx, `analyze`); err != nil {
		return fmt.Errorf("count the demo's rows: %w", err)
	}
	if _, err := owner.Exec(ctx, `update installation set demo_filled = true where demo`); err != nil {
		return fmt.Errorf("mark the demo filled: %w", err)
	}
	return nil
}

// OrganismsByEPPO gives the ids of the organisms that have an EPPO code.
func (s *Store) OrganismsByEPPO(ctx context.Context, a Actor) (map[string]domain.ID, error) {
	byCode := map[string]domain.ID{}
	err := s.inTx(ctx, a.settings(), func(tx pgx.Tx) error {
		rows, err := tx.Query(ctx, `select eppo_code, id from organism where organisation_id = $1 and eppo_code <> ''`, a.OrganisationID)
		if err != nil {
			return fmt.Errorf("read organisms: %w", err)
		}
		_, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (struct{}, error) {
			var code string
			var id domain.ID
			err := row.Scan(&code, &id)
			byCode[code] = id
			return struct{}{}, err
		})
		return err
	})
	return byCode, err
}
