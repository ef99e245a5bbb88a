package localpg

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"syscall"
)

// dieWithParent makes the kernel send sig to the child when the thread that
// forked it ends.
func dieWithParent(attr *syscall.SysProcAttr, sig syscall.Signal) { attr.Pdeathsig = sig }

// occupants lists the processes that work in a data folder, which is the
// working folder of a postmaster and all its children. Zombies work nowhere.
//
// Root without the right to trace (in a plain container) does not see where
// others work; then a postmaster is known by its command line, and sessions
// without a postmaster go unseen: a new server would notice them by itself.
func occupants(data string, _ int, acc account) (pids []int) {
	here, err := os.Stat(data)
	if err != nil {
		return nil
	}
	processes, _ := filepath.Glob("/proc/[0-9]*") // fails only on a bad pattern
	for _, process := range processes {
		cwd, err := os.Stat(filepath.Join(process, "cwd"))
		works := err == nil && os.SameFile(cwd, here) ||
			errors.Is(err, fs.ErrPermission) && belongsTo(process, acc) && commandNames(process, data)
		if pid, err := strconv.Atoi(filepath.Base(process)); works && err == nil {
			pids = append(pids, pid)
		}
	}
	return pids
}

func belongsTo(process string, acc account) bool {
	info, err := os.Stat(process)
	return err == nil && info.Sys().(*syscall.Stat_t).Uid == acc.uid
}

func commandNames(process, data string) bool {
	line, err := os.ReadFile(filepath.Join(process, "cmdline"))
	return err == nil && slices.ContainsFunc(bytes.Split(line, []byte{0}), func(arg []byte) bool {
		return string(arg) == data
	})
}

// memoryFolder is a folder kept in memory with a gigabyte to spare, "" if there
// is none.
func memoryFolder() string {
	const shm = "/dev/shm"
	var st syscall.Statfs_t
	if syscall.Statfs(shm, &st) != nil || st.Bavail*uint64(st.Bsize) < 1<<30 {
		return ""
	}
	probe, err := os.MkdirTemp(shm, "benchtrail-probe-")
	if err != nil {
		return ""
	}
	_ = os.Remove(probe)
	return shm
}
