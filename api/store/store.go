// Package store keeps the records in Postgres: all SQL is here. One exported
// method is one use case and one transaction. It never imports the HTTP side.
package store

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"benchtrail/domain"
)

// Store is the database as the program sees it.
type Store struct {
	pool  *pgxpool.Pool
	clock func() time.Time
}

// New makes a store on a pool made by Open. The clock tells when things are recorded.
func New(pool *pgxpool.Pool, clock func() time.Time) *Store { return &Store{pool, clock} }

// Open connects to Postgres under the program's role. It refuses a role that
// row-level security does not bind. The address is asked for again at every new
// connection: a private server that was restarted may have moved its socket.
func Open(ctx context.Context, address func() string, role string) (*pgxpool.Pool, error) {
	config, err := pgxpool.ParseConfig(address())
	if err != nil {
		return nil, fmt.Errorf("read the database address: %w", err)
	}
	config.BeforeConnect = func(_ context.Context, conn *pgx.ConnConfig) error {
		now, err := pgx.ParseConfig(address())
		if err != nil {
			return fmt.Errorf("read the database address: %w", err)
		}
		conn.Host, conn.Port, conn.Fallbacks = now.Host, now.Port, now.Fallbacks
		return nil
	}
	config.AfterConnect = func(ctx context.Context, conn *pgx.Conn) error {
		registerTypes(conn.TypeMap())
		return becomeRole(ctx, conn, role)
	}
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, fmt.Errorf("connect to the database: %w", err)
	}
	if err := pool.Ping(ctx); err != nil {
		pool.Close()
		return nil, fmt.Errorf("connect to the database: %w", err)
	}
	return pool, nil
}

// ErrUnboundRole says that the database login would see every organisation's rows.
var ErrUnboundRole = errors.New("the database role is a superuser or bypasses row-level security")

func becomeRole(ctx context.Context, conn *pgx.Conn, role string) error {
	if _, err := conn.Exec(ctx, "set role "+pgx.Identifier{role}.Sanitize()); err != nil {
		return fmt.Errorf("take the role %s: %w", role, err)
	}
	var unbound bool
	const q = `select rolsuper or rolbypassrls from pg_roles where rolname = current_user`
	if err := conn.QueryRow(ctx, q).Scan(&unbound); err != nil {
		return fmt.Errorf("look at the role: %w", err)
	}
	if unbound {
		return ErrUnboundRole
	}
	return nil
}

// Ping reports whether the database answers.
func (s *Store) Ping(ctx context.Context) error { return s.pool.Ping(ctx) }

// Role is what a person may do at a site.
type Role string

// The roles.
const (
	Receiver Role = "receiver"
	Grower   Role = "grower"
	Owner    Role = "owner"
	Reader   Role = "reader" // sees what the site has and writes nothing
)

// SiteRole is a role at one site or, with a zero SiteID, at every site.
type SiteRole struct {
	Role   Role
	SiteID domain.ID
}

// Actor is the person on whose behalf a transaction runs, and what row-level
// security lets it see.
type Actor struct {
	PersonID       domain.ID
	Name           string
	Email          string
	Language       string
	OrganisationID domain.ID
	Organisation   string
	Roles          []SiteRole
	EndsOn         domain.Date // the last day of the account; zero for no end
}

// ReadsOnly reports whether the actor sees and never writes.
func (a Actor) ReadsOnly() bool {
	for _, r := range a.Roles {
		if r.Role != Reader {
			return false
		}
	}
	return len(a.Roles) > 0
}

// Has reports whether the actor has the role anywhere.
func (a Actor) Has(role Role) bool {
	for _, r := range a.Roles {
		if r.Role == role {
			return true
		}
	}
	return false
}

// OwnerAt reports whether the actor is an owner at the site.
func (a Actor) OwnerAt(site domain.ID) bool {
	for _, r := range a.Roles {
		if r.Role == Owner && (r.SiteID.IsZero() || r.SiteID == site) {
			return true
		}
	}
	return false
}

// Sees reports whether the actor has any role at the site.
func (a Actor) Sees(site domain.ID) bool {
	for _, r := range a.Roles {
		if r.SiteID.IsZero() || r.SiteID == site {
			return true
		}
	}
	return false
}

// sites is what the policies read: every site, or the ones named.
func (a Actor) sites() string {
	ids := make([]string, 0, len(a.Roles))
	for _, r := range a.Roles {
		if r.SiteID.IsZero() {
			return "*"
		}
		ids = append(ids, r.SiteID.String())
	}
	return strings.Join(ids, ",")
}

// setting is one session variable that the policies read.
type setting struct{ name, value string }

// readsOnly is the setting under which Postgres itself refuses to write.
var readsOnly = setting{"reads_only", "on"}

func (a Actor) settings() []setting {
	settings := []setting{
		{"organisation", a.OrganisationID.String()}, {"person", a.PersonID.String()}, {"sites", a.sites()},
	}
	if a.ReadsOnly() {
		settings = append(settings, readsOnly)
	}
	return settings
}

// inTx runs fn in one transaction in which the policies see the settings. It
// tries again when Postgres asks for that, up to three times.
func (s *Store) inTx(ctx context.Context, settings []setting, fn func(tx pgx.Tx) error) error {
	var err error
	for range 3 {
		err = s.once(ctx, settings, fn)
		if !shouldRetry(err) {
			break
		}
	}
	return err
}

func (s *Store) once(ctx context.Context, settings []setting, fn func(tx pgx.Tx) error) (err error) {
	options := pgx.TxOptions{}
	if slices.Contains(settings, readsOnly) {
		options.AccessMode = pgx.ReadOnly
	}
	tx, err := s.pool.BeginTx(ctx, options)
	if err != nil {
		return fmt.Errorf("begin: %w", err)
	}
	committed := false
	defer func() { // also in a panic, which would otherwise keep the connection and its locks
		if committed {
			return
		}
		// The rollback must reach the server also when the caller has gone.
		rollback, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
		defer cancel()
		if rbErr := tx.Rollback(rollback); rbErr != nil && !errors.Is(rbErr, pgx.ErrTxClosed) {
			err = errors.Join(err, fmt.Errorf("roll back: %w", rbErr))
		}
	}()
	if err := set(ctx, tx, append(settings, setting{"now", s.clock().Format(time.RFC3339Nano)})...); err != nil {
		return err
	}
	if err := fn(tx); err != nil {
		return translate(err)
	}
	if err := tx.Commit(ctx); err != nil {
		return fmt.Errorf("commit: %w", translate(err))
	}
	committed = true
	return nil
}

func set(ctx context.Context, tx pgx.Tx, settings ...setting) error {
	batch := &pgx.Batch{}
	for _, x := range settings {
		batch.Queue(`select set_config($1, $2, true)`, "benchtrail."+x.name, x.value)
	}
	if err := tx.SendBatch(ctx, batch).Close(); err != nil {
		return fmt.Errorf("tell the policies who asks: %w", err)
	}
	return nil
}
