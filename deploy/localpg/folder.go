package localpg

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// folder is a server's own folder, locked for this program:
//
//	lock       held while a program uses the folder; names its process
//	data       the database files
//	data.init  database files while they are being made
//	run        the socket, or a link to where it is if this path is too long
type folder struct {
	path      string
	lock      *os.File
	throwaway bool
}

func (f *folder) data() string { return filepath.Join(f.path, "data") }
func (f *folder) run() string  { return filepath.Join(f.path, "run") }

// InUse says that another running program has the folder.
type InUse struct {
	Dir string
	Pid int // process id of that program, 0 if unknown
}

func (e *InUse) Error() string {
	if e.Pid == 0 {
		return fmt.Sprintf("folder in use: %s belongs to another running program", e.Dir)
	}
	return fmt.Sprintf("folder in use: %s belongs to the running program %d", e.Dir, e.Pid)
}

// deathThroes is how long a killed program may hold its lock: the system frees
// its memory first.
const deathThroes = 300 * time.Millisecond

const (
	throwawayPrefix = "benchtrail-throwaway-"
	socketsPrefix   = "benchtrail-run-"
)

func openFolder(o Options) (*folder, error) {
	switch {
	case o.Throwaway && o.Dir != "":
		return nil, fmt.Errorf("a throwaway server makes and deletes its own folder: Dir must be empty, not %q", o.Dir)
	case o.Throwaway:
		base := memoryFolder()
		if base == "" {
			base = os.TempDir()
		}
		sweep(base, time.Minute)
		path, err := os.MkdirTemp(base, throwawayPrefix)
		if err != nil {
			return nil, err
		}
		return lockFolder(path, true)
	case o.Dir == "":
		return nil, errors.New("the private database needs a folder: Dir is empty")
	}
	path, err := filepath.Abs(o.Dir)
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, err
	}
	if err := os.Mkdir(path, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return nil, err
	}
	return lockFolder(path, false)
}

func lockFolder(path string, throwaway bool) (*folder, error) {
	lock, err := os.OpenFile(filepath.Join(path, "lock"), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	err = syscall.Flock(int(lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	for begin := time.Now(); errors.Is(err, syscall.EWOULDBLOCK) && time.Since(begin) < deathThroes; {
		time.Sleep(5 * time.Millisecond)
		err = syscall.Flock(int(lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	}
	if err != nil {
		defer lock.Close()
		if !errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, fmt.Errorf("lock %s: %w", lock.Name(), err)
		}
		text, _ := os.ReadFile(lock.Name())
		pid, _ := strconv.Atoi(strings.TrimSpace(string(text)))
		return nil, &InUse{Dir: path, Pid: pid}
	}
	// The process id is for people; the lock itself is what counts.
	err = errors.Join(lock.Truncate(0), second(lock.WriteAt([]byte(strconv.Itoa(os.Getpid())+"\n"), 0)))
	if err != nil {
		lock.Close()
		return nil, err
	}
	return &folder{path: path, lock: lock, throwaway: throwaway}, nil
}

func second(_ int, err error) error { return err }

// close frees the folder. The lock goes last, so that whoever waits for it
// finds everything in order.
func (f *folder) close() error {
	err := f.clearSockets()
	if f.throwaway {
		err = errors.Join(err, os.RemoveAll(f.path))
	}
	// Unlocked by name, not by closing: a child being forked this moment has a
	// copy of the descriptor.
	return errors.Join(err, syscall.Flock(int(f.lock.Fd()), syscall.LOCK_UN), f.lock.Close())
}

// admit lets the server's user pass through the folder to what is inside. Only
// the folder itself is opened; those above it are not this package's.
func (f *folder) admit(acc account) error {
	info, err := os.Stat(f.path)
	if err != nil || acc.mayEnter(info) {
		return err
	}
	return os.Chmod(f.path, info.Mode().Perm()|0o111)
}

// version returns the major version the database files were written by, "" if
// there are none yet.
func (f *folder) version() (string, error) {
	text, err := os.ReadFile(filepath.Join(f.data(), "PG_VERSION"))
	if err == nil {
		return strings.TrimSpace(string(text)), nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	if _, err := os.Lstat(f.data()); err == nil {
		return "", fmt.Errorf("%s is there but holds no database (no PG_VERSION); nothing was changed", f.data())
	}
	return "", nil
}

func (f *folder) sync() error {
	d, err := os.Open(f.path)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// longestSocketPath is the room in sockaddr_un on macOS (104 bytes with the
// closing zero); Linux has four more.
const longestSocketPath = 103

func socketFits(dir string) bool {
	return len(filepath.Join(dir, ".s.PGSQL."+port)) <= longestSocketPath
}

// socketFolder makes an empty folder for the socket that only the server's user
// may enter: run, or one in the temporary folder that run then points to.
func (f *folder) socketFolder(acc account) (string, error) {
	if err := f.clearSockets(); err != nil {
		return "", err
	}
	if socketFits(f.run()) {
		return f.run(), acc.mkdir(f.run())
	}
	base := os.TempDir()
	if !socketFits(filepath.Join(base, socketsPrefix+"0123456789")) {
		base = "/tmp"
	}
	short, err := os.MkdirTemp(base, socketsPrefix)
	if err != nil {
		return "", err
	}
	return short, errors.Join(acc.own(short), os.Symlink(short, f.run()))
}

func (f *folder) clearSockets() error {
	var err error
	if short, e := os.Readlink(f.run()); e == nil && strings.HasPrefix(filepath.Base(short), socketsPrefix) {
		err = os.RemoveAll(short)
	}
	return errors.Join(err, os.RemoveAll(f.run()))
}

// sweep deletes throwaway folders whose program was killed before it could. A
// young folder is left alone: its program may not have locked it yet.
func sweep(base string, age time.Duration) {
	left, _ := filepath.Glob(filepath.Join(base, throwawayPrefix+"*")) // fails only on a bad pattern
	for _, path := range left {
		info, err := os.Lstat(path)
		if err != nil || !info.IsDir() || time.Since(info.ModTime()) < age ||
			info.Sys().(*syscall.Stat_t).Uid != uint32(os.Geteuid()) {
			continue
		}
		if f, err := lockFolder(path, true); err == nil {
			_ = f.close() // what cannot be deleted now is tried again next time
		}
	}
}
