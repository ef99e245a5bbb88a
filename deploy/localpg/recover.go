package localpg

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// settle makes a data folder ready for a new server. It may only be called with
// the lock of the folder held: whatever still works in the data was then left
// behind by a program that is gone, and is ended. Afterwards a pid file that
// would mislead the new server is corrected. A folder that does not exist is
// settled.
func settle(ctx context.Context, data string, acc account, log *slog.Logger) error {
	if _, err := os.Stat(data); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err := evict(ctx, data, acc, log); err != nil {
		return err
	}
	left, err := readPidFile(data)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		// Empty or cut short when the machine went down. It would keep a new
		// server from starting and says nothing.
		log.Warn("removed a broken pid file", "folder", data, "error", err)
		return os.Remove(filepath.Join(data, "postmaster.pid"))
	case !exists(left.pid):
		return nil // the server sees for itself that this one is gone
	}
	// The number belongs to a zombie, or to a later process; the server would
	// take it for a running one. The file is not removed, for its other lines
	// lead the server to memory shared with old sessions, and it refuses to start
	// while that is in use. Instead it gets a number that the server knows cannot
	// be another server's: that of its own parent, this program.
	log.Warn("corrected the pid file of a database server that is gone", "folder", data, "pid", left.pid)
	return replacePid(data, left.pid)
}

// replacePid puts this program's process id in the place of an old one.
func replacePid(data string, old int) error {
	file := filepath.Join(data, "postmaster.pid")
	text, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	rest, ok := strings.CutPrefix(string(text), strconv.Itoa(old))
	if !ok {
		return fmt.Errorf("%s does not start with %d", file, old)
	}
	return os.WriteFile(file, []byte(strconv.Itoa(os.Getpid())+rest), 0o600)
}

// pidFile is what the server tells about itself in postmaster.pid.
type pidFile struct {
	pid    int
	status string // "starting", "ready", "stopping"; empty early on
}

// readPidFile reads postmaster.pid of a data folder: the process id is its
// first line, the status its eighth.
func readPidFile(data string) (pidFile, error) {
	text, err := os.ReadFile(filepath.Join(data, "postmaster.pid"))
	if err != nil {
		return pidFile{}, err
	}
	lines := strings.Split(string(text), "\n")
	pid, err := strconv.Atoi(strings.TrimSpace(lines[0]))
	if err != nil {
		return pidFile{}, fmt.Errorf("postmaster.pid: %w", err)
	}
	p := pidFile{pid: pid}
	if len(lines) >= 8 {
		p.status = strings.TrimSpace(lines[7])
	}
	return p, nil
}

// exists tells whether there is a process of this number, zombies included.
func exists(pid int) bool {
	err := syscall.Kill(pid, 0)
	return err == nil || errors.Is(err, syscall.EPERM)
}

// evict ends every process that works in a data folder: a postmaster by a fast
// shutdown, sessions without one the way a postmaster would end them after a
// crash; whatever has not gone after 15 seconds with growing force.
func evict(ctx context.Context, data string, acc account, log *slog.Logger) error {
	steps := []struct {
		after                time.Duration
		postmaster, sessions syscall.Signal
	}{
		{0, syscall.SIGINT, syscall.SIGQUIT},
		{fastShutdown, syscall.SIGQUIT, syscall.SIGKILL},
		{fastShutdown + immediateShutdown, syscall.SIGKILL, syscall.SIGKILL},
	}
	const patience = fastShutdown + 2*immediateShutdown
	begin := time.Now()
	for {
		left, _ := readPidFile(data)
		pids := occupants(data, left.pid, acc)
		if len(pids) == 0 {
			return nil
		}
		waited := time.Since(begin)
		if waited > patience {
			return fmt.Errorf("processes %v still work in %s and do not end", pids, data)
		}
		if len(steps) > 0 && waited >= steps[0].after {
			log.Warn("ending what a killed program left working in the data folder", "folder", data, "pids", pids)
			if slices.Contains(pids, left.pid) {
				_ = syscall.Kill(left.pid, steps[0].postmaster) // if it is gone, the next look tells
			} else {
				for _, pid := range pids {
					_ = syscall.Kill(pid, steps[0].sessions)
				}
			}
			steps = steps[1:]
		}
		select {
		case <-ctx.Done():
			return fmt.Errorf("waiting for processes %v to leave %s: %w", pids, data, ctx.Err())
		case <-time.After(10 * time.Millisecond):
		}
	}
}
