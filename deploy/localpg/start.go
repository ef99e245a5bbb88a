package localpg

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5"
)

// port only names the socket file; no network port is opened.
const port = "5432"

// Start starts the server of a folder and returns once it takes connections,
// which after a crash is when the log has been replayed. A new folder is set up
// first. ctx bounds the start, not the server's life: call Stop to end it; it
// also ends when this program does, however that happens (on Linux; elsewhere
// the next Start ends it).
//
// Errors to tell apart with errors.As: *InUse when another program has the
// folder, *NotFound when no fitting server programs are on the machine.
func Start(ctx context.Context, o Options) (_ *Server, err error) {
	o = o.withDefaults()
	f, err := openFolder(o)
	if err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, f.close())
		}
	}()
	acc, err := serverAccount(f.data())
	if err != nil {
		return nil, err
	}
	if err := f.admit(acc); err != nil {
		return nil, err
	}
	if err := settle(ctx, f.data(), acc, o.Log); err != nil {
		return nil, err
	}
	version, err := f.version()
	if err != nil {
		return nil, err
	}
	programs, err := find(ctx, acc, places(o.BinDirs), version, f.data())
	if err != nil {
		return nil, err
	}
	o.Log.Info("database programs", "folder", programs.Dir, "version", programs.Version)
	if version == "" {
		if err := create(ctx, o, f, acc, programs); err != nil {
			return nil, err
		}
	}
	sockets, err := f.socketFolder(acc)
	if err != nil {
		return nil, err
	}
	s := &Server{
		folder: f, account: acc, sockets: sockets, superuser: o.Superuser,
		log: o.Log, words: &lastWords{}, done: make(chan struct{}),
	}
	cmd := exec.Command(programs.postgres(), append([]string{"-D", f.data()}, arguments(o, sockets)...)...)
	if err := s.launch(cmd); err != nil {
		return nil, explain(err, f.path, acc)
	}
	if err := s.awaitReady(ctx); err != nil {
		atOnce, cancel := context.WithCancel(context.Background())
		cancel()
		return nil, errors.Join(err, s.Stop(atOnce))
	}
	return s, nil
}

// create makes the database files. They grow under another name and get their
// own only when complete, so a crash in between leaves nothing that looks like
// data.
func create(ctx context.Context, o Options, f *folder, acc account, p Programs) error {
	growing := f.data() + ".init"
	if err := settle(ctx, growing, acc, o.Log); err != nil {
		return err
	}
	if err := os.RemoveAll(growing); err != nil {
		return fmt.Errorf("remove what an interrupted setup left: %w", err)
	}
	if err := acc.mkdir(growing); err != nil {
		return err
	}
	arguments := []string{
		"-D", growing, "-U", o.Superuser, "-E", "UTF8", "--locale=" + locale(), "-k",
		"--auth-local=trust", "--auth-host=reject",
	}
	if o.Throwaway {
		arguments = append(arguments, "--no-sync")
	}
	cmd := exec.CommandContext(ctx, p.initdb(), arguments...)
	prepare(cmd, acc, f.path, syscall.SIGTERM)
	out, err := outputOf(cmd)
	if err != nil {
		err = explain(fmt.Errorf("set up the database in %s: %w\n%s", f.path, err, out), f.path, acc)
		if strings.Contains(string(out), "could not look up effective user ID") {
			err = fmt.Errorf("user id %d has no name on this machine (no line in /etc/passwd), and the database programs ask for one: %w", acc.uid, err)
		}
		return errors.Join(err, os.RemoveAll(growing))
	}
	if err := os.Rename(growing, f.data()); err != nil {
		return err
	}
	if o.Throwaway {
		return nil
	}
	return f.sync()
}

// locale is the collation new databases get: by code point, the same on every
// machine. macOS has no C.UTF-8, and C there sorts the same way.
func locale() string {
	if runtime.GOOS == "darwin" {
		return "C"
	}
	return "C.UTF-8"
}

