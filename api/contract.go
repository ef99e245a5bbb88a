package api

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"
)

//go:generate go run github.com/oapi-codegen/oapi-codegen/v2/cmd/oapi-codegen@v2.8.2 -config internal/wire/oapi.yaml openapi.yaml

//go:embed openapi.yaml
var contractYAML []byte

// contract is the compiled side of openapi.yaml: the schemas that requests are
// held against.
type contract struct {
	schemas map[string]*jsonschema.Schema // bodies by schema name
	queries map[string]*jsonschema.Schema // query parameters by "GET /api/v1/looks/:id"
	types   map[string]map[string]string  // the JSON type of each query parameter, by the same
}

// loadContract compiles the contract. Requests are held closed: a member or a
// query parameter that the contract does not name is a fault. Schemas of
// answers stay open, so that old pages can read new answers.
func loadContract(base string) (*contract, error) {
	doc, err := contractDocument()
	if err != nil {
		return nil, err
	}
	c := &contract{
		schemas: map[string]*jsonschema.Schema{}, queries: map[string]*jsonschema.Schema{}, types: map[string]map[string]string{},
	}
	components := member(doc, "components")
	schemas := member(components, "schemas")
	for _, schema := range schemas {
		closeObjects(schema)
	}
	names := c.addQueries(doc, schemas, member(components, "parameters"), base)

	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	registerFormats(compiler)
	if err := compiler.AddResource("contract.json", doc); err != nil {
		return nil, fmt.Errorf("read the contract: %w", err)
	}
	for name := range schemas {
		compiled, err := compiler.Compile("contract.json#/components/schemas/" + name)
		if err != nil {
			return nil, fmt.Errorf("compile the schema %s: %w", name, err)
		}
		if route, ok := names[name]; ok {
			c.queries[route] = compiled
		} else {
			c.schemas[name] = compiled
		}
	}
	return c, nil
}

func contractDocument() (map[string]any, error) {
	var tree any
	if err := yaml.Unmarshal(contractYAML, &tree); err != nil {
		return nil, fmt.Errorf("read the contract: %w", err)
	}
	text, err := json.Marshal(tree)
	if err != nil {
		return nil, fmt.Errorf("read the contract: %w", err)
	}
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return nil, fmt.Errorf("read the contract: %w", err)
	}
	doc, ok := value.(map[string]any)
	if !ok {
		return nil, fmt.Errorf("the contract is a %T", value)
	}
	return doc, nil
}

// addQueries makes one object schema of the query parameters of each operation,
// so that they are held against the contract the way bodies are. It gives the
// route for the name of each such schema.
func (c *contract) addQueries(doc, schemas, parameters map[string]any, base string) map[string]string {
	names := map[string]string{}
	for path, item := range member(doc, "paths") {
		operations, _ := item.(map[string]any)
		for method, value := range operations {
			operation, ok := value.(map[string]any)
			if !ok || operation["operationId"] == nil {
				continue
			}
			properties, required := map[string]any{}, []any{}
			types := map[string]string{}
			list, _ := operation["parameters"].([]any)
			for _, entry := range list {
				p, _ := entry.(map[string]any)
				if ref, ok := p["$ref"].(string); ok {
					p = member(parameters, ref[strings.LastIndexByte(ref, '/')+1:])
				}
				name, _ := p["name"].(string)
				if p["in"] != "query" {
					continue
				}
				properties[name] = p["schema"]
				types[name], _ = member(p, "schema")["type"].(string)
				if p["required"] == true {
					required = append(required, name)
				}
			}
			route := strings.ToUpper(method) + " " + base + strings.ReplaceAll(path, "{id}", ":id")
			name := fmt.Sprintf("query of %v", operation["operationId"])
			name = strings.ReplaceAll(name, " ", "_")
			schemas[name] = map[string]any{
				"type": "object", "properties": properties, "required": required, "additionalProperties": false,
			}
			names[name], c.types[route] = route, types
		}
	}
	return names
}

func member(m map[string]any, name string) map[string]any {
	value, _ := m[name].(map[string]any)
	return value
}

// closeObjects refuses unknown members in every object that names its members.
func closeObjects(schema any) {
	switch node := schema.(type) {
	case map[string]any:
		if _, named := node["properties"]; named {
			if _, said := node["additionalProperties"]; !said {
				node["additionalProperties"] = false
			}
		}
		for _, child := range node {
			closeObjects(child)
		}
	case []any:
		for _, child := range node {
			closeObjects(child)
		}
	}
}
