package api

import (
	"encoding/json"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchtrail/api/store/storetest"
)

// Odd values that a phone, a script or somebody with bad intent may send.
var oddValues = []any{
	nil, true, -1, 0, 1, 1.5, json.Number("1e0"), json.Number("48.0"), json.Number("1e300"), json.Number("-0.0"), 1 << 40, "", " ", "x", "\u0000", "\u202eé😀",
	strings.Repeat("n", 5000),
	[]any{},
	object{},
	[]any{nil},
	[]any{object{}},
	object{"": nil},
	"2026-08-12", "2026-02-30", "1990-01-01", "2200-12-31", "0001-01-01", "9999-12-31", "2026-08-12T15:30:00Z", "2026-08-12t15:30:00z",
	"2026-08-12T15:30:00.123456789+14:00", "1990-01-01T00:00:00-12:00", "2200-12-31T23:59:59+12:00", "2016-12-31T23:59:60Z", "2026-08-12 15:30:00Z",
	nobody, allZeros, strings.ToUpper(nobody), "{" + nobody + "}", "urn:uuid:" + nobody,
	"UTC", "US/Central", "EST5EDT", "+02", "posixrules", "../../etc/passwd", "America/Argentina/ComodRivadavia",
	"owner@x.test", "not an address", "light", "adult", "alive", "accept", "stick", "planned", "second_look", "dark",
}

// change replaces one part somewhere in a value, or takes it away.
func change(rt *rapid.T, value any) any {
	switch v := value.(type) {
	case object:
		names := slices.Sorted(maps.Keys(v))
		if len(names) == 0 || rapid.IntRange(0, 9).Draw(rt, "stop") == 0 {
			break
		}
		name := rapid.SampledFrom(names).Draw(rt, "member")
		if rapid.IntRange(0, 9).Draw(rt, "leave out") == 0 {
			return with(v, object{name: nil})
		}
		changed := maps.Clone(v)
		changed[name] = change(rt, v[name])
		return changed
	case []any:
		if len(v) == 0 || rapid.IntRange(0, 4).Draw(rt, "stop") == 0 {
			break
		}
		i := rapid.IntRange(0, len(v)-1).Draw(rt, "entry")
		changed := slices.Clone(v)
		changed[i] = change(rt, v[i])
		if rapid.IntRange(0, 9).Draw(rt, "double") == 0 {
			changed = append(changed, v[i])
		}
		return changed
	}
	return rapid.SampledFrom(oddValues).Draw(rt, "value")
}

func TestNoBodyBreaksTheServiceAndWhatIsStoredCanBeRead(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	f := newFirstborn(c)
	bodies := map[string]any{}
	for nouns, x := range f.records {
		if nouns == "accounts" || nouns == "tokens" {
			continue // a password takes its time
		}
		text, err := json.Marshal(x.body)
		require.NoError(t, err)
		var plain any
		require.NoError(t, json.Unmarshal(text, &plain))
		bodies[nouns] = plain
	}
	bodies["shipments"].(object)["boxes"] = []any{object{"label": "1", "temperature_c": 18.5, "cultivar_ids": []any{f.cultivar}}}
	bodies["shipments"].(object)["order_lines"] = []any{object{"cultivar_id": f.cultivar, "ordered": 10, "invoiced": 9}}
	bodies["shipments"].(object)["papers"] = []any{object{"kind": "invoice", "number": "1"}}
	nouns := slices.Sorted(maps.Keys(bodies))
	kept := map[int]int{}
	rapid.Check(t, func(rt *rapid.T) {
		for range 5 {
			noun := rapid.SampledFrom(nouns).Draw(rt, "noun")
			body := bodies[noun]
			for range rapid.IntRange(1, 2).Draw(rt, "changes") {
				body = change(rt, body)
			}
			path := "/" + noun + "/" + storetest.NewID(t).String()
			before := r.revisions(t)
			answer := c.do(http.MethodPut, path, body)
			kept[answer.status]++
			if answer.status >= http.StatusInternalServerError {
				rt.Fatalf("PUT %s %v: %s\n%s", path, body, answer.text, r.log)
			}
			if answer.status >= http.StatusBadRequest {
				require.Equal(rt, before, r.revisions(t), "refused and yet stored: %v", body)
				continue
			}
			require.Equal(rt, http.StatusOK, c.do(http.MethodGet, path, nil).status)
		}
	})
	for _, noun := range nouns { // every page can be read, answers keep the contract
		everyPage(t, c, "/"+noun+"?limit=200")
	}
	for _, by := range schemaEnum(t, "TrendBy") {
		for _, season := range c.items("/seasons?limit=200") {
			c.get("/trends?by=" + by.(string) + "&season_id=" + season["id"].(string))
		}
	}
	c.get("/daybook?site_id=" + f.site)
	c.get("/second-looks?site_id=" + f.site)
	c.get("/dock-plan?minutes=60&site_id=" + f.site)
	require.Positive(t, kept[http.StatusCreated], "%v", kept)
	t.Log("answers by status: ", kept)
}

func TestNoAddressBreaksTheService(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	f := newFirstborn(c)
	values := []string{
		"", "0", "-1", "1", "1e9", "1e999", "NaN", "Inf", "0x10", "1_0", "%00", "%ff", "%zz", "a;b", "'", "lot", "2026-W33", "2026-W53", "2026-08-12",
		"2026-08-12T15:30:00Z", "2026-08-12T15:30:00%2B02:00", nobody, allZeros, f.lot, f.site, strings.Repeat("A", 400), "true", "IiI",
	}
	ops := []operation{}
	for _, op := range operationsOf(t) {
		if op.method == http.MethodGet && len(op.parameters) > 0 && len(f.addresses(op)) > 0 {
			ops = append(ops, op)
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		for range 5 {
			op := rapid.SampledFrom(ops).Draw(rt, "operation")
			address := rapid.SampledFrom(f.addresses(op)).Draw(rt, "address")
			p := rapid.SampledFrom(op.parameters).Draw(rt, "parameter")
			path, query, _ := strings.Cut(address, "?")
			others, err := url.ParseQuery(query)
			require.NoError(rt, err)
			others.Del(p.name)
			address = path + "?" + others.Encode() + "&" + p.name + "=" + rapid.SampledFrom(values).Draw(rt, "value")
			if answer := c.do(http.MethodGet, address, nil); answer.status >= http.StatusInternalServerError {
				rt.Fatalf("GET %s: %s\n%s", address, answer.text, r.log)
			}
		}
	})
	for i := range 200 { // and tokens of lists that are nearly right
		token := "AbC" + strconv.Itoa(i) + "_-"
		require.Less(t, c.do(http.MethodGet, "/placements?after="+token, nil).status, http.StatusInternalServerError)
	}
}
