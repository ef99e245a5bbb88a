// Package migrations holds the shape of the database and brings it up to date.
package migrations

import (
	"context"
	"database/sql"
	"embed"
	"fmt"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"
)

//go:embed *.sql
var files embed.FS

// Files gives the migrations, in order by name. Tests name their template
// database after the content.
func Files() embed.FS { return files }

// ProgramRole is the role the program works under: it owns nothing, is no
// superuser and is bound by row-level security.
const ProgramRole = "benchtrail_program"

// Up applies what is missing and returns how many migrations that were. Other
// programs doing the same at the same time wait for one another. The
// connection must be allowed to create tables and, the first time, the
// program's role.
func Up(ctx context.Context, db *sql.DB) (int, error) {
	if err := ensureRole(ctx, db); err != nil {
		return 0, err
	}
	p, err := provider(db)
	if err != nil {
		return 0, err
	}
	done, err := p.Up(ctx)
	if err != nil {
		return len(done), fmt.Errorf("migrate up: %w", err)
	}
	return len(done), nil
}

// Down takes every migration back, leaving an empty database. Rows are lost.
func Down(ctx context.Context, db *sql.DB) error {
	p, err := provider(db)
	if err != nil {
		return err
	}
	if _, err := p.DownTo(ctx, 0); err != nil {
		return fmt.Errorf("migrate down: %w", err)
	}
	return nil
}

// Pending reports whether the database lacks a migration this program needs.
func Pending(ctx context.Context, db *sql.DB) (bool, error) {
	p, err := provider(db)
	if err != nil {
		return false, err
	}
	pending, err := p.HasPending(ctx)
	if err != nil {
		return false, fmt.Errorf("look for pending migrations: %w", err)
	}
	return pending, nil
}

func provider(db *sql.DB) (*goose.Provider, error) {
	locker, err := lock.NewPostgresSessionLocker()
	if err != nil {
		return nil, fmt.Errorf("make the migration lock: %w", err)
	}
	p, err := goose.NewProvider(goose.DialectPostgres, db, files,
		goose.WithSessionLocker(locker), goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return nil, fmt.Errorf("read the migrations: %w", err)
	}
	return p, nil
}

// Roles belong to the whole cluster, so two databases being set up at once may
// both try; whoever comes second finds it made.
func ensureRole(ctx context.Context, db *sql.DB) error {
	const q = `do $$ begin
		if not exists (select from pg_roles where rolname = '` + ProgramRole + `') then
			create role ` + ProgramRole + ` login nosuperuser nocreatedb nocreaterole nobypassrls;
		end if;
	exception when duplicate_object or unique_violation then null;
	end $$;
	do $$ begin
		if not pg_has_role(current_user, '` + ProgramRole + `', 'member') then
			grant ` + ProgramRole + ` to current_user;
		end if;
	end $$`
	if _, err := db.ExecContext(ctx, q); err != nil {
		return fmt.Errorf("make the role %s: %w", ProgramRole, err)
	}
	return nil
}
