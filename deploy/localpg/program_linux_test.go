package localpg

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

const dirVariable = "LOCALPG_TEST_DIR"

func init() {
	roles["owner"] = func() { own(os.Getenv(dirVariable)) }
	roles["neglectful parent"] = neglect
}

// own starts a server, commits a row, tells the process ids and waits to be killed.
func own(dir string) {
	ctx := context.Background()
	s, err := Start(ctx, Options{Dir: dir})
	if err == nil {
		err = addRow(ctx, s)
	}
	if err != nil {
		fmt.Println("failed:", err)
		os.Exit(1)
	}
	fmt.Println(os.Getpid(), s.Pid())
	select {}
}

// neglect runs an owner, and adopts what it leaves without ever burying it, as
// the first process of some containers does.
func neglect() {
	const setChildSubreaper = 36 // PR_SET_CHILD_SUBREAPER in linux/prctl.h
	if _, _, errno := syscall.RawSyscall(syscall.SYS_PRCTL, setChildSubreaper, 1, 0); errno != 0 {
		fmt.Println("failed:", errno)
		os.Exit(1)
	}
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), roleVariable+"=owner")
	cmd.Stdout = os.Stdout
	if err := cmd.Start(); err != nil {
		fmt.Println("failed:", err)
		os.Exit(1)
	}
	select {}
}

// program is this test binary at work in another process.
type program struct{ owner, postmaster int }

func runProgram(t *testing.T, role, dir string, prepare func(*exec.Cmd)) program {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), roleVariable+"="+role, dirVariable+"="+dir)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	if prepare != nil {
		prepare(cmd)
	}
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	var p program
	_, err = fmt.Sscan(line, &p.owner, &p.postmaster)
	require.NoError(t, err, line)
	go func() { _, _ = io.Copy(io.Discard, out) }() // until the program ends
	return p
}

// state is the letter Linux gives a process: "Z" for a zombie, "" for none.
func state(pid int) string {
	text, err := os.ReadFile(filepath.Join("/proc", strconv.Itoa(pid), "stat"))
	if err != nil {
		return ""
	}
	_, after, _ := strings.Cut(string(text), ") ")
	return after[:1]
}

// ended tells whether a process has ended with all its threads; it may be a zombie.
func ended(pid int) func() bool {
	return func() bool {
		threads, _ := filepath.Glob(filepath.Join("/proc", strconv.Itoa(pid), "task", "*"))
		return len(threads) == 0 || len(threads) == 1 && state(pid) == "Z"
	}
}

// stopped tells whether all threads of a process stand still.
func stopped(pid int) func() bool {
	return func() bool {
		threads, _ := filepath.Glob(filepath.Join("/proc", strconv.Itoa(pid), "task", "*", "stat"))
		for _, thread := range threads {
			text, err := os.ReadFile(thread)
			if err != nil || !strings.Contains(string(text), ") T ") {
				return false
			}
		}
		return len(threads) > 0
	}
}

func kill(t *testing.T, pid int) {
	t.Helper()
	require.NoError(t, syscall.Kill(pid, syscall.SIGKILL))
}
