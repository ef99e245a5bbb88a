package localpg

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestDoneClosesWhenTheServerIsKilledAndTheNextStartHasTheRows(t *testing.T) {
	t.Parallel()
	dir := newSite(t)
	s := start(t, Options{Dir: dir})
	require.NoError(t, addRow(t.Context(), s))
	// A session in a tight loop never looks whether its postmaster still lives.
	busy := connect(t, s)
	session := int(busy.PgConn().PID())
	go func() { _, _ = busy.Exec(t.Context(), "do $$ begin loop end loop; end $$") }()
	requireSoon(t, func() bool { return state(session) == "R" }, "the session works")

	kill(t, s.Pid())
	select {
	case <-s.Done():
	case <-time.After(5 * time.Second):
		t.Fatal("Done stays open")
	}
	require.ErrorContains(t, s.Err(), "signal: killed")
	require.False(t, ended(session)(), "the session outlives its postmaster")
	require.NoError(t, s.Stop(t.Context()))
	requireSoon(t, ended(session), "Stop ends what the postmaster left")

	begin := time.Now()
	s = start(t, Options{Dir: dir})
	t.Logf("start with recovery %v", time.Since(begin))
	require.Equal(t, 1, rows(t, s))
}

func TestTheServerEndsWhenItsProgramIsKilled(t *testing.T) {
	t.Parallel()
	dir := newSite(t)
	p := runProgram(t, "owner", dir, nil)
	kill(t, p.owner)
	requireSoon(t, ended(p.postmaster), "the postmaster ends by itself")
	requireSoon(t, func() bool {
		_, err := os.Stat(filepath.Join(dir, "data", "postmaster.pid"))
		return os.IsNotExist(err)
	}, "in good order")
	require.Equal(t, 1, rows(t, start(t, Options{Dir: dir})))
}

func TestAStartRightAfterTheProgramWasKilledWaitsForItsServer(t *testing.T) {
	t.Parallel()
	dir := newSite(t)
	p := runProgram(t, "owner", dir, nil)
	kill(t, p.owner)
	requireSoon(t, ended(p.owner), "the program is dead")
	begin := time.Now()
	s := start(t, Options{Dir: dir})
	t.Logf("start right after a kill %v", time.Since(begin))
	require.NotEqual(t, p.postmaster, s.Pid())
	require.Equal(t, 1, rows(t, s))
}

func TestTheNextStartRecoversWhenProgramAndServerAreKilled(t *testing.T) {
	t.Parallel()
	dir := newSite(t)
	p := runProgram(t, "owner", dir, nil)
	kill(t, p.owner)
	kill(t, p.postmaster)
	requireSoon(t, ended(p.owner), "the program is dead")
	require.Equal(t, 1, rows(t, start(t, Options{Dir: dir})))
}

func TestADeadServerThatNobodyBuriesDoesNotBlockTheFolder(t *testing.T) {
	t.Parallel()
	dir := newSite(t)
	p := runProgram(t, "neglectful parent", dir, nil)
	require.NoError(t, syscall.Kill(p.owner, syscall.SIGSTOP), "so that it does not bury its server either")
	requireSoon(t, stopped(p.owner), "the program stands still")
	kill(t, p.postmaster)
	kill(t, p.owner)
	requireSoon(t, func() bool { return ended(p.owner)() && ended(p.postmaster)() }, "both are dead")
	require.Equal(t, "Z", state(p.postmaster), "and not buried")
	require.FileExists(t, filepath.Join(dir, "data", "postmaster.pid"))
	begin := time.Now()
	s := start(t, Options{Dir: dir})
	t.Logf("start beside a zombie %v", time.Since(begin))
	require.Equal(t, 1, rows(t, s))
	require.Equal(t, "Z", state(p.postmaster), "it is still there")
}

func TestAPidFileThatNamesAnotherProcessOfTheUserDoesNotBlockTheFolder(t *testing.T) {
	t.Parallel()
	dir := newSite(t)
	s := start(t, Options{Dir: dir})
	require.NoError(t, addRow(t.Context(), s))
	kill(t, s.Pid())
	<-s.Done()
	require.NoError(t, s.Stop(t.Context()))

	other := exec.Command("sleep", "60")
	other.SysProcAttr = &syscall.SysProcAttr{Credential: s.account.credential()}
	require.NoError(t, other.Start())
	defer func() { _ = other.Process.Kill(); _ = other.Wait() }()
	file := filepath.Join(dir, "data", "postmaster.pid")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	old := strconv.Itoa(s.Pid())
	require.Equal(t, old, string(text[:len(old)]))
	require.NoError(t, os.WriteFile(file, append([]byte(strconv.Itoa(other.Process.Pid)), text[len(old):]...), 0o600))

	require.Equal(t, 1, rows(t, start(t, Options{Dir: dir})))
	require.Equal(t, "S", state(other.Process.Pid), "the other process was left alone")
}

func TestAServerLeftRunningInTheFolderIsEnded(t *testing.T) {
	t.Parallel()
	dir := newSite(t)
	s := start(t, Options{Dir: dir})
	require.NoError(t, addRow(t.Context(), s))
	require.NoError(t, s.Stop(t.Context()))

	programs, err := Find(Options{Dir: dir}, "")
	require.NoError(t, err)
	require.NoError(t, s.account.mkdir(filepath.Join(dir, "run")))
	left := exec.Command(programs.postgres(), append([]string{"-D", filepath.Join(dir, "data")}, arguments(Options{}, filepath.Join(dir, "run"))...)...)
	left.Dir = dir
	left.SysProcAttr = &syscall.SysProcAttr{Credential: s.account.credential()}
	require.NoError(t, left.Start())
	gone := make(chan error, 1)
	go func() { gone <- left.Wait() }()
	requireSoon(t, func() bool {
		p, err := readPidFile(filepath.Join(dir, "data"))
		return err == nil && p.status == "ready"
	}, "the other server runs")

	begin := time.Now()
	s = start(t, Options{Dir: dir})
	t.Logf("start over a running server %v", time.Since(begin))
	require.NoError(t, <-gone, "ended in good order")
	require.Equal(t, 1, rows(t, s))
}

func TestAPidFileCutShortDoesNotBlockTheFolder(t *testing.T) {
	t.Parallel()
	dir := newSite(t)
	s := start(t, Options{Dir: dir})
	require.NoError(t, addRow(t.Context(), s))
	require.NoError(t, s.Stop(t.Context()))
	file := filepath.Join(dir, "data", "postmaster.pid")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	require.NoError(t, s.account.own(file))
	require.Equal(t, 1, rows(t, start(t, Options{Dir: dir})))
}
