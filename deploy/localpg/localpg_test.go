package localpg

import (
	"bytes"
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
)

func TestRowsAreThereAfterAStopAndAWarmStart(t *testing.T) {
	t.Parallel()
	dir := newDir(t)
	begin := time.Now()
	s := start(t, Options{Dir: dir})
	t.Logf("cold start %v", time.Since(begin))
	require.NoError(t, addRow(t.Context(), s))
	begin = time.Now()
	require.NoError(t, s.Stop(t.Context()))
	t.Logf("stop %v", time.Since(begin))
	<-s.Done()
	require.NoError(t, s.Err())
	require.False(t, exists(s.Pid()))

	begin = time.Now()
	s = start(t, Options{Dir: dir})
	t.Logf("warm start %v", time.Since(begin))
	require.Equal(t, 1, rows(t, s))
}

func TestANewServerIsPrivateAndDurable(t *testing.T) {
	t.Parallel()
	dir := newDir(t)
	// A setting that would open the server is overruled, others are taken.
	s := start(t, Options{Dir: dir, Settings: map[string]string{"listen_addresses": "*", "work_mem": "7MB"}})
	for setting, want := range map[string]string{
		"listen_addresses": "", "fsync": "on", "synchronous_commit": "on", "full_page_writes": "on",
		"data_checksums": "on", "server_encoding": "UTF8", "TimeZone": "UTC", "work_mem": "7MB",
	} {
		require.Equal(t, want, query[string](t, s, "select current_setting('"+setting+"')"), setting)
	}
	require.Equal(t, locale(), query[string](t, s, "select datcollate from pg_database where datname = 'template1'"))
	require.Equal(t, "benchtrail_admin", query[string](t, s, "select string_agg(rolname, ' ') from pg_roles where rolcanlogin"))
	require.Equal(t, "reject", query[string](t, s, "select string_agg(distinct auth_method, ' ') from pg_hba_file_rules where type like 'host%'"))
	for _, private := range []string{"data", "run"} {
		info, err := os.Stat(filepath.Join(dir, private))
		require.NoError(t, err)
		require.Equal(t, os.FileMode(0o700), info.Mode().Perm(), private)
	}
}

func TestASecondStartOnAFolderInUseIsRefusedAtOnce(t *testing.T) {
	t.Parallel()
	dir := newSite(t)
	s := start(t, Options{Dir: dir})
	begin := time.Now()
	_, err := Start(t.Context(), Options{Dir: dir})
	require.Less(t, time.Since(begin), time.Second)
	var inUse *InUse
	require.ErrorAs(t, err, &inUse)
	require.Equal(t, os.Getpid(), inUse.Pid)
	require.ErrorContains(t, err, "folder in use: "+dir)
	require.NoError(t, addRow(t.Context(), s), "the first goes on working")
}

func TestADatabaseIsMadeOnceHoweverManyAsk(t *testing.T) {
	t.Parallel()
	s := start(t, Options{Throwaway: true})
	const name = `bench "1" / öst?`
	var all sync.WaitGroup
	errs := make([]error, 4)
	for i := range errs {
		all.Go(func() { errs[i] = s.EnsureDatabase(t.Context(), name) })
	}
	all.Wait()
	for _, err := range errs {
		require.NoError(t, err)
	}
	require.NoError(t, s.EnsureDatabase(t.Context(), name))
	conn, err := pgx.Connect(t.Context(), s.URL("benchtrail_admin", name))
	require.NoError(t, err)
	defer conn.Close(context.Background())
	var got string
	require.NoError(t, conn.QueryRow(t.Context(), "select current_database()").Scan(&got))
	require.Equal(t, name, got)
}

func TestAThrowawayServerLeavesNothing(t *testing.T) {
	t.Parallel()
	begin := time.Now()
	s := start(t, Options{Throwaway: true})
	t.Logf("throwaway start %v in %s", time.Since(begin), s.folder.path)
	require.Equal(t, "off", query[string](t, s, "show fsync"))
	require.DirExists(t, s.folder.path)
	require.NoError(t, s.Stop(t.Context()))
	require.NoDirExists(t, s.folder.path)

	_, err := Start(t.Context(), Options{Throwaway: true, Dir: newDir(t)})
	require.ErrorContains(t, err, "Dir must be empty")
}

func TestThrowawayFoldersOfKilledProgramsAreDeleted(t *testing.T) {
	t.Parallel()
	base := t.TempDir()
	old := time.Now().Add(-time.Hour)
	make := func(name string, at time.Time) string {
		path := filepath.Join(base, name)
		require.NoError(t, os.MkdirAll(filepath.Join(path, "data"), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(path, "lock"), nil, 0o600))
		require.NoError(t, os.Chtimes(path, at, at))
		return path
	}
	abandoned := make(throwawayPrefix+"1", old)
	used := make(throwawayPrefix+"2", old)
	young := make(throwawayPrefix+"3", time.Now())
	foreign := make("other", old)
	f, err := lockFolder(used, false)
	require.NoError(t, err)
	defer func() { require.NoError(t, f.close()) }()

	sweep(base, time.Minute)
	require.NoDirExists(t, abandoned)
	require.DirExists(t, used)
	require.DirExists(t, young)
	require.DirExists(t, foreign)
}

func TestAFolderWithALongPathGetsAShortSocketPath(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(newDir(t), strings.Repeat("long/", 20), "path")
	s := start(t, Options{Dir: dir})
	require.Less(t, len(s.sockets), 80)
	require.NoError(t, addRow(t.Context(), s))
	require.NoError(t, s.Stop(t.Context()))
	require.NoDirExists(t, s.sockets, "the folder of the socket goes with the server")
}

func TestAnEndedStartLeavesTheFolderFreeAndWhole(t *testing.T) {
	t.Parallel()
	dir := newDir(t)
	ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond) // amid the set-up
	defer cancel()
	_, err := Start(ctx, Options{Dir: dir})
	require.Error(t, err)
	require.NoDirExists(t, filepath.Join(dir, "data"))
	// What an interrupted set-up would leave is no hindrance either.
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "data.init", "base"), 0o700))
	s := start(t, Options{Dir: dir})
	require.NoError(t, addRow(t.Context(), s))
}

func TestAFolderThatHoldsNoDatabaseIsLeftAsItIs(t *testing.T) {
	t.Parallel()
	dir := newDir(t)
	kept := filepath.Join(dir, "data", "notes.txt")
	require.NoError(t, os.MkdirAll(filepath.Dir(kept), 0o755))
	require.NoError(t, os.WriteFile(kept, []byte("mine"), 0o644))
	_, err := Start(t.Context(), Options{Dir: dir})
	require.ErrorContains(t, err, "holds no database")
	require.FileExists(t, kept)
}

func TestAServerThatCannotStartSaysWhy(t *testing.T) {
	t.Parallel()
	var log bytes.Buffer
	_, err := Start(t.Context(), Options{
		Dir: newSite(t), Settings: map[string]string{"work_mem": "much"},
		Log: slog.New(slog.NewTextHandler(&log, nil)),
	})
	require.ErrorContains(t, err, `invalid value for parameter "work_mem": "much"`)
	require.Contains(t, log.String(), "work_mem")
}
