//go:build !linux

package localpg

import (
	"os/exec"
	"strconv"
	"strings"
	"syscall"
)

// dieWithParent does nothing: only Linux can tie a child's life to its parent.
// The next Start ends a server that was left running.
func dieWithParent(*syscall.SysProcAttr, syscall.Signal) {}

// occupants knows only the postmaster that the pid file names, and takes it for
// one if its command line names the data folder.
func occupants(data string, postmaster int, _ account) (pids []int) {
	if postmaster <= 0 {
		return nil
	}
	line, err := exec.Command("ps", "-o", "command=", "-p", strconv.Itoa(postmaster)).Output()
	if err == nil && strings.Contains(string(line), data) {
		return []int{postmaster}
	}
	return nil
}

// memoryFolder is "": no folder is known to be kept in memory.
func memoryFolder() string { return "" }
