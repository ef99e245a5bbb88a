package store_test

import (
	"context"
	"errors"
	"os"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store/storetest"
)

var cluster storetest.Cluster

func TestMain(m *testing.M) { os.Exit(storetest.Run(m, &cluster)) }

func connect(tb testing.TB, address string) *pgx.Conn {
	tb.Helper()
	conn, err := pgx.Connect(tb.Context(), address)
	require.NoError(tb, err)
	tb.Cleanup(func() { _ = conn.Close(context.Background()) })
	return conn
}

func one[T any](t *testing.T, conn *pgx.Conn, query string, args ...any) T {
	t.Helper()
	var v T
	require.NoError(t, conn.QueryRow(t.Context(), query, args...).Scan(&v), query)
	return v
}

func column[T any](t *testing.T, conn *pgx.Conn, query string, args ...any) []T {
	t.Helper()
	rows, err := conn.Query(t.Context(), query, args...)
	require.NoError(t, err)
	all, err := pgx.CollectRows(rows, pgx.RowTo[T])
	require.NoError(t, err, query)
	return all
}

func codeOf(err error) string {
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		return pg.Code
	}
	return ""
}
