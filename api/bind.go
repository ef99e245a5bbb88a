package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/url"
	"reflect"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/santhosh-tekuri/jsonschema/v6/kind"

	"benchtrail/domain"
)

// mostBody is the largest body a request may have, in bytes; an outbox may hold
// 500 records.
const (
	mostBody   = 1 << 20
	mostOutbox = 8 << 20
)

// readBody reads a JSON body within the size allowed.
func readBody(c echo.Context, most int64) ([]byte, error) {
	if kind, _, err := mime.ParseMediaType(c.Request().Header.Get(echo.HeaderContentType)); err != nil || kind != echo.MIMEApplicationJSON {
		return nil, echo.NewHTTPError(http.StatusUnsupportedMediaType)
	}
	return readAll(c, most)
}

// readAll reads a body of any kind within the size allowed.
func readAll(c echo.Context, most int64) ([]byte, error) {
	raw, err := io.ReadAll(http.MaxBytesReader(c.Response(), c.Request().Body, most))
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return nil, echo.NewHTTPError(http.StatusRequestEntityTooLarge)
	}
	if err != nil {
		return nil, echo.NewHTTPError(http.StatusBadRequest).SetInternal(fmt.Errorf("read the body: %w", err))
	}
	return raw, nil
}

// decode holds a body against the schema named like the type B and decodes it.
// All faults come at once.
func decode[B any](ct *contract, raw []byte) (B, error) {
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		var none B
		return none, notJSON(raw, err)
	}
	return decodeValue[B](ct, value)
}

func decodeValue[B any](ct *contract, value any) (B, error) {
	var body B
	name := reflect.TypeFor[B]().Name()
	schema, ok := ct.schemas[name]
	if !ok {
		return body, fmt.Errorf("the contract has no schema %s", name)
	}
	if err := ct.hold(value, schema, ""); err != nil {
		return body, err
	}
	tidied, err := json.Marshal(value)
	if err != nil {
		return body, fmt.Errorf("decode %s: %w", name, err)
	}
	if err := json.Unmarshal(tidied, &body); err != nil {
		return body, fmt.Errorf("decode %s: %w", name, err)
	}
	return body, nil
}

// hold tidies a value and holds it against a schema.
func (ct *contract) hold(value any, schema *jsonschema.Schema, at string) error {
	var faults domain.Faults
	value = tidy(value, at, &faults)
	if err := schema.Validate(value); err != nil {
		shape, err := shapeFaults(err, at)
		if err != nil {
			return err
		}
		faults = append(faults, shape...)
	}
	return faults.Err()
}

// brokenJSON says where a body stops being JSON.
type brokenJSON struct{ fault domain.Fault }

func (e brokenJSON) Error() string { return e.fault.Detail }

func notJSON(raw []byte, err error) error {
	var syntax *json.SyntaxError
	line, column := 1, len(raw)
	if errors.As(err, &syntax) {
		before := raw[:min(len(raw), int(syntax.Offset))]
		line += bytes.Count(before, []byte("\n"))
		column = len(before) - (bytes.LastIndexByte(before, '\n') + 1)
	} else {
		line += bytes.Count(raw, []byte("\n"))
		column -= bytes.LastIndexByte(raw, '\n') + 1
	}
	return brokenJSON{domain.Fault{Code: "not_json", Detail: fmt.Sprintf("the body is not JSON at line %d, column %d", line, column)}}
}

// checkQuery holds the query parameters of a request against the contract.
func (ct *contract) checkQuery(route string, query url.Values) error {
	schema, ok := ct.queries[route]
	if !ok {
		return nil
	}
	value := map[string]any{}
	for name, given := range query {
		if len(given) != 1 {
			return domain.Faults{{Path: "#query/" + name, Code: "twice", Detail: "is given more than once"}}
		}
		value[name] = queryValue(ct.types[route][name], given[0])
	}
	return ct.hold(value, schema, "#query")
}

// queryValue gives the text as the JSON value it stands for, or as text, which
// the schema will then refuse.
func queryValue(kind, text string) any {
	switch kind {
	case "integer":
		if _, err := strconv.Atoi(text); err == nil {
			return json.Number(text)
		}
	case "number":
		if _, err := strconv.ParseFloat(text, 64); err == nil && !strings.ContainsAny(text, "xXpP_nN") {
			return json.Number(text)
		}
	case "boolean":
		if text == "true" || text == "false" {
			return text == "true"
		}
	}
	return text
}

// shapeFaults turns what the schema library found into faults of our own words.
func shapeFaults(err error, prefix string) (domain.Faults, error) {
	var invalid *jsonschema.ValidationError
	if !errors.As(err, &invalid) {
		return nil, fmt.Errorf("hold against the contract: %w", err)
	}
	var faults domain.Faults
	collect(invalid, prefix, &faults)
	return faults, nil
}

func collect(e *jsonschema.ValidationError, prefix string, faults *domain.Faults) {
	if len(e.Causes) > 0 {
		_, choice := e.ErrorKind.(*kind.AnyOf)
		for _, cause := range e.Causes {
			// Of a value or null, only what is wrong with the value is worth saying.
			if t, isType := cause.ErrorKind.(*kind.Type); choice && isType && len(t.Want) == 1 && t.Want[0] == "null" {
				continue
			}
			collect(cause, prefix, faults)
		}
		return
	}
	at := prefix + pointer(e.InstanceLocation)
	switch k := e.ErrorKind.(type) {
	case *kind.Required:
		for _, name := range k.Missing {
			faults.Add(at+pointer([]string{name}), "missing", "is needed")
		}
	case *kind.AdditionalProperties:
		for _, name := range k.Properties {
			faults.Add(at+pointer([]string{name}), "unknown_member", "there is no such member here")
		}
	case *kind.Type:
		faults.Add(at, "wrong_type", "is %s and should be %s", k.Got, strings.Join(k.Want, " or "))
	case *kind.Enum:
		faults.Add(at, "not_in_list", "%s is not one of %s", short(k.Got), short(k.Want))
	case *kind.Format:
		faults.Add(at, "wrong_form", "%s is not a valid %s", short(k.Got), k.Want)
	case *kind.Pattern:
		faults.Add(at, "wrong_form", "%s is not of the form asked for", short(k.Got))
	case *kind.Minimum:
		faults.Add(at, "too_small", "is below %s", k.Want.RatString())
	case *kind.Maximum:
		faults.Add(at, "too_large", "is above %s", k.Want.RatString())
	case *kind.ExclusiveMinimum:
		faults.Add(at, "too_small", "must be above %s", k.Want.RatString())
	case *kind.ExclusiveMaximum:
		faults.Add(at, "too_large", "must be below %s", k.Want.RatString())
	case *kind.MinLength:
		faults.Add(at, "too_short", "has fewer than %d characters", k.Want)
	case *kind.MaxLength:
		faults.Add(at, "too_long", "has more than %d characters", k.Want)
	case *kind.MinItems:
		faults.Add(at, "too_few", "has fewer than %d entries", k.Want)
	case *kind.MaxItems:
		faults.Add(at, "too_many", "has more than %d entries", k.Want)
	default:
		faults.Add(at, "wrong_form", "does not fit the contract")
	}
}

func short(value any) string {
	text, err := json.Marshal(value)
	if err != nil || len(text) > 120 {
		return "the value"
	}
	return string(text)
}

// pointer writes a JSON Pointer (RFC 6901).
func pointer(path []string) string {
	var b strings.Builder
	for _, part := range path {
		b.WriteByte('/')
		b.WriteString(strings.NewReplacer("~", "~0", "/", "~1").Replace(part))
	}
	return b.String()
}
