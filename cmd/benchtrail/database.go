package main

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/jackc/pgx/v5/stdlib"

	"benchtrail/api/store"
	"benchtrail/deploy/localpg"
	"benchtrail/migrations"
)

// The names inside a private Postgres.
const (
	privateAdmin    = "benchtrail_admin"
	privateDatabase = "benchtrail"
)

// database is the Postgres the program works with: one given by its address,
// or a private one that this program starts, watches and stops.
type database struct {
	log *slog.Logger

	given, givenOwner string

	mu      sync.Mutex
	private *localpg.Server
	options localpg.Options
	closing chan struct{}
	watched sync.WaitGroup
}

// openDatabase starts the private Postgres if none is given, and brings the
// tables up to date. use names the folder of the private one.
func openDatabase(ctx context.Context, cfg config, log *slog.Logger, use string) (*database, error) {
	d := &database{log: log, given: cfg.DatabaseURL, givenOwner: cfg.MigrateURL, closing: make(chan struct{})}
	if d.given == "" {
		folder, err := cfg.dataFolder(use)
		if err != nil {
			return nil, err
		}
		d.options = localpg.Options{Dir: folder, Superuser: privateAdmin, BinDirs: cfg.PostgresBin, Log: log}
		if err := d.startPrivate(ctx); err != nil {
			return nil, err
		}
		d.watched.Add(1)
		go d.watch()
	} else if d.givenOwner == "" {
		d.givenOwner = d.given
	}
	if err := d.migrate(ctx); err != nil {
		return nil, errors.Join(err, d.close())
	}
	return d, nil
}

func (d *database) startPrivate(ctx context.Context) error {
	server, err := localpg.Start(ctx, d.options)
	if err != nil {
		return fmt.Errorf("start the private Postgres: %w", err)
	}
	if err := server.EnsureDatabase(ctx, privateDatabase); err != nil {
		stopErr := server.Stop(context.WithoutCancel(ctx))
		return errors.Join(fmt.Errorf("make the database: %w", err), stopErr)
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.private = server
	return nil
}

// watch starts the private Postgres again when it ends by itself. Meanwhile
// requests are answered with 503 and phones try again.
func (d *database) watch() {
	defer d.watched.Done()
	for {
		server := d.server()
		select {
		case <-d.closing:
			return
		case <-server.Done():
		}
		d.log.Error("the private Postgres ended; starting it again", "error", server.Err())
		for wait := time.Second; ; wait = min(2*wait, 30*time.Second) {
			if err := server.Stop(context.Background()); err != nil { // frees the folder
				d.log.Warn("free the folder of the private Postgres", "error", err)
			}
			err := d.startPrivate(context.Background())
			if err == nil {
				break
			}
			d.log.Error("start the private Postgres again", "error", err)
			select {
			case <-d.closing:
				return
			case <-time.After(wait):
			}
		}
	}
}

func (d *database) server() *localpg.Server {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.private
}

// program is the address for the program's role, owner the one for who may
// change the tables.
func (d *database) program() string {
	if server := d.server(); server != nil {
		return server.URL(migrations.ProgramRole, privateDatabase)
	}
	return d.given
}

func (d *database) owner() string {
	if server := d.server(); server != nil {
		return server.URL(privateAdmin, privateDatabase)
	}
	return d.givenOwner
}

func (d *database) migrate(ctx context.Context) error {
	config, err := pgx.ParseConfig(d.owner())
	if err != nil {
		return fmt.Errorf("read the database address: %w", err)
	}
	db := stdlib.OpenDB(*config)
	defer closeQuietly(d.log, "the migration connection", db)
	pending, err := migrations.Pending(ctx, db)
	if err == nil && !pending {
		return nil
	}
	done, err := migrations.Up(ctx, db)
	if err != nil {
		return err
	}
	d.log.Info("the database is up to date", "migrations", done)
	return nil
}

// pool connects under the program's role.
func (d *database) pool(ctx context.Context) (*pgxpool.Pool, error) {
	return store.Open(ctx, d.program, migrations.ProgramRole)
}

func (d *database) close() error {
	close(d.closing)
	d.watched.Wait()
	if server := d.server(); server != nil {
		// The signal that ends the program must not cut its Postgres short.
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
		defer cancel()
		return server.Stop(ctx)
	}
	return nil
}

func closeQuietly(log *slog.Logger, what string, c interface{ Close() error }) {
	if err := c.Close(); err != nil && !errors.Is(err, sql.ErrConnDone) {
		log.Warn("close "+what, "error", err)
	}
}