// arguments are the server's settings as command-line arguments, in a fixed order.
func arguments(o Options, sockets string) []string {
	settings := map[string]string{
		"timezone": "UTC",
		"jit":      "off",
		// Messages go to this program's log, which has its own times; the values
		// of rows and statements stay out of it.
		"log_destination":         "stderr",
		"logging_collector":       "off",
		"log_line_prefix":         "",
		"log_error_verbosity":     "terse",
		"log_min_error_statement": "panic",
	}
	if o.Throwaway {
		maps.Copy(settings, map[string]string{
			"fsync": "off", "synchronous_commit": "off", "full_page_writes": "off",
			"wal_level": "minimal", "max_wal_senders": "0",
			"autovacuum": "off", "shared_buffers": "256MB",
		})
	}
	maps.Copy(settings, o.Settings)
	maps.Copy(settings, map[string]string{
		"listen_addresses": "", "port": port,
		"unix_socket_directories": sockets, "unix_socket_permissions": "0700",
	})
	var args []string
	for _, name := range slices.Sorted(maps.Keys(settings)) {
		args = append(args, "-c", name+"="+settings[name])
	}
	return args
}

// prepare makes a command run as the server's user, in a process group of its
// own (so a Ctrl-C in the terminal reaches only this program, which then stops
// the server in order), and get sig when this program dies.
func prepare(cmd *exec.Cmd, acc account, dir string, sig syscall.Signal) {
	cmd.Dir = dir
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Credential: acc.credential()}
	dieWithParent(cmd.SysProcAttr, sig)
	// Nothing else is passed on: PG… variables would change what the programs
	// do, and this program's own variables may hold secrets.
	cmd.Env = []string{"LC_ALL=C"}
	for _, name := range []string{"PATH", "LD_LIBRARY_PATH", "DYLD_LIBRARY_PATH"} {
		if value, ok := os.LookupEnv(name); ok {
			cmd.Env = append(cmd.Env, name+"="+value)
		}
	}
}

// outputOf runs a command to its end. If the command's context ends first, its
// process group is asked to end and gets time to clean up.
func outputOf(cmd *exec.Cmd) ([]byte, error) {
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGTERM) }
	cmd.WaitDelay = 5 * time.Second
	runtime.LockOSThread() // see launch
	defer runtime.UnlockOSThread()
	return cmd.CombinedOutput()
}

// launch starts the server and watches it until it ends.
func (s *Server) launch(cmd *exec.Cmd) error {
	prepare(cmd, s.account, s.folder.path, syscall.SIGINT)
	read, write, err := os.Pipe()
	if err != nil {
		return err
	}
	// A file, not a writer: Wait then returns when the postmaster ends, even if
	// sessions still hold the pipe.
	cmd.Stdout, cmd.Stderr = write, write
	started := make(chan error)
	go func() {
		// Linux sends the signal of dieWithParent when the thread that forked
		// ends, so this goroutine keeps its thread for the server's whole life.
		runtime.LockOSThread()
		err := cmd.Start()
		write.Close()
		if err != nil {
			read.Close()
			started <- err
			return
		}
		s.process = cmd.Process
		heard := make(chan struct{})
		go func() {
			defer close(heard)
			defer read.Close()
			s.words.listen(read, s.log)
		}()
		started <- nil
		err = cmd.Wait()
		select {
		case <-heard:
		case <-time.After(200 * time.Millisecond):
		}
		switch {
		case err != nil:
			s.err = fmt.Errorf("database server ended: %w%s", err, s.words)
		case !s.ordered.Load():
			s.err = fmt.Errorf("database server was stopped from outside%s", s.words)
		}
		close(s.done)
	}()
	return <-started
}

// awaitReady waits until the server says in its pid file that it takes
// connections, then makes one.
func (s *Server) awaitReady(ctx context.Context) error {
	tick := time.NewTicker(5 * time.Millisecond)
	defer tick.Stop()
	for {
		if p, err := readPidFile(s.folder.data()); err == nil && p.pid == s.Pid() && p.status == "ready" {
			break
		}
		select {
		case <-s.done:
			return s.err
		case <-ctx.Done():
			return fmt.Errorf("database server not ready in time: %w%s", ctx.Err(), s.words)
		case <-tick.C:
		}
	}
	conn, err := pgx.Connect(ctx, s.URL(s.superuser, "postgres"))
	if err != nil {
		return fmt.Errorf("first connection to the database server: %w", err)
	}
	return conn.Close(ctx)
}

// explain names the folder that keeps the server's user out when that is why a
// program could not start.
func explain(err error, dir string, acc account) error {
	if !errors.Is(err, fs.ErrPermission) {
		return err
	}
	if blocked := acc.blockedAt(dir); blocked != "" {
		return fmt.Errorf("the data folder %s is out of reach: user %s, as whom the database runs because its programs refuse root, may not enter %s; choose a folder elsewhere, such as /var/lib/benchtrail: %w", dir, acc.name, blocked, err)
	}
	return err
}
