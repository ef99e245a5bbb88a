// Package web holds the built pages and serves them.
package web

import (
	"embed"
	"io/fs"
	"net/http"
)

//go:embed all:dist
var dist embed.FS

// Handler serves the pages that were built into the program. It answers every
// path outside /api; where the pages were not built it says so.
func Handler() http.Handler {
	pages, err := fs.Sub(dist, "dist")
	if err != nil {
		panic(err) // only a malformed path can do this, and "dist" is not one
	}
	return newHandler(pages)
}
