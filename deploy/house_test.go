package deploy_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTheTopLevelIsTheFixedList(t *testing.T) {
	t.Parallel()
	entries, err := os.ReadDir("..")
	require.NoError(t, err)
	var visible []string
	for _, e := range entries {
		if name := e.Name(); !strings.HasPrefix(name, ".") && name != "bin" { // bin holds what was built here and is never committed
			visible = append(visible, name)
		}
	}
	require.Equal(t, []string{
		"DEVELOPERS.md", "README.md", "api", "cmd", "deploy", "domain", "go.mod", "go.sum", "migrations", "testdata", "web",
	}, visible)
}

// outside maps an import to the names in it that reach for the clock or for
// randomness that nobody seeded.
var outside = map[string]*regexp.Regexp{
	"time":         regexp.MustCompile(`^(Now|Since|Until|Sleep|After|AfterFunc|Tick|NewTimer|NewTicker|Local)$`),
	"math/rand/v2": regexp.MustCompile(`^(Int|Int32|Int64|Uint|Uint32|Uint64|IntN|Int32N|Int64N|UintN|Uint32N|Uint64N|N|Float32|Float64|NormFloat64|ExpFloat64|Perm|Shuffle)$`),
	"uuid":         regexp.MustCompile(`.`),
}

func TestTheDomainAsksForNoClockAndNoUnseededRandomness(t *testing.T) {
	t.Parallel()
	var faults []string
	files := token.NewFileSet()
	for _, p := range packages(t) {
		if !inDomain(inHouse(p.ImportPath)) {
			continue
		}
		for _, name := range p.GoFiles {
			file, err := parser.ParseFile(files, filepath.Join(p.Dir, name), nil, 0)
			require.NoError(t, err)
			for _, use := range outsideUses(file) {
				faults = append(faults, files.Position(use.Pos()).String())
			}
		}
	}
	require.Empty(t, faults)
}

func TestTheSearchForTheClockFindsIt(t *testing.T) {
	t.Parallel()
	file, err := parser.ParseFile(token.NewFileSet(), "x.go", `package x
import ("time"; dice "math/rand/v2")
var a, b, c, d = time.Now, dice.IntN(6), dice.New(dice.NewPCG(1, 2)).IntN(6), time.UTC
`, 0)
	require.NoError(t, err)
	require.Len(t, outsideUses(file), 2)
}

func outsideUses(file *ast.File) []*ast.SelectorExpr {
	reaching := map[string]*regexp.Regexp{} // by the name the file calls the import
	for _, spec := range file.Imports {
		path, _ := strconv.Unquote(spec.Path.Value) // the parser has read it already
		names, found := outside[path]
		if !found {
			continue
		}
		called := strings.TrimSuffix(path, "/v2")
		called = called[strings.LastIndex(called, "/")+1:]
		if spec.Name != nil {
			called = spec.Name.Name
		}
		reaching[called] = names
	}
	var uses []*ast.SelectorExpr
	ast.Inspect(file, func(n ast.Node) bool {
		if selector, ok := n.(*ast.SelectorExpr); ok {
			if of, ok := selector.X.(*ast.Ident); ok && reaching[of.Name] != nil && reaching[of.Name].MatchString(selector.Sel.Name) {
				uses = append(uses, selector)
			}
		}
		return true
	})
	return uses
}

// sql is how a statement begins. An ordinary sentence begins with such a word
// too, so the word that has to follow in SQL is asked for as well.
var sql = regexp.MustCompile(`(?is)^\s*(select\s.+\sfrom\s|select\s+[a-z_]+\(|insert\s+into\s|update\s+\S+(\s+\S+)?\s+set\s|delete\s+from\s|with\s+(recursive\s+)?\S+\s+as\s*\(|(create|alter|drop)\s+(table|role|database|policy|index)\b|truncate\s|set\s+(local\s+)?\S+\s*(=|to)\s)`)

func TestSQLStandsInTheStoreAndTheMigrationsOnly(t *testing.T) {
	t.Parallel()
	homes := []string{
		"api/store", "api/store/storetest", "migrations",
		"deploy/localpg", // makes the empty database before there is a store
	}
	var faults []string
	files := token.NewFileSet()
	inTheStore := 0
	for _, p := range packages(t) {
		for _, name := range p.GoFiles {
			file, err := parser.ParseFile(files, filepath.Join(p.Dir, name), nil, 0)
			require.NoError(t, err)
			for _, statement := range sqlLiterals(file) {
				if inHouse(p.ImportPath) == "api/store" {
					inTheStore++
				}
				if !slices.Contains(homes, inHouse(p.ImportPath)) {
					faults = append(faults, files.Position(statement.Pos()).String())
				}
			}
		}
	}
	require.Empty(t, faults)
	require.Greater(t, inTheStore, 40, "the search no longer knows SQL when it sees it")
}

func TestTheSearchForSQLTellsItFromSentences(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]bool{
		"select id from lot":                 true,
		"\n\t\tSELECT set_config('x', $1)":   true,
		"insert into lot values ($1)":        true,
		"update lot l set plants = 1":        true,
		"delete from lot where id = $1":      true,
		"with w as (select 1) select * from": true,
		"update the pages":                   false,
		"select a lot":                       false,
		"delete the look":                    false,
		"with 95 % confidence":               false,
	} {
		require.Equal(t, want, sql.MatchString(text), text)
	}
}

func sqlLiterals(file *ast.File) []*ast.BasicLit {
	var statements []*ast.BasicLit
	ast.Inspect(file, func(n ast.Node) bool {
		if literal, ok := n.(*ast.BasicLit); ok && literal.Kind == token.STRING {
			if text, err := strconv.Unquote(literal.Value); err == nil && sql.MatchString(text) {
				statements = append(statements, literal)
			}
		}
		return true
	})
	return statements
}
