package main

import (
	"errors"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

var buildFolder string

// built is the program as people run it, built once for all tests.
var built = sync.OnceValues(func() (string, error) {
	file := filepath.Join(buildFolder, "benchtrail")
	out, err := exec.Command("go", "build", "-o", file, ".").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return file, nil
})

func TestMain(m *testing.M) {
	var err error
	if buildFolder, err = os.MkdirTemp("", "benchtrail-built-"); err != nil {
		panic(err)
	}
	code := m.Run()
	if err := os.RemoveAll(buildFolder); err != nil {
		fmt.Println("remove what was built:", err)
	}
	os.Exit(code)
}

// there is the program as a process of its own.
type there struct {
	visitor
	process *exec.Cmd
	out     *said
	log     *said
	ended   chan struct{}
}

func launch(t *testing.T, args ...string) *there {
	t.Helper()
	file, err := built()
	require.NoError(t, err)
	p := &there{process: exec.Command(file, args...), out: &said{}, log: &said{}, ended: make(chan struct{})}
	p.process.Stdout, p.process.Stderr = p.out, p.log
	require.NoError(t, p.process.Start())
	go func() {
		_ = p.process.Wait()
		close(p.ended)
	}()
	t.Cleanup(func() {
		_ = p.process.Process.Signal(syscall.SIGTERM)
		<-p.ended
	})
	return p
}

func startThere(t *testing.T, args ...string) *there {
	t.Helper()
	p := launch(t, args...)
	p.visitor = newVisitor(t, p.out.requireAddress(t, p.ended, p.log))
	return p
}

func (p *there) kill9(t *testing.T) {
	t.Helper()
	require.NoError(t, p.process.Process.Kill())
	<-p.ended
}

// requireSays waits for a text, for as long as the program runs.
func (p *there) requireSays(t *testing.T, text string) {
	t.Helper()
	deadline := time.After(5 * time.Minute)
	for !strings.Contains(p.out.String(), text) {
		select {
		case <-p.ended:
			require.FailNow(t, "the program ended", p.log.String())
		case <-deadline:
			require.FailNow(t, "the program never says "+text, p.log.String())
		case <-time.After(10 * time.Millisecond):
		}
	}
}

func postmaster(t *testing.T, dir string) int {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, "data", "postmaster.pid"))
	require.NoError(t, err)
	first, _, _ := strings.Cut(string(text), "\n")
	pid, err := strconv.Atoi(first)
	require.NoError(t, err)
	return pid
}

// While the private Postgres starts again, people are asked to try again; what
// was acknowledged before is there after.
func TestTheServiceComesBackByItselfAfterItsPostgresWasKilled(t *testing.T) {
	t.Parallel()
	dir := newFolder(t)
	makeOwner(t, dir)
	p := startHere(t, noEnvironment, "serve", "--listen", "127.0.0.1:0", "--data", dir)
	p.signIn(t, ownersEmail, ownersPassword)
	for round := range 2 {
		supplier := fmt.Sprintf("%s%d", aSupplier[:len(aSupplier)-1], round)
		p.require(t, http.StatusCreated, http.MethodPut, supplier, map[string]string{"name": fmt.Sprint("Alder ", round)})
		pid := postmaster(t, dir)
		require.NoError(t, syscall.Kill(pid, syscall.SIGKILL))
		deadline := time.Now().Add(startsWithin)
		for back := false; !back; time.Sleep(20 * time.Millisecond) {
			require.True(t, time.Now().Before(deadline), "it does not come back: %s", p.log)
			status, text := p.ask(http.MethodGet, supplier, nil)
			require.Contains(t, []int{http.StatusOK, http.StatusServiceUnavailable}, status, "%s\n%s", text, p.log)
			back = status == http.StatusOK && postmaster(t, dir) != pid
		}
	}
	p.require(t, http.StatusOK, http.MethodGet, "/readyz", nil)
	require.Contains(t, p.require(t, http.StatusOK, http.MethodGet, "/api/v1/suppliers", nil), "Alder 0")
	p.requireStops(t, 30*time.Second)
}

