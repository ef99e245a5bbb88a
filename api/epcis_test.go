package api

import (
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store/storetest"
)

// document reads the events back after holding them against the published rules.
func (x exported) document(from, id, way string) (object, []object) {
	t := x.c.t
	answer := x.ask("epcis", from, id, way)
	keepExport(t, "trail-"+from+"-"+way+".jsonld", answer.text)
	require.NoError(t, epcisSchema(t).Validate(parsed(t, answer.text)), answer.text)
	document := answer.object(t)
	return document, objects(t, document["epcisBody"].(object)["eventList"])
}

func epcisSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	schema, err := compiler.Compile("../testdata/epcis/schema.json")
	require.NoError(t, err)
	return schema
}

func parsed(t *testing.T, text string) any {
	t.Helper()
	value, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	require.NoError(t, err)
	return value
}

func TestATrailIsAnEPCISDocument(t *testing.T) {
	t.Parallel()
	x := newExported(run(t).newOwner(t, "Exporter"))
	_, events := x.document("shipment", x.shipment, "forward")
	one := func(id string) object {
		at := slices.IndexFunc(events, func(e object) bool { return e["eventID"] == "urn:uuid:"+id })
		require.GreaterOrEqual(t, at, 0, id)
		return events[at]
	}
	first, numbered := "https://id.gs1.org/01/0"+gtin+"/10/07-01", x.c.url+"/l/"+x.second
	quantity := func(class string, plants float64) object { return object{"epcClass": class, "quantity": plants} }

	sent := one(x.dispatch)
	require.Equal(t, "shipping", sent["bizStep"])
	require.Equal(t, "2026-10-01T22:30:00-05:00", sent["eventTime"])
	require.Equal(t, "-05:00", sent["eventTimeZoneOffset"])
	require.Equal(t, object{"id": x.c.url + "/b/" + x.otherBlock}, sent["readPoint"])
	require.Equal(t, []any{object{"type": "possessing_party", "destination": x.c.url + "/customers/" + x.customer}}, sent["destinationList"])
	require.Equal(t, []any{object{"type": "desadv", "bizTransaction": x.c.url + "/papers/" + x.customer + "/delivery_note/000123"}}, sent["bizTransactionList"])

	uncounted := one(x.second)
	require.Equal(t, "receiving", uncounted["bizStep"], "nobody counted it at the dock: it came as its papers say")
	require.Equal(t, []any{quantity(numbered, 1000)}, uncounted["quantityList"], "its code is no batch number")
	papers := objects(t, uncounted["bizTransactionList"])
	require.Equal(t, []any{"inv", "cert", nil}, []any{papers[0]["type"], papers[1]["type"], papers[2]["type"]})
	require.True(t, strings.HasSuffix(papers[1]["bizTransaction"].(string), "/ES%2F28%20077"))

	merge := one(x.merge)
	require.Equal(t, []any{quantity(first, 400), quantity(numbered, 300)}, merge["inputQuantityList"])
	require.Nil(t, merge["transformationID"])
	var halves []object
	for _, e := range events {
		if e["transformationID"] == "urn:uuid:"+x.split {
			halves = append(halves, e)
		}
	}
	require.Len(t, halves, 2, "its plants went to two places")
	require.NotEqual(t, halves[0]["eventID"], halves[1]["eventID"])
	require.True(t, slices.IsSortedFunc(events, func(a, b object) int {
		return strings.Compare(a["eventTime"].(string), b["eventTime"].(string))
	}))
	_, again := x.document("lot", x.first, "forward")
	for _, e := range again {
		require.Contains(t, events, e, "an event is the same in every export")
	}
}

// sums adds up what the events say of each lot, by what was done.
func sums(t *testing.T, events []object) map[string]map[string]float64 {
	t.Helper()
	all := map[string]map[string]float64{}
	add := func(what string, list any) {
		if list == nil {
			return
		}
		for _, q := range objects(t, list) {
			class := q["epcClass"].(string)
			if all[class] == nil {
				all[class] = map[string]float64{}
			}
			all[class][what] += q["quantity"].(float64)
		}
	}
	for _, e := range events {
		add(e["bizStep"].(string), e["quantityList"])
		add("out", e["inputQuantityList"])
		add("in", e["outputQuantityList"])
	}
	return all
}

