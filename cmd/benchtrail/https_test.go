package main

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

var (
	regexpErrors  = regexp.MustCompile(`level=ERROR`)
	regexpLeading = regexp.MustCompile(`leading from http to https" address=(\S+)`)
)

// startAnswering serves "here" by https until the test ends.
func startAnswering(t *testing.T, secure *https, log *said) (address string) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	ended, out := make(chan struct{}), &said{}
	go func() {
		defer close(ended)
		handler := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "here") })
		if err := answer(ctx, "127.0.0.1:0", secure, secure.log, out, handler, ""); err != nil {
			secure.log.Error("answer", "error", err)
		}
	}()
	t.Cleanup(func() { cancel(); <-ended })
	out.requireAddress(t, ended, log)
	return regexp.MustCompile(`msg=serving address=(\S+)`).FindStringSubmatch(log.requireSays(t, "msg=serving"))[1]
}

func (s *said) requireSays(t *testing.T, text string) string {
	t.Helper()
	require.Eventually(t, func() bool { return strings.Contains(s.String(), text) }, startsWithin, 10*time.Millisecond, "%q is never said", text)
	return s.String()
}

// guest trusts the authority and comes to the address whatever the name; it
// follows no redirect.
func guest(t *testing.T, roots *x509.CertPool, address string) *http.Client {
	t.Helper()
	transport := &http.Transport{
		ForceAttemptHTTP2: true, TLSClientConfig: &tls.Config{RootCAs: roots},
		DialContext: func(ctx context.Context, network, _ string) (net.Conn, error) {
			return (&net.Dialer{}).DialContext(ctx, network, address)
		},
	}
	t.Cleanup(transport.CloseIdleConnections)
	return &http.Client{
		Transport: transport, Timeout: startsWithin,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
}

func requireAnswer(t *testing.T, client *http.Client, method, url string) (*http.Response, string) {
	t.Helper()
	request, err := http.NewRequestWithContext(t.Context(), method, url, nil)
	require.NoError(t, err)
	response, err := client.Do(request)
	require.NoError(t, err)
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	require.NoError(t, err)
	return response, string(text)
}

func recorded(handler http.Handler, method, url string) *http.Response {
	recorder := httptest.NewRecorder()
	handler.ServeHTTP(recorder, httptest.NewRequest(method, url, nil)) //nolint:noctx // nothing goes over the network
	return recorder.Result()
}

func httpsLogger(to *said) *slog.Logger { return slog.New(slog.NewTextHandler(to, nil)) }

func openHere(t *testing.T, c httpsConfig) (*https, *said) {
	t.Helper()
	log := &said{}
	h, err := openHTTPS(c, newFolder(t), httpsLogger(log), time.Now)
	require.NoError(t, err)
	return h, log
}

func TestServeSpeaksHTTPSWithACertificateFromFiles(t *testing.T) {
	t.Parallel()
	dir, a, p := newFolder(t), newAuthority(t), newPairFiles(t)
	p.write(t, a, inThreeMonths(), "trail.test")
	makeOwner(t, dir)
	program := startHere(t, environment(map[string]string{"BENCHTRAIL_HTTP_LISTEN": "127.0.0.1:0"}),
		"serve", "--listen", "127.0.0.1:0", "--data", dir, "--tls-cert", p.cert, "--tls-key", p.key)
	require.True(t, strings.HasPrefix(program.url, "https://"), program.url)
	address := strings.TrimPrefix(program.url, "https://")
	program.client.Transport = guest(t, a.pool(), address).Transport
	program.signIn(t, ownersEmail, ownersPassword)
	program.require(t, http.StatusCreated, http.MethodPut, aSupplier, map[string]string{"name": "Alder"})

	request, err := http.NewRequestWithContext(t.Context(), http.MethodPost, program.url+"/api/v1/session",
		strings.NewReader(`{"email":"`+ownersEmail+`","password":"`+ownersPassword+`"}`))
	require.NoError(t, err)
	request.Header.Set("Content-Type", "application/json")
	response, err := guest(t, a.pool(), address).Do(request)
	require.NoError(t, err)
	defer response.Body.Close()
	require.Len(t, response.Cookies(), 1)
	require.True(t, response.Cookies()[0].Secure)

	plain := regexpLeading.FindStringSubmatch(program.log.String())[1]
	leading, _ := requireAnswer(t, guest(t, nil, plain), http.MethodGet, "http://trail.test/walk?week=38")
	_, port, err := net.SplitHostPort(address)
	require.NoError(t, err)
	require.Equal(t, "https://trail.test:"+port+"/walk?week=38", leading.Header.Get("Location"))
	program.requireStops(t, 30*time.Second)
}

func TestHTTPSFromFilesIsOfTodayAndShowsANewCertificate(t *testing.T) {
	t.Parallel()
	a, p := newAuthority(t), newPairFiles(t)
	p.write(t, a, inThreeMonths(), "old.test")
	h, log := openHere(t, httpsConfig{Cert: p.cert, Key: p.key})
	address := startAnswering(t, h, log)

	response, text := requireAnswer(t, guest(t, a.pool(), address), http.MethodGet, "https://old.test/")
	require.Equal(t, "here", text)
	require.Equal(t, 2, response.ProtoMajor)
	require.Empty(t, response.Header.Get("Strict-Transport-Security"), "a site's own authority must not lock phones out")

	for version, taken := range map[uint16]bool{tls.VersionTLS11: false, tls.VersionTLS12: true, tls.VersionTLS13: true} {
		dialer := tls.Dialer{Config: &tls.Config{RootCAs: a.pool(), ServerName: "old.test", MinVersion: version, MaxVersion: version}}
		conn, err := dialer.DialContext(t.Context(), "tcp", address)
		require.Equal(t, taken, err == nil, "%s: %v", tls.VersionName(version), err)
		if err == nil {
			require.NoError(t, conn.Close())
		}
	}

	p.write(t, a, inThreeMonths(), "new.test")
	h.files.mu.Lock()
	h.files.looked = time.Time{}
	h.files.mu.Unlock()
	_, text = requireAnswer(t, guest(t, a.pool(), address), http.MethodGet, "https://new.test/")
	require.Equal(t, "here", text)
}

func TestAnExpiredCertificateIsWarnedAboutAtTheStart(t *testing.T) {
	t.Parallel()
	p := newPairFiles(t)
	p.write(t, newAuthority(t), time.Now().AddDate(0, 0, -1), "trail.test")
	h, log := openHere(t, httpsConfig{Cert: p.cert, Key: p.key})
	startAnswering(t, h, log)
	log.requireSays(t, "the certificate has expired")
}

func TestTheWayFromHTTPLeadsToTheSamePlace(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		names             []string
		port, asked, want string
	}{
		{nil, "443", "http://trail.test/l/7?x=1&y=%2F", "https://trail.test/l/7?x=1&y=%2F"},
		{nil, "8443", "http://192.168.1.20/", "https://192.168.1.20:8443/"},
		{nil, "8443", "http://trail.test:8080/", "https://trail.test:8443/"},
		{nil, "443", "http://[fd00::20]:8080/a%2Fb", "https://[fd00::20]/a%2Fb"},
		{nil, "443", "http://trail.test//elsewhere.test/", "https://trail.test//elsewhere.test/"},
		{[]string{"trail.test", "walk.test"}, "443", "http://Walk.test/", "https://walk.test/"},
		{[]string{"trail.test"}, "443", "http://192.168.1.20/walk", "https://trail.test/walk"}, // no certificate for it
	} {
		h := &https{names: c.names}
		response := recorded(h.fromHTTP(c.port), http.MethodGet, c.asked)
		require.Equal(t, http.StatusFound, response.StatusCode, c.asked)
		require.Equal(t, c.want, response.Header.Get("Location"))
	}
}

func TestWhatIsSentByHTTPIsNotRepeatedByHTTPS(t *testing.T) {
	t.Parallel()
	for _, method := range []string{http.MethodPost, http.MethodPut, http.MethodDelete} {
		response := recorded((&https{}).fromHTTP("443"), method, "http://trail.test/api/v1/session")
		require.Equal(t, http.StatusBadRequest, response.StatusCode)
		require.Empty(t, response.Header.Get("Location"))
	}
}