func TestEveryAcknowledgedRecordSurvivesAKilledProgram(t *testing.T) {
	t.Parallel()
	dir := newFolder(t)
	makeOwner(t, dir)
	acknowledged := 0
	for round := range 3 {
		p := startThere(t, "serve", "--listen", "127.0.0.1:0", "--data", dir)
		p.signIn(t, ownersEmail, ownersPassword)
		for i := range acknowledged {
			p.require(t, http.StatusOK, http.MethodGet, supplierNumber(i), nil)
		}
		if round == 2 {
			break
		}
		// Killed in the middle of work: one goes on storing until nobody answers.
		done := make(chan struct{})
		go func() {
			defer close(done)
			for {
				status, _ := p.ask(http.MethodPut, supplierNumber(acknowledged), map[string]string{"name": fmt.Sprint("Number ", acknowledged)})
				if status != http.StatusCreated && status != http.StatusOK {
					return
				}
				acknowledged++
			}
		}()
		time.Sleep(300 * time.Millisecond)
		pid := postmaster(t, dir)
		p.kill9(t)
		if round == 1 { // and both at once
			if err := syscall.Kill(pid, syscall.SIGKILL); !errors.Is(err, syscall.ESRCH) {
				require.NoError(t, err)
			}
		}
		<-done
		require.Positive(t, acknowledged)
	}
	t.Logf("%d records", acknowledged)
}

func supplierNumber(n int) string {
	return fmt.Sprintf("/api/v1/suppliers/01900000-0000-7000-8000-%012x", n)
}

// The one long test: the whole invented season, cut short once and resumed.
func TestTheDemoIsFilledAlsoWhenItWasKilledAmid(t *testing.T) {
	t.Parallel()
	dir := newFolder(t)
	args := []string{"demo", "--listen", "127.0.0.1:0", "--data", dir}
	first := launch(t, args...)
	first.requireSays(t, " 20 %")
	require.NotRegexp(t, address, first.out.String(), "it says where it is when all is there")
	first.kill9(t)

	p := launch(t, args...)
	p.requireSays(t, "cuttings-demo")
	p.visitor = newVisitor(t, address.FindStringSubmatch(p.out.String())[1])
	p.require(t, http.StatusOK, http.MethodGet, "/healthz", nil)
	for _, who := range []string{"receiver", "grower", "owner"} {
		require.Contains(t, p.out.String(), who+"@demo.example")
		v := newVisitor(t, p.url)
		v.signIn(t, who+"@demo.example", "cuttings-demo")
		require.Contains(t, v.require(t, http.StatusOK, http.MethodGet, "/api/v1/session", nil), `"demo":true`)
		require.Contains(t, v.require(t, http.StatusOK, http.MethodGet, "/api/v1/trends?by=cultivar", nil), `"infested_plants"`)
	}
	// A person changes something, and the program is killed once more.
	p.signIn(t, "owner@demo.example", "cuttings-demo")
	p.require(t, http.StatusCreated, http.MethodPut, aSupplier, map[string]string{"name": "Alder"})
	p.kill9(t)
	again := startThere(t, args...)
	require.NotContains(t, again.out.String(), "Filling", "the season is made once")
	again.signIn(t, "owner@demo.example", "cuttings-demo")
	again.require(t, http.StatusOK, http.MethodGet, aSupplier, nil)
	sites := again.require(t, http.StatusOK, http.MethodGet, "/api/v1/sites", nil)
	require.Equal(t, 3, strings.Count(sites, `"time_zone"`))
	require.NoError(t, again.process.Process.Signal(syscall.SIGTERM))
	select {
	case <-again.ended:
		require.True(t, again.process.ProcessState.Success(), "%s", again.log)
	case <-time.After(30 * time.Second):
		require.FailNow(t, "it does not stop")
	}
}
