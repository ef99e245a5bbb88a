// Package storetest gives every test a database of its own on a real Postgres:
// a clone of a template that is migrated once for each test program.
package storetest

import (
	"context"
	"crypto/rand"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/deploy/localpg"
	"benchtrail/domain"
	"benchtrail/migrations"
)

const template = "template_of_tests"

// Cluster is the throwaway server of one test program.
type Cluster struct {
	server *localpg.Server
	names  atomic.Int64
	once   sync.Once
	err    error
}

// Run starts a server, runs the tests of the program and stops the server. It
// is for TestMain: os.Exit(storetest.Run(m, &cluster)). Without server programs
// on the machine the tests fail; they are never skipped.
func Run(m *testing.M, c *Cluster) int {
	ctx := context.Background()
	server, err := localpg.Start(ctx, localpg.Options{
		Throwaway: true, Settings: map[string]string{"max_connections": "300"},
	})
	if err != nil {
		fmt.Println("start Postgres for the tests:", err)
		return 1
	}
	c.server = server
	code := m.Run()
	if err := server.Stop(ctx); err != nil {
		fmt.Println("stop Postgres:", err)
	}
	return code
}

// Database gives the address of a new database, migrated, for the owner of its
// tables, and one for the program's role.
func (c *Cluster) Database(tb testing.TB) (owner, program string) {
	tb.Helper()
	ctx := context.Background()
	c.once.Do(func() { c.err = c.makeTemplate(ctx) })
	require.NoError(tb, c.err)
	name := fmt.Sprintf("test_%d", c.names.Add(1))
	admin, err := pgx.Connect(ctx, c.server.URL("benchtrail_admin", "postgres"))
	require.NoError(tb, err)
	defer func() { require.NoError(tb, admin.Close(ctx)) }()
	_, err = admin.Exec(ctx, "create database "+name+" template "+template+" strategy file_copy")
	require.NoError(tb, err)
	return c.server.URL("benchtrail_admin", name), c.server.URL(migrations.ProgramRole, name)
}

// Pool connects to an address under the program's role.
func Pool(tb testing.TB, program string) *pgxpool.Pool {
	tb.Helper()
	pool, err := store.Open(context.Background(), func() string { return program }, migrations.ProgramRole)
	require.NoError(tb, err)
	tb.Cleanup(pool.Close)
	return pool
}

// New gives a store on a database of its own, with a clock that stands still at
// Now until the test moves it.
func (c *Cluster) New(tb testing.TB) (*store.Store, *Clock) {
	tb.Helper()
	_, program := c.Database(tb)
	clock := &Clock{}
	clock.Set(Now())
	return store.New(Pool(tb, program), clock.Now), clock
}

func (c *Cluster) makeTemplate(ctx context.Context) error {
	if err := c.server.EnsureDatabase(ctx, template); err != nil {
		return err
	}
	config, err := pgx.ParseConfig(c.server.URL("benchtrail_admin", template))
	if err != nil {
		return err
	}
	db := stdlib.OpenDB(*config)
	if _, err := migrations.Up(ctx, db); err != nil {
		return err
	}
	return db.Close()
}

// Now is the moment at which tests begin: a Monday in mid-September.
func Now() time.Time { return time.Date(2026, time.September, 14, 13, 0, 0, 0, time.UTC) }

// Clock is a clock that a test sets.
type Clock struct{ nanoseconds atomic.Int64 }

// Now tells the time.
func (c *Clock) Now() time.Time { return time.Unix(0, c.nanoseconds.Load()).UTC() }

// Set moves the clock.
func (c *Clock) Set(t time.Time) { c.nanoseconds.Store(t.UnixNano()) }

// NewID makes an id for a test's record.
func NewID(tb testing.TB) domain.ID {
	tb.Helper()
	id, err := domain.NewID(time.Now(), rand.Reader)
	require.NoError(tb, err)
	return id
}
