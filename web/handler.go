package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strconv"
	"strings"
)

const (
	indexName   = "index.html"
	assetFolder = "assets/" // vite puts only files with a hash in their name here
	cacheYear   = "public, max-age=31536000, immutable"
	cacheNever  = "no-cache" // keep it, but ask before each use
)

const notBuilt = `<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><title>Benchtrail</title></head>
<body>
<h1>The pages are not built into this program</h1>
<p>The interface under /api/v1 works. To get the pages, run
<code>npm ci &amp;&amp; npm run build</code> in web/ and build the program again.</p>
<p lang="es">Este programa se compiló sin las páginas. La interfaz bajo /api/v1 funciona.
Para tener las páginas, ejecute <code>npm ci &amp;&amp; npm run build</code> en web/ y compile de nuevo.</p>
</body>
</html>
`

// page is one file, ready to be sent.
type page struct {
	plain    []byte
	squeezed []byte // nil where gzip does not make it smaller
	kind     string
	cache    string
	tag      string
}

type handler struct {
	pages map[string]page
}

func newHandler(files fs.FS) http.Handler {
	pages := map[string]page{}
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || hidden(name) {
			return err
		}
		content, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		pages[name] = newPage(name, content)
		return nil
	})
	if err != nil {
		panic(err) // the files are part of the program: reading them cannot fail
	}
	return handler{pages: pages}
}

func hidden(name string) bool {
	for _, part := range strings.Split(name, "/") {
		if strings.HasPrefix(part, ".") {
			return true
		}
	}
	return false
}

func newPage(name string, content []byte) page {
	kind := mime.TypeByExtension(path.Ext(name))
	switch path.Ext(name) { // the machine's own table may be missing or differ
	case ".js", ".mjs":
		kind = "text/javascript; charset=utf-8"
	case ".webmanifest":
		kind = "application/manifest+json"
	case ".md", ".txt":
		kind = "text/plain; charset=utf-8"
	case "":
		kind = "application/octet-stream"
	}
	sum := sha256.Sum256(content)
	cache := cacheNever
	if strings.HasPrefix(name, assetFolder) {
		cache = cacheYear
	}
	return page{
		plain:    content,
		squeezed: squeeze(content),
		kind:     kind,
		cache:    cache,
		tag:      hex.EncodeToString(sum[:12]),
	}
}

// squeeze returns the gzip form, or nil where it would save less than a tenth.
func squeeze(content []byte) []byte {
	var buffer bytes.Buffer
	writer, err := gzip.NewWriterLevel(&buffer, gzip.BestCompression)
	if err != nil {
		return nil
	}
	if _, err = writer.Write(content); err != nil {
		return nil
	}
	if err = writer.Close(); err != nil {
		return nil
	}
	if buffer.Len() > len(content)*9/10 {
		return nil
	}
	return buffer.Bytes()
}

// ServeHTTP answers a file by its name, and index.html for any address of the
// pages' own router when a browser asks for a page. A missing file is 404.
func (h handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	setSecurityHeaders(w.Header())
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "method not allowed", http.StatusMethodNotAllowed)
		return
	}
	name := strings.TrimPrefix(path.Clean("/"+r.URL.Path), "/")
	if found, ok := h.pages[name]; ok {
		send(w, r, found)
		return
	}
	if !isDeepLink(name, r.Header.Get("Accept")) {
		w.Header().Set("Cache-Control", cacheNever)
		http.NotFound(w, r)
		return
	}
	index, ok := h.pages[indexName]
	if !ok {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Header().Set("Cache-Control", "no-store")
		w.WriteHeader(http.StatusServiceUnavailable)
		if r.Method != http.MethodHead {
			_, _ = w.Write([]byte(notBuilt))
		}
		return
	}
	send(w, r, index)
}

func isDeepLink(name, accept string) bool {
	switch {
	case strings.HasPrefix(name+"/", "api/"), strings.HasPrefix(name+"/", assetFolder):
		return false
	case path.Ext(name) != "":
		return false
	default:
		return strings.Contains(accept, "text/html")
	}
}

func send(w http.ResponseWriter, r *http.Request, p page) {
	content, tag := p.plain, `"`+p.tag+`"`
	header := w.Header()
	if p.squeezed != nil {
		header.Add("Vary", "Accept-Encoding")
		if takesGzip(r.Header.Get("Accept-Encoding")) {
			content, tag = p.squeezed, `"`+p.tag+`-gz"`
			header.Set("Content-Encoding", "gzip")
		}
	}
	header.Set("ETag", tag)
	header.Set("Cache-Control", p.cache)
	if strings.Contains(r.Header.Get("If-None-Match"), tag) {
		header.Del("Content-Encoding")
		w.WriteHeader(http.StatusNotModified)
		return
	}
	header.Set("Content-Type", p.kind)
	header.Set("Content-Length", strconv.Itoa(len(content)))
	w.WriteHeader(http.StatusOK)
	if r.Method != http.MethodHead {
		_, _ = w.Write(content) // a reader that went away is no fault of ours
	}
}

func takesGzip(accept string) bool {
	for _, part := range strings.Split(accept, ",") {
		name, weight, _ := strings.Cut(strings.TrimSpace(part), ";")
		if strings.TrimSpace(name) != "gzip" {
			continue
		}
		value, found := strings.CutPrefix(strings.TrimSpace(weight), "q=")
		if !found {
			return true
		}
		q, err := strconv.ParseFloat(value, 64)
		return err == nil && q > 0
	}
	return false
}

func setSecurityHeaders(h http.Header) {
	h.Set("Content-Security-Policy", strings.Join([]string{
		"default-src 'self'",
		"script-src 'self' 'wasm-unsafe-eval'", // a reader of codes is WebAssembly; no script of text is allowed by this
		"connect-src 'self'",
		"worker-src 'self'",
		"manifest-src 'self'",
		"img-src 'self' blob:", // a picture just taken
		"media-src 'self' blob:",
		"base-uri 'none'",
		"form-action 'self'",
		"frame-ancestors 'none'",
		"object-src 'none'",
	}, "; "))
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(self), geolocation=(), microphone=(), payment=()")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
}
