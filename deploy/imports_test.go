// Package deploy_test holds the house to its rules: who may import whom, where
// SQL may stand, what the domain may not touch, and what lies at the top.
package deploy_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const module = "benchtrail"

// anything stands for every package outside the module.
const anything = "*"

// mayImport says for each package of the house which others of the house it may
// import, and from outside, which modules. The standard library is open to all
// but the domain: see closedToDomain. A package that is not listed is a fault, so
// that a new one is given its place here first.
var mayImport = map[string][]string{
	"cmd/benchtrail": {"api", "api/store", "migrations", "web", "deploy/localpg", "domain", "domain/place", "domain/simulation", "github.com/jackc/pgx/v5", "golang.org/x/crypto/acme"},

	"api":                  append([]string{"api/internal/wire", "api/internal/picture", "api/internal/ical", "api/internal/letter", "api/store", anything}, domainExceptSimulation...),
	"api/internal/ical":    {"domain"},
	"api/internal/letter":  {},
	"api/internal/picture": {"golang.org/x/image"},
	"api/internal/wire":    {"domain", "github.com/labstack/echo/v4", "github.com/oapi-codegen/runtime"},
	"api/store":            append([]string{"github.com/jackc/pgx/v5"}, domainExceptSimulation...),
	"api/store/storetest":  append([]string{"api/store", "migrations", "deploy/localpg", "github.com/jackc/pgx/v5", "github.com/stretchr/testify"}, domainExceptSimulation...),

	"migrations":     {"github.com/pressly/goose/v3"},
	"web":            {},
	"deploy/localpg": {"github.com/jackc/pgx/v5"},

	"domain":            {},
	"domain/stats":      {"domain", "gonum.org/v1/gonum"},
	"domain/place":      {"domain"},
	"domain/stock":      {"domain", "domain/place"},
	"domain/scouting":   {"domain", "domain/stats", "domain/stock"},
	"domain/imports":    {"domain", "domain/place", "domain/stock", "domain/scouting"},
	"domain/arrival":    {"domain", "domain/stats", "domain/stock", "domain/scouting"}, // an arrival is looked at with the words of scouting
	"domain/control":    {"domain", "domain/stats", "domain/stock"},
	"domain/trend":      {"domain", "domain/stats", "domain/stock", "domain/arrival", "domain/scouting", "domain/control", "gonum.org/v1/gonum"},
	"domain/advice":     {"domain", "domain/stats", "domain/stock", "domain/trend", "gonum.org/v1/gonum"},
	"domain/simulation": append([]string{"domain/stats"}, domainExceptSimulation...),
}

var domainExceptSimulation = []string{
	"domain", "domain/place", "domain/stock", "domain/arrival", "domain/scouting", "domain/control", "domain/trend", "domain/advice", "domain/stats",
	"domain/imports",
}

// closedToDomain are the parts of the standard library that reach outside the
// process. The domain is given what they would bring.
var closedToDomain = []string{"net", "os", "database", "log", "syscall", "unsafe", "plugin", "runtime", "crypto/rand", "math/rand"}

// drawsFromSeeds are the parts of the domain that draw at random, from seeds that
// they are given or that are recorded.
var drawsFromSeeds = []string{"domain/simulation", "domain/scouting"}

type goPackage struct {
	ImportPath string
	Dir        string
	GoFiles    []string
	Imports    []string
}

// packages lists those of the house with their direct imports; what only tests
// import is not among them.
func packages(t *testing.T) []goPackage {
	t.Helper()
	list := exec.CommandContext(t.Context(), "go", "list", "-json=ImportPath,Dir,GoFiles,Imports", "./...")
	list.Dir = ".."
	out, err := list.Output()
	require.NoError(t, err)
	var all []goPackage
	for decoder := json.NewDecoder(bytes.NewReader(out)); decoder.More(); {
		var p goPackage
		require.NoError(t, decoder.Decode(&p))
		if len(p.GoFiles) > 0 {
			all = append(all, p)
		}
	}
	require.Greater(t, len(all), 10)
	return all
}

func TestPackagesImportOnlyWhatStandsBelowThem(t *testing.T) {
	t.Parallel()
	standard := standardLibrary(t)
	var faults []string
	for _, p := range packages(t) {
		name := inHouse(p.ImportPath)
		allowed, listed := mayImport[name]
		if !listed {
			faults = append(faults, name+" has no place in the import rule")
			continue
		}
		for _, imported := range p.Imports {
			if !mayUse(name, imported, allowed, standard) {
				faults = append(faults, fmt.Sprintf("%s may not import %s", name, inHouse(imported)))
			}
		}
	}
	require.Empty(t, faults)
}

func TestTheImportRuleRefusesWhatItShould(t *testing.T) {
	t.Parallel()
	standard := standardLibrary(t)
	for _, c := range []struct {
		name, imported string
		want           bool
	}{
		{"domain/trend", "benchtrail/domain/stats", true},
		{"domain/stats", "gonum.org/v1/gonum/stat/distuv", true},
		{"domain/stock", "time", true},
		{"api", "github.com/labstack/echo/v4/middleware", true},
		{"api/store", "github.com/jackc/pgx/v5/pgxpool", true},
		{"api/store", "github.com/jackc/pgx/v55", false},
		{"api/store", "github.com/labstack/echo/v4", false},
		{"api/store", "benchtrail/api", false},
		{"api/store", "benchtrail/api/internal/wire", false},
		{"api", "benchtrail/domain/simulation", false},
		{"domain/stats", "benchtrail/domain/stock", false},
		{"domain/stock", "benchtrail/domain/arrival", false},
		{"domain/stock", "net/url", false},
		{"domain/stock", "math/rand/v2", false},
		{"domain/simulation", "math/rand/v2", true},
		{"domain", "github.com/google/uuid", false},
		{"web", "benchtrail/domain", false},
	} {
		require.Equal(t, c.want, mayUse(c.name, c.imported, mayImport[c.name], standard), "%s imports %s", c.name, c.imported)
	}
}

func mayUse(name, imported string, allowed []string, standard map[string]bool) bool {
	if standard[imported] {
		if !inDomain(name) {
			return true
		}
		if slices.Contains(drawsFromSeeds, name) && imported == "math/rand/v2" {
			return true // for a seeded source of its own; the shared one is caught in the source text
		}
		return !slices.ContainsFunc(closedToDomain, func(closed string) bool { return within(imported, closed) })
	}
	if within(imported, module) {
		return slices.Contains(allowed, inHouse(imported))
	}
	return slices.ContainsFunc(allowed, func(a string) bool { return a == anything || within(imported, a) })
}

func standardLibrary(t *testing.T) map[string]bool {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), "go", "list", "std").Output()
	require.NoError(t, err)
	names := map[string]bool{}
	for name := range strings.FieldsSeq(string(out)) {
		names[name] = true
	}
	require.True(t, names["net/http"])
	return names
}

func inHouse(importPath string) string { return strings.TrimPrefix(importPath, module+"/") }

func inDomain(name string) bool { return within(name, "domain") }

// within reports whether a path is dir or lies below it.
func within(path, dir string) bool { return path == dir || strings.HasPrefix(path, dir+"/") }
