package api

import (
	"encoding/json"
	"errors"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"benchtrail/domain"
)

// tidy makes a JSON value fit for what comes after the contract: a whole number
// written as a decimal becomes plain, as JSON Schema takes 48.0 for an integer
// and Go does not; texts that the database cannot hold and numbers without
// bounds are faults.
func tidy(value any, at string, faults *domain.Faults) any {
	switch v := value.(type) {
	case map[string]any:
		for name, part := range v {
			v[name] = tidy(part, at+pointer([]string{name}), faults)
		}
	case []any:
		for i, part := range v {
			v[i] = tidy(part, at+pointer([]string{strconv.Itoa(i)}), faults)
		}
	case string:
		if !storable(v) {
			faults.Add(at, "wrong_form", "has a character that cannot be stored")
		}
	case json.Number:
		number, err := v.Float64()
		if err != nil {
			faults.Add(at, "too_large", "is out of all bounds")
		}
		const exact = 1 << 53 // beyond it a float64 no longer holds every whole number
		if strings.ContainsAny(v.String(), ".eE") && number == math.Trunc(number) && math.Abs(number) < exact {
			return json.Number(strconv.FormatFloat(number, 'f', -1, 64))
		}
	}
	return value
}

// storable reports whether Postgres can hold the text: UTF-8 without NUL.
func storable(text string) bool { return utf8.ValidString(text) && !strings.ContainsRune(text, 0) }

// registerFormats makes the contract's formats mean what the domain can read.
func registerFormats(c *jsonschema.Compiler) {
	read := map[string]func(string) error{
		"uuid": func(text string) error {
			_, err := domain.ParseID(text)
			return err
		},
		"date": func(text string) error {
			d, err := domain.ParseDate(text)
			return errors.Join(err, inOurTime(d.Year()))
		},
		"clock": func(text string) error { return new(time.Time).UnmarshalText([]byte(text)) },
		"date-time": func(text string) error {
			t, err := time.Parse(time.RFC3339, text)
			return errors.Join(err, inOurTime(t.UTC().Year()))
		},
	}
	for name, check := range read {
		c.RegisterFormat(&jsonschema.Format{Name: name, Validate: func(value any) error {
			if text, ok := value.(string); ok {
				return check(text)
			}
			return nil
		}})
	}
}

var errTime = errors.New("not between 1990 and 2200")

// inOurTime refuses what only a broken clock says; seasons have the same bounds.
func inOurTime(year int) error {
	if year < 1990 || year > 2200 {
		return errTime
	}
	return nil
}
