package api

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"testing"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/domain"
)

// The codes are those of the PostgreSQL manual, appendix A.
func TestEveryErrorHasItsStatus(t *testing.T) {
	t.Parallel()
	pg := func(code string) error { return &pgconn.PgError{Code: code, Message: "relation person"} }
	for _, x := range []struct {
		err    error
		status int
		code   string
	}{
		{errSignIn, http.StatusUnauthorized, "sign_in"},
		{errForbidden, http.StatusForbidden, "forbidden"},
		{errOtherPerson, http.StatusForbidden, "other_person"},
		{domain.Faults{{Path: "/name", Code: "missing", Detail: "is needed"}}, http.StatusUnprocessableEntity, "invalid"},
		{store.Taken{Fault: domain.Fault{Path: "/name", Code: "name_taken"}}, http.StatusConflict, "name_taken"},
		{store.ErrConflict, http.StatusConflict, "conflict"},
		{store.ErrStale, http.StatusPreconditionFailed, "stale"},
		{store.ErrNotFound, http.StatusNotFound, "not_found"},
		{store.ErrDenied, http.StatusForbidden, "forbidden"},
		{context.DeadlineExceeded, http.StatusServiceUnavailable, "busy"},
		{io.ErrUnexpectedEOF, http.StatusServiceUnavailable, "busy"},
		{&net.OpError{Op: "read", Err: errors.New("connection reset")}, http.StatusServiceUnavailable, "busy"},
		{pg("57P01"), http.StatusServiceUnavailable, "busy"},      // admin_shutdown
		{pg("57P02"), http.StatusServiceUnavailable, "busy"},      // crash_shutdown
		{pg("57P03"), http.StatusServiceUnavailable, "busy"},      // cannot_connect_now
		{pg("53300"), http.StatusServiceUnavailable, "busy"},      // too_many_connections
		{pg("08006"), http.StatusServiceUnavailable, "busy"},      // connection_failure
		{pg("40P01"), http.StatusServiceUnavailable, "busy"},      // deadlock_detected, also after trying again
		{pg("42703"), http.StatusInternalServerError, "internal"}, // undefined_column: ours to mend
		{pg(""), http.StatusInternalServerError, "internal"},
		{errors.New("anything else in /srv/secret"), http.StatusInternalServerError, "internal"},
	} {
		p := problemOf(fmt.Errorf("somewhere inside: %w", x.err))
		require.Equal(t, x.status, p.Status, "%v", x.err)
		require.Equal(t, x.code, p.Code, "%v", x.err)
		require.Equal(t, http.StatusText(x.status), p.Title)
		require.NotContains(t, p.Detail, "inside")
		require.NotContains(t, p.Detail, "person")
		require.NotContains(t, p.Detail, "secret")
	}
}
