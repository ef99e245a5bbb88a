package web

import (
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

const browserAccept = "text/html,application/xhtml+xml,*/*;q=0.8"

func builtPages() fstest.MapFS {
	return fstest.MapFS{
		".keep":                  {},
		"index.html":             {Data: []byte("<!doctype html><title>Benchtrail</title>")},
		"favicon.svg":            {Data: []byte("<svg/>")},
		"sw.js":                  {Data: []byte("self.shell={};")},
		"manifest.webmanifest":   {Data: []byte("{}")},
		"icons/icon-192.png":     {Data: []byte("PNG")},
		"assets/reader-1.wasm":   {Data: []byte("wasm")},
		"assets/main-abc123.js":  {Data: []byte(strings.Repeat("console.log('seen');\n", 200))},
		"assets/main-abc123.css": {Data: []byte("body{}")},
	}
}

func ask(t *testing.T, h http.Handler, method, target string, headers map[string]string) *http.Response {
	t.Helper()
	request := httptest.NewRequestWithContext(t.Context(), method, target, nil)
	for name, value := range headers {
		request.Header.Set(name, value)
	}
	recorder := httptest.NewRecorder()
	h.ServeHTTP(recorder, request)
	return recorder.Result()
}

func bodyOf(t *testing.T, response *http.Response) string {
	t.Helper()
	content, err := io.ReadAll(response.Body)
	require.NoError(t, err)
	return string(content)
}

func TestHandlerServesTheIndexForDeepLinksOfABrowser(t *testing.T) {
	t.Parallel()
	h := newHandler(builtPages())
	for _, target := range []string{"/", "/dock", "/dock/shipments/0192", "/sign-in?to=%2Fwalk", "/assets/../walk"} {
		response := ask(t, h, http.MethodGet, target, map[string]string{"Accept": browserAccept})
		require.Equal(t, http.StatusOK, response.StatusCode, target)
		require.Contains(t, bodyOf(t, response), "<title>Benchtrail</title>", target)
		require.Equal(t, "no-cache", response.Header.Get("Cache-Control"), target)
	}
}

func TestHandlerAnswersMissingFilesWith404AndNeverTheIndex(t *testing.T) {
	t.Parallel()
	h := newHandler(builtPages())
	for _, target := range []string{
		"/assets/main-old.js", "/assets", "/assets/none", "/sw-old.js", "/icons/none.png", "/picture.png", "/api/v1/sites", "/api", "/.keep", "/../../etc/passwd.txt",
	} {
		response := ask(t, h, http.MethodGet, target, map[string]string{"Accept": browserAccept})
		require.Equal(t, http.StatusNotFound, response.StatusCode, target)
		require.NotContains(t, bodyOf(t, response), "<title>", target)
	}
	program := ask(t, h, http.MethodGet, "/dock", map[string]string{"Accept": "application/json"})
	require.Equal(t, http.StatusNotFound, program.StatusCode)
}

func TestHandlerLetsOnlyHashedFilesBeKept(t *testing.T) {
	t.Parallel()
	h := newHandler(builtPages())
	hashed := ask(t, h, http.MethodGet, "/assets/main-abc123.js", nil)
	require.Equal(t, "public, max-age=31536000, immutable", hashed.Header.Get("Cache-Control"))
	require.Equal(t, "text/javascript; charset=utf-8", hashed.Header.Get("Content-Type"))
	icon := ask(t, h, http.MethodGet, "/favicon.svg", nil)
	require.Equal(t, "no-cache", icon.Header.Get("Cache-Control"))
}

func TestHandlerHasTheServiceWorkerAskedForAnewEachTime(t *testing.T) {
	t.Parallel()
	worker := ask(t, newHandler(builtPages()), http.MethodGet, "/sw.js", nil)
	require.Equal(t, http.StatusOK, worker.StatusCode)
	require.Equal(t, "no-cache", worker.Header.Get("Cache-Control"))
	require.Equal(t, "text/javascript; charset=utf-8", worker.Header.Get("Content-Type"))
}

func TestHandlerNamesTheKindsOfWhatAPhoneInstalls(t *testing.T) {
	t.Parallel()
	h := newHandler(builtPages())
	for target, kind := range map[string]string{
		"/manifest.webmanifest": "application/manifest+json",
		"/icons/icon-192.png":   "image/png",
		"/favicon.svg":          "image/svg+xml",
		"/assets/reader-1.wasm": "application/wasm",
	} {
		require.Equal(t, kind, ask(t, h, http.MethodGet, target, nil).Header.Get("Content-Type"), target)
	}
}

func TestHandlerSendsGzipToThoseWhoTakeIt(t *testing.T) {
	t.Parallel()
	h := newHandler(builtPages())
	plain := ask(t, h, http.MethodGet, "/assets/main-abc123.js", map[string]string{"Accept-Encoding": "br, gzip;q=0"})
	require.Empty(t, plain.Header.Get("Content-Encoding"))
	squeezed := ask(t, h, http.MethodGet, "/assets/main-abc123.js", map[string]string{"Accept-Encoding": "br, gzip"})
	require.Equal(t, "gzip", squeezed.Header.Get("Content-Encoding"))
	require.Equal(t, "Accept-Encoding", squeezed.Header.Get("Vary"))
	require.NotEqual(t, plain.Header.Get("ETag"), squeezed.Header.Get("ETag"))
	reader, err := gzip.NewReader(squeezed.Body)
	require.NoError(t, err)
	content, err := io.ReadAll(reader)
	require.NoError(t, err)
	require.Equal(t, bodyOf(t, plain), string(content))
	small := ask(t, h, http.MethodGet, "/assets/main-abc123.css", map[string]string{"Accept-Encoding": "gzip"})
	require.Empty(t, small.Header.Get("Content-Encoding"), "what gzip does not make smaller goes as it is")
}

func TestHandlerAnswersARepeatWithNotModified(t *testing.T) {
	t.Parallel()
	h := newHandler(builtPages())
	first := ask(t, h, http.MethodGet, "/", map[string]string{"Accept": browserAccept})
	second := ask(t, h, http.MethodGet, "/", map[string]string{"Accept": browserAccept, "If-None-Match": first.Header.Get("ETag")})
	require.Equal(t, http.StatusNotModified, second.StatusCode)
	require.Empty(t, bodyOf(t, second))
}

func TestHandlerAllowsNoForeignAndNoInlineScript(t *testing.T) {
	t.Parallel()
	h := newHandler(builtPages())
	for _, target := range []string{"/", "/assets/none.js"} {
		policy := ask(t, h, http.MethodGet, target, map[string]string{"Accept": browserAccept}).Header.Get("Content-Security-Policy")
		require.Contains(t, policy, "default-src 'self'")
		require.Contains(t, policy, "frame-ancestors 'none'")
		require.NotContains(t, policy, "'unsafe-")
		require.NotContains(t, policy, "*")
		require.NotContains(t, policy, "data:")
	}
}

func TestHandlerLetsThePagesWorkWithoutANetworkAndWithACamera(t *testing.T) {
	t.Parallel()
	policy := ask(t, newHandler(builtPages()), http.MethodGet, "/", map[string]string{"Accept": browserAccept}).Header.Get("Content-Security-Policy")
	rules := strings.Split(policy, "; ")
	for _, rule := range []string{
		"worker-src 'self'", "manifest-src 'self'", "connect-src 'self'", "script-src 'self' 'wasm-unsafe-eval'",
		"img-src 'self' blob:", "media-src 'self' blob:",
	} {
		require.Contains(t, rules, rule)
	}
	allowed := ask(t, newHandler(builtPages()), http.MethodGet, "/walk", map[string]string{"Accept": browserAccept}).Header.Get("Permissions-Policy")
	require.Contains(t, strings.Split(allowed, ", "), "camera=(self)")
	require.Contains(t, strings.Split(allowed, ", "), "microphone=()")
}

func TestHandlerTakesOnlyReadingMethods(t *testing.T) {
	t.Parallel()
	h := newHandler(builtPages())
	post := ask(t, h, http.MethodPost, "/dock", nil)
	require.Equal(t, http.StatusMethodNotAllowed, post.StatusCode)
	require.Equal(t, "GET, HEAD", post.Header.Get("Allow"))
	head := ask(t, h, http.MethodHead, "/", map[string]string{"Accept": browserAccept})
	require.Equal(t, http.StatusOK, head.StatusCode)
	require.Empty(t, bodyOf(t, head))
	require.NotEmpty(t, head.Header.Get("Content-Length"))
}

func TestHandlerSaysSoWhenThePagesAreNotBuilt(t *testing.T) {
	t.Parallel()
	h := newHandler(fstest.MapFS{".keep": {}})
	response := ask(t, h, http.MethodGet, "/dock", map[string]string{"Accept": browserAccept})
	require.Equal(t, http.StatusServiceUnavailable, response.StatusCode)
	require.Contains(t, bodyOf(t, response), "npm run build")
}

func TestHandlerOfTheProgramAlwaysAnswers(t *testing.T) {
	t.Parallel()
	response := ask(t, Handler(), http.MethodGet, "/", map[string]string{"Accept": browserAccept})
	require.Contains(t, []int{http.StatusOK, http.StatusServiceUnavailable}, response.StatusCode)
	require.Contains(t, bodyOf(t, response), "Benchtrail")
}
