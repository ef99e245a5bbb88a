package api

import (
	"bytes"
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"
)

// operation is one operation of the contract, with the schemas of its answers.
type operation struct {
	method, path, name string
	open               bool // needs nobody to be signed in
	parameters         []parameter
	body               string // the schema of its body
	answers            map[int]*jsonschema.Schema
	kinds              map[int]string // the media type of each answer that is not JSON
}

type parameter struct {
	name     string
	required bool
}

// The contract as a reader of answers has it: members that it does not name are
// allowed.
var operations = sync.OnceValues(func() ([]operation, error) {
	doc, err := contractDocument()
	if err != nil {
		return nil, err
	}
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	if err := compiler.AddResource("open.json", doc); err != nil {
		return nil, err
	}
	var all []operation
	for path, item := range member(doc, "paths") {
		for method, value := range item.(map[string]any) {
			x, ok := value.(map[string]any)
			if !ok {
				continue
			}
			op := operation{method: strings.ToUpper(method), path: path, name: x["operationId"].(string), answers: map[int]*jsonschema.Schema{}, kinds: map[int]string{}}
			if security, said := x["security"].([]any); said && len(security) == 0 {
				op.open = true
			}
			list, _ := x["parameters"].([]any)
			for _, entry := range list {
				p := entry.(map[string]any)
				if ref, ok := p["$ref"].(string); ok {
					p = member(member(member(doc, "components"), "parameters"), lastPart(ref))
				}
				if p["in"] == "query" {
					op.parameters = append(op.parameters, parameter{p["name"].(string), p["required"] == true})
				}
			}
			op.body = lastPart(fmt.Sprint(schemaOf(member(x, "requestBody"), "application/json")["$ref"]))
			for status, answer := range member(x, "responses") {
				var code int
				if _, err := fmt.Sscanf(status, "%d", &code); err != nil {
					continue // the default: a problem
				}
				op.answers[code] = nil
				kind := "application/json"
				for other := range member(answer.(map[string]any), "content") {
					if other != kind {
						op.kinds[code], kind = other, other
					}
				}
				if ref, ok := schemaOf(answer.(map[string]any), kind)["$ref"].(string); ok {
					if op.answers[code], err = compiler.Compile("open.json" + ref); err != nil {
						return nil, err
					}
				}
			}
			all = append(all, op)
		}
	}
	slices.SortFunc(all, func(a, b operation) int { return strings.Compare(a.path+a.method, b.path+b.method) })
	return all, nil
})

var problemSchema = sync.OnceValues(func() (*jsonschema.Schema, error) {
	doc, err := contractDocument()
	if err != nil {
		return nil, err
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource("open.json", doc); err != nil {
		return nil, err
	}
	return compiler.Compile("open.json#/components/schemas/Problem")
})

func lastPart(ref string) string { return ref[strings.LastIndexByte(ref, '/')+1:] }

func schemaOf(holder map[string]any, kind string) map[string]any {
	return member(member(member(holder, "content"), kind), "schema")
}

func operationsOf(t *testing.T) []operation {
	t.Helper()
	all, err := operations()
	require.NoError(t, err)
	return all
}

// requireKeepsContract holds an answer against the contract: the schema of its
// operation and status, or that of a problem.
func requireKeepsContract(t *testing.T, method, path string, r outcome) {
	t.Helper()
	path, _, _ = strings.Cut(path, "?")
	if r.status >= http.StatusBadRequest {
		schema, err := problemSchema()
		require.NoError(t, err)
		requireFits(t, schema, method+" "+path, r)
		return
	}
	for _, op := range operationsOf(t) {
		if op.method != method || !fits(op.path, path) {
			continue
		}
		schema, known := op.answers[r.status]
		require.True(t, known, "%s %s may not answer %d", method, path, r.status)
		kind := op.kinds[r.status]
		if kind == "text/csv" || kind == "text/calendar" {
			require.Equal(t, kind+"; charset=utf-8", r.header.Get("Content-Type"))
			return
		}
		if kind == "image/jpeg" || kind == workbookType {
			require.Equal(t, kind, r.header.Get("Content-Type"))
			return
		}
		if schema == nil {
			require.Empty(t, r.text)
			return
		}
		require.Equal(t, cmp.Or(kind, "application/json"), r.header.Get("Content-Type"))
		requireFits(t, schema, method+" "+path, r)
		return
	}
	require.Equal(t, "/openapi.yaml", path, "%s is not in the contract", method)
}

func requireFits(t *testing.T, schema *jsonschema.Schema, what string, r outcome) {
	t.Helper()
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader([]byte(r.text)))
	require.NoError(t, err, "%s: %d %s", what, r.status, r.text)
	if err := schema.Validate(value); err != nil {
		require.FailNow(t, "the answer does not keep the contract", "%s: %v\n%s", what, err, r.text)
	}
}

func fits(template, path string) bool {
	want, got := strings.Split(template, "/"), strings.Split(path, "/")
	return slices.EqualFunc(want, got, func(w, g string) bool { return w == g || w == "{id}" })
}

func TestEveryOperationOfTheContractIsRouted(t *testing.T) {
	t.Parallel()
	r := run(t)
	router, ok := r.handler.(*echo.Echo)
	require.True(t, ok)
	routed := map[string]bool{}
	for _, route := range router.Routes() {
		routed[route.Method+" "+route.Path] = true
	}
	for _, op := range operationsOf(t) {
		key := op.method + " " + base + strings.ReplaceAll(op.path, "{id}", ":id")
		require.True(t, routed[key], "%s is in the contract and not routed", key)
		delete(routed, key)
	}
	delete(routed, "GET "+base+"/openapi.yaml")
	delete(routed, echo.RouteNotFound+" "+base+"/*")
	for key := range routed {
		require.NotContains(t, key, " "+base+"/", "%s is routed and not in the contract", key)
	}
	require.Greater(t, len(operationsOf(t)), 60)
}

func TestTheContractIsServedToAnybody(t *testing.T) {
	t.Parallel()
	reply := run(t).stranger(t).do(http.MethodGet, "/openapi.yaml", nil)
	require.Equal(t, http.StatusOK, reply.status)
	require.Equal(t, string(contractYAML), reply.text)
}

func TestEveryListHasItsBoundsAndEveryBodyItsSchema(t *testing.T) {
	t.Parallel()
	ct, err := loadContract(base)
	require.NoError(t, err)
	for _, op := range operationsOf(t) {
		if op.body != "<nil>" {
			require.Contains(t, ct.schemas, op.body, op.name)
		}
		if op.method == http.MethodGet && strings.HasPrefix(op.name, "list") && op.name != "listSecondLooks" {
			require.Contains(t, op.parameters, parameter{"limit", false}, op.name)
		}
	}
}
