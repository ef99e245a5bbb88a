package localpg

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
)

// newDir is a folder to be made, in memory where there is room, which the
// server's user can reach also when the tests run as root.
func newDir(t *testing.T) string {
	t.Helper()
	return filepath.Join(openDir(t, memoryFolder()), "site")
}

// newSite is a folder with a database, a copy of one made once: most of a cold
// start's time goes into making the files.
func newSite(t *testing.T) string {
	t.Helper()
	dir := newDir(t)
	require.NoError(t, makeModel())
	out, err := exec.Command("cp", "-a", filepath.Join(models, "site"), dir).CombinedOutput()
	require.NoError(t, err, string(out))
	return dir
}

var (
	models    string // folder of what newSite copies
	makeModel = sync.OnceValue(func() error {
		s, err := Start(context.Background(), Options{Dir: filepath.Join(models, "site")})
		if err != nil {
			return err
		}
		return s.Stop(context.Background())
	})
)

// The test binary runs itself in one of these roles when roleVariable names it.
const roleVariable = "LOCALPG_TEST_ROLE"

var roles = map[string]func(){}

func TestMain(m *testing.M) {
	if play, ok := roles[os.Getenv(roleVariable)]; ok {
		play()
	}
	os.Exit(func() int {
		var err error
		models, err = os.MkdirTemp(memoryFolder(), "localpg-model-")
		if err == nil {
			err = os.Chmod(models, 0o755)
		}
		if err != nil {
			panic(err)
		}
		defer func() { _ = os.RemoveAll(models) }() // lies in the temporary folder
		return m.Run()
	}())
}

// openDir makes a folder that every user may enter, in base or, if that is "",
// in the temporary folder.
func openDir(t *testing.T, base string) string {
	t.Helper()
	dir, err := os.MkdirTemp(base, "localpg-test-")
	require.NoError(t, err)
	require.NoError(t, os.Chmod(dir, 0o755))
	t.Cleanup(func() { require.NoError(t, os.RemoveAll(dir)) })
	return dir
}

func start(t *testing.T, o Options) *Server {
	t.Helper()
	s, err := Start(t.Context(), o)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Stop(context.Background())) })
	return s
}

func connect(t *testing.T, s *Server) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), s.URL("benchtrail_admin", "postgres"))
	require.NoError(t, err)
	t.Cleanup(func() { _ = conn.Close(context.Background()) })
	return conn
}

func query[T any](t *testing.T, s *Server, sql string) T {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), s.URL("benchtrail_admin", "postgres"))
	require.NoError(t, err)
	defer conn.Close(context.Background())
	var v T
	require.NoError(t, conn.QueryRow(t.Context(), sql).Scan(&v))
	return v
}

func addRow(ctx context.Context, s *Server) error {
	conn, err := pgx.Connect(ctx, s.URL("benchtrail_admin", "postgres"))
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, "create table if not exists bench (n int); insert into bench select count(*) + 1 from bench")
	return err
}

func rows(t *testing.T, s *Server) int {
	t.Helper()
	return query[int](t, s, "select count(*) from bench")
}

func requireSoon(t *testing.T, what func() bool, message string) {
	t.Helper()
	require.Eventually(t, what, 5*time.Second, 5*time.Millisecond, message)
}
