// Package localpg runs a private Postgres server as a child of this program,
// for the demo, for tests and for small sites that have no server of their own.
//
// The server listens on a Unix socket inside a folder that only its user may
// enter, and on no network address. It stops with the program, and a folder
// left behind by a killed program or a killed server is put right by the next
// Start. Real server programs must be on the machine; Find says which are used.
package localpg

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"os"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// Options say where a private server lives and how it runs.
type Options struct {
	// Dir is the folder that holds the data, the lock and the socket. It is
	// made if missing. It must be empty for a throwaway server.
	Dir string
	// Superuser is the role that initdb creates; "benchtrail_admin" if empty.
	Superuser string
	// BinDirs are folders looked in for server programs before the PATH and
	// the usual places: a folder with initdb and postgres, or its parent.
	BinDirs []string
	// Throwaway makes a server without durability in a folder of its own, in
	// memory where there is room; Stop deletes it. For tests.
	Throwaway bool
	// Log receives the server's own messages and what recovery did; none if nil.
	Log *slog.Logger
	// Settings are server settings (name to value) that win over the defaults,
	// but not over those that keep the server private.
	Settings map[string]string
}

func (o Options) withDefaults() Options {
	if o.Superuser == "" {
		o.Superuser = "benchtrail_admin"
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	return o
}

// Server is a running private Postgres. Its methods may be called from several
// goroutines.
type Server struct {
	folder    *folder
	account   account
	sockets   string
	superuser string
	log       *slog.Logger
	process   *os.Process
	words     *lastWords

	ordered  atomic.Bool
	done     chan struct{}
	err      error // written before done closes
	stopOnce sync.Once
	stopErr  error
}

// Pid returns the process id of the postmaster.
func (s *Server) Pid() int { return s.process.Pid }

// Done returns a channel that closes when the postmaster has ended, whoever
// ended it. The folder stays locked until Stop is called.
func (s *Server) Done() <-chan struct{} { return s.done }

// Err returns nil while the server runs and after an orderly Stop, and
// otherwise why the server ended, with its last messages.
func (s *Server) Err() error {
	select {
	case <-s.done:
		return s.err
	default:
		return nil
	}
}

// URL returns the address of a database for a role, in the form pgx and libpq
// read, over the private socket. It holds no password: the folder of the socket
// is what guards the server.
func (s *Server) URL(user, database string) string {
	u := url.URL{Scheme: "postgres", Path: "/" + database}
	u.RawQuery = url.Values{
		"host": {s.sockets}, "port": {port}, "user": {user}, "sslmode": {"disable"},
	}.Encode()
	return u.String()
}

// EnsureDatabase creates a database, owned by the superuser, unless it exists.
func (s *Server) EnsureDatabase(ctx context.Context, name string) error {
	conn, err := pgx.Connect(ctx, s.URL(s.superuser, "postgres"))
	if err != nil {
		return fmt.Errorf("connect to make database %q: %w", name, err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	var exists bool
	err = conn.QueryRow(ctx, "select exists (select from pg_database where datname = $1)", name).Scan(&exists)
	if err != nil {
		return fmt.Errorf("look for database %q: %w", name, err)
	}
	if exists {
		return nil
	}
	_, err = conn.Exec(ctx, "create database "+pgx.Identifier{name}.Sanitize())
	if err != nil && !madeByAnother(err) {
		return fmt.Errorf("make database %q: %w", name, err)
	}
	return nil
}

// madeByAnother tells whether CREATE DATABASE failed because another session
// made the same one a moment earlier: duplicate_database, or unique_violation
// when both were under way.
func madeByAnother(err error) bool {
	var pg *pgconn.PgError
	return errors.As(err, &pg) && (pg.Code == "42P04" || pg.Code == "23505")
}

const (
	// fastShutdown is how long sessions get to roll back and the server to
	// write its checkpoint before it is ended without one.
	fastShutdown = 15 * time.Second
	// immediateShutdown is how long the server then gets to end its children.
	immediateShutdown = 10 * time.Second
)

// Stop ends the server and frees the folder; a throwaway folder is deleted. It
// asks for a fast shutdown, and after 15 seconds, or when ctx ends, for an
// immediate one, after which the next Start replays the log. Stop may be called
// again and after the server has ended by itself.
func (s *Server) Stop(ctx context.Context) error {
	s.stopOnce.Do(func() { s.stopErr = s.stop(ctx) })
	return s.stopErr
}

func (s *Server) stop(ctx context.Context) error {
	s.ordered.Store(true)
	if !s.end(ctx, syscall.SIGINT, fastShutdown) &&
		!s.end(context.Background(), syscall.SIGQUIT, immediateShutdown) &&
		!s.end(context.Background(), syscall.SIGKILL, immediateShutdown) {
		return fmt.Errorf("database server %d does not end", s.Pid())
	}
	// A server that was killed may leave sessions working in the folder.
	err := settle(context.WithoutCancel(ctx), s.folder.data(), s.account, s.log)
	return errors.Join(err, s.folder.close())
}

// end sends a signal and reports whether the server ended within the time.
func (s *Server) end(ctx context.Context, sig syscall.Signal, within time.Duration) bool {
	select {
	case <-s.done:
		return true
	default:
	}
	_ = s.process.Signal(sig) // it may have ended this moment: done tells
	timer := time.NewTimer(within)
	defer timer.Stop()
	select {
	case <-s.done:
		return true
	case <-ctx.Done():
		return false
	case <-timer.C:
		return false
	}
}
