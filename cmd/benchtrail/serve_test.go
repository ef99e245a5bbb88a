package main

import (
	"context"
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/deploy/localpg"
)

func TestServeStartsAnswersAndStops(t *testing.T) {
	t.Parallel()
	dir := newFolder(t)
	makeOwner(t, dir)
	for _, status := range []int{http.StatusCreated, http.StatusOK} { // twice, on the same folder
		p := startHere(t, noEnvironment, "serve", "--listen", "127.0.0.1:0", "--data", dir)
		require.Contains(t, p.require(t, http.StatusOK, http.MethodGet, "/healthz", nil), version)
		p.require(t, http.StatusOK, http.MethodGet, "/readyz", nil)
		p.require(t, http.StatusUnauthorized, http.MethodGet, "/api/v1/sites", nil)
		p.signIn(t, ownersEmail, ownersPassword)
		p.require(t, status, http.MethodPut, aSupplier, map[string]string{"name": "Alder"})
		p.requireStops(t, 30*time.Second)
		require.NotContains(t, p.log.String(), ownersPassword)
		require.NotContains(t, p.log.String(), "level=ERROR")
	}
}

func TestTwoProgramsDoNotShareAFolder(t *testing.T) {
	t.Parallel()
	dir := newFolder(t)
	p := startHere(t, noEnvironment, "serve", "--listen", "127.0.0.1:0", "--data", dir)
	_, _, err := say(t, noEnvironment, "serve", "--listen", "127.0.0.1:0", "--data", dir)
	require.Error(t, err)
	p.require(t, http.StatusOK, http.MethodGet, "/readyz", nil)
}

func TestServeWorksOnAPostgresThatIsGiven(t *testing.T) {
	t.Parallel()
	server, err := localpg.Start(t.Context(), localpg.Options{Throwaway: true})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, server.Stop(context.Background())) })
	require.NoError(t, server.EnsureDatabase(t.Context(), "season"))
	getenv := environment(map[string]string{"BENCHTRAIL_DATABASE_URL": server.URL("benchtrail_admin", "season")})
	out, _, err := say(t, getenv, "migrate")
	require.NoError(t, err)
	require.Contains(t, out, "up to date")
	p := startHere(t, getenv, "serve", "--listen", "127.0.0.1:0")
	p.require(t, http.StatusOK, http.MethodGet, "/readyz", nil)
	p.requireStops(t, 30*time.Second)
	conn, err := pgx.Connect(t.Context(), server.URL("benchtrail_admin", "season"))
	require.NoError(t, err, "it goes on without the program")
	require.NoError(t, conn.Close(t.Context()))
}

func TestServeAndDemoKeepToTheirOwnDatabases(t *testing.T) {
	t.Parallel()
	demos, used := newFolder(t), newFolder(t)
	log := slog.New(slog.DiscardHandler)
	db, err := openDatabase(t.Context(), config{Data: demos}, log, "demo")
	require.NoError(t, err)
	owner, err := pgx.Connect(t.Context(), db.owner())
	require.NoError(t, err)
	require.NoError(t, store.MarkDemo(t.Context(), owner, time.Now(), demoStart()))
	require.NoError(t, owner.Close(t.Context()))
	require.NoError(t, db.close())
	_, _, err = say(t, noEnvironment, "serve", "--listen", "127.0.0.1:0", "--data", demos)
	require.ErrorContains(t, err, "belongs to a demo")

	makeOwner(t, used)
	_, _, err = say(t, noEnvironment, "demo", "--listen", "127.0.0.1:0", "--data", used)
	require.ErrorIs(t, err, store.ErrInUse)
	var out, said2 said
	err = run(t.Context(), []string{"account", "--data", used, "--organisation", "O", "--email", "owner@demo.example", "--name", "O"}, noEnvironment,
		strings.NewReader("cuttings-demo\n"), &out, &said2)
	require.ErrorContains(t, err, "only in the demo")
}