// requireAgrees holds the sums of the events against the book, lot by lot, and gives
// the number of lots.
func (x exported) requireAgrees(from, id string) int {
	t := x.c.t
	document, events := x.document(from, id, "forward")
	byLot := sums(t, events)
	names := map[string]string{}
	for _, v := range objects(t, document["epcisHeader"].(object)["epcisMasterData"].(object)["vocabularyList"]) {
		if v["type"] == "urn:epcglobal:epcis:vtype:EPCClass" {
			for _, e := range objects(t, v["vocabularyElementList"]) {
				names[objects(t, e["attributes"])[0]["attribute"].(string)] = e["id"].(string)
			}
		}
	}
	lots := objects(t, x.c.get("/trail?from=" + from + "&id=" + id)["lots"])
	for _, lot := range lots {
		tally, sum := lot["tally"].(object), byLot[names[lot["code"].(string)]]
		require.InDelta(t, tally["received"], sum["receiving"]+sum["in"], 0, lot["code"])
		require.InDelta(t, tally["discarded"], sum["destroying"], 0, lot["code"])
		require.InDelta(t, tally["dispatched"], sum["shipping"], 0, lot["code"])
		require.InDelta(t, tally["split_off"].(float64)+tally["merged_away"].(float64), sum["out"], 0, lot["code"])
	}
	return len(lots)
}

func TestTheEventsAgreeWithTheBook(t *testing.T) {
	t.Parallel()
	x := newExported(run(t).newOwner(t, "Exporter"))
	require.Equal(t, 5, x.requireAgrees("shipment", x.shipment))
	require.Equal(t, 6, x.requireAgrees("supplier", x.supplier))
}

func TestWhatIsNotInTheBookIsNotExported(t *testing.T) {
	t.Parallel()
	r := run(t)
	f := storetest.Fill(t, r.store, "Fernhollow")
	x := exported{c: r.signedIn(t, f.Owner)}
	require.Equal(t, 3, x.requireAgrees("supplier", f.Supplier.String()))
	_, events := x.document("supplier", f.Supplier.String(), "forward")
	require.Len(t, events, 4, "two arrivals, one stuck, one split")
	require.NotContains(t, x.ask("epcis", "supplier", f.Supplier.String(), "forward").text, f.TooMany.String(), "it is a conflict")
	require.Empty(t, rowsOf(x.table("supplier", f.Supplier.String(), "forward"), "dispatched"))
}

func TestATrailBackTellsNobodyWhereElsePlantsWent(t *testing.T) {
	t.Parallel()
	x := newExported(run(t).newOwner(t, "Exporter"))
	other := x.c.new("customers", object{"name": "Somebody else"})
	elsewhere := x.c.new("movements", object{
		"lot_id": x.first, "kind": "dispatch", "moved_at": "2026-09-20T14:00:00Z", "plants": 50, "from_block_id": x.block, "customer_id": other,
	})
	for _, kind := range []string{"csv", "epcis"} {
		require.Contains(t, x.ask(kind, "lot", x.first, "forward").text, map[string]string{"csv": "Somebody else", "epcis": elsewhere}[kind])
		back := x.ask(kind, "dispatch", x.dispatch, "back").text
		require.NotContains(t, back, "Somebody else")
		require.NotContains(t, back, elsewhere)
	}
	_, events := x.document("dispatch", x.dispatch, "back")
	require.InDelta(t, 1990, sums(t, events)["https://id.gs1.org/01/0"+gtin+"/10/07-01"]["receiving"]+
		sums(t, events)[x.c.url+"/l/"+x.second]["receiving"], 0)
}

func TestABrokenEventDoesNotPass(t *testing.T) {
	t.Parallel()
	x := newExported(run(t).newOwner(t, "Exporter"))
	text := x.ask("epcis", "shipment", x.shipment, "forward").text
	schema := epcisSchema(t)
	require.NoError(t, schema.Validate(parsed(t, text)))
	for sound, broken := range map[string]string{
		`"action":"DELETE"`:                       `"action":"REMOVE"`,
		`"bizStep":"shipping"`:                    `"bizStep":"dispatching"`,
		`"bizStep":"storing"`:                     `"bizStep":"urn:epcglobal:cbv:bizstep:storing"`,
		`"eventTimeZoneOffset":"-05:00"`:          `"eventTimeZoneOffset":"-5:00"`,
		`"inputQuantityList":`:                    `"inputs":`,
		`"epcClass":"https://id.gs1.org/`:         `"epcClass":"id gs1 org/`,
		`"type":"desadv"`:                         `"type":"delivery note"`,
		`"schemaVersion":"2.0",`:                  ``,
		`"eventTime":"2026-10-01T22:30:00-05:00"`: `"eventTime":"1 October"`,
	} {
		require.Contains(t, text, sound)
		require.Error(t, schema.Validate(parsed(t, strings.Replace(text, sound, broken, 1))), broken)
	}
}
