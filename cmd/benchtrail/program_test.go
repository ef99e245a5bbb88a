package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// startsWithin is long: the machine that runs the tests may have much else to do.
const startsWithin = time.Minute

// newFolder is a folder for the data of a private Postgres: in memory where
// there is room, and to be entered by the user the server runs as.
func newFolder(t *testing.T) string {
	t.Helper()
	base := ""
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		base = "/dev/shm"
	}
	dir, err := os.MkdirTemp(base, "benchtrail-test-")
	require.NoError(t, err)
	require.NoError(t, os.Chmod(dir, 0o755))
	t.Cleanup(func() { require.NoError(t, os.RemoveAll(dir)) })
	return filepath.Join(dir, "site")
}

func noEnvironment(string) string { return "" }

// said collects what a program says while others read it.
type said struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

var address = regexp.MustCompile(`Benchtrail is at (https?://\S+)`)

// requireAddress waits until the program says where it is.
func (s *said) requireAddress(t *testing.T, ended <-chan struct{}, log *said) string {
	t.Helper()
	deadline := time.After(startsWithin)
	for {
		if found := address.FindStringSubmatch(s.String()); found != nil {
			return found[1]
		}
		select {
		case <-ended:
			require.FailNow(t, "the program ended", log.String())
		case <-deadline:
			require.FailNow(t, "the program does not start", log.String())
		case <-time.After(10 * time.Millisecond):
		}
	}
}

// here is the program running within the test.
type here struct {
	visitor
	stop  context.CancelFunc
	ended chan struct{}
	err   error
	log   *said
}

// startHere runs the program until the test ends or stops it.
func startHere(t *testing.T, getenv func(string) string, args ...string) *here {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	p := &here{stop: cancel, ended: make(chan struct{}), log: &said{}}
	out := &said{}
	go func() {
		defer close(p.ended)
		p.err = run(ctx, args, getenv, strings.NewReader(""), out, p.log)
	}()
	t.Cleanup(func() { cancel(); <-p.ended })
	p.visitor = newVisitor(t, out.requireAddress(t, p.ended, p.log))
	return p
}

// requireStops asks the program to end and waits until it did, in good order.
func (p *here) requireStops(t *testing.T, within time.Duration) {
	t.Helper()
	p.stop()
	select {
	case <-p.ended:
		require.NoError(t, p.err)
	case <-time.After(within):
		require.FailNow(t, "the program does not stop", p.log.String())
	}
}

// visitor is a person with a browser.
type visitor struct {
	url    string
	client *http.Client
}

func newVisitor(t *testing.T, url string) visitor {
	t.Helper()
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	return visitor{url, &http.Client{Jar: jar, Timeout: startsWithin}}
}

// ask gives the status and the text of an answer, or 0 and why there is none.
func (v visitor) ask(method, path string, body any) (int, string) {
	var content io.Reader
	if body != nil {
		text, err := json.Marshal(body)
		if err != nil {
			return 0, err.Error()
		}
		content = bytes.NewReader(text)
	}
	request, err := http.NewRequestWithContext(context.Background(), method, v.url+path, content)
	if err != nil {
		return 0, err.Error()
	}
	request.Header.Set("Content-Type", "application/json")
	response, err := v.client.Do(request)
	if err != nil {
		return 0, err.Error()
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		return 0, err.Error()
	}
	return response.StatusCode, string(text)
}

func (v visitor) require(t *testing.T, want int, method, path string, body any) string {
	t.Helper()
	status, text := v.ask(method, path, body)
	require.Equal(t, want, status, "%s %s: %s", method, path, text)
	return text
}

func (v visitor) signIn(t *testing.T, email, password string) {
	t.Helper()
	v.require(t, http.StatusOK, http.MethodPost, "/api/v1/session", map[string]string{"email": email, "password": password})
}

const (
	ownersEmail    = "owner@fernhollow.test"
	ownersPassword = "a long enough password"
	aSupplier      = "/api/v1/suppliers/01900000-0000-7000-8000-0000000000a1"
)

// makeOwner makes an organisation in the folder's database.
func makeOwner(t *testing.T, dir string) {
	t.Helper()
	var out, log said
	err := run(t.Context(), []string{"account", "--data", dir, "--organisation", "Fernhollow", "--email", ownersEmail, "--name", "Ofelia"},
		noEnvironment, strings.NewReader(ownersPassword+"\n"), &out, &log)
	require.NoError(t, err, log.String())
	require.Contains(t, out.String(), "Fernhollow is there")
	require.NotContains(t, out.String()+log.String(), ownersPassword)
}
