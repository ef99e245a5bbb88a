package api

import (
	"encoding/csv"
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store/storetest"
)

// exported is a shipment of two lots that was received, split, merged, counted,
// thrown out in part and sent away in part.
type exported struct {
	grounds
	c                                        *caller
	first, second, child, merged, unnumbered string // lots
	otherBlock, customer                     string
	split, merge, dispatch                   string // movements
}

const (
	harmful = `=HYPERLINK("http://evil.example","Viveros")`
	gtin    = "4012345678901"
)

func newExported(c *caller) exported {
	x := exported{grounds: newGrounds(c, "Exported"), c: c}
	x.otherBlock = c.new("blocks", object{"house_id": x.house, "section_id": x.section, "name": "08", "position": 8})
	x.customer = c.new("customers", object{"name": harmful})
	cultivar := c.new("cultivars", object{
		"crop_id": x.crop, "name": "Peñíscola Ruby", "foliage": "dark", "bract_colour": "red", "gtin": gtin,
	})
	shipment := c.new("shipments", object{
		"site_id": x.site, "supplier_id": x.supplier, "expected_on": x.arrivedOn, "docked_at": "2026-08-04T03:15:00Z",
		"papers": []object{{"kind": "invoice", "number": "00417"}, {"kind": "phytosanitary_certificate", "number": "ES/28 077"}, {"kind": "other", "number": "n1"}},
	})
	lot := object{"shipment_id": shipment, "cultivar_id": cultivar, "plants": 1000, "form": "unrooted", "farm_ids": []string{x.farm}, "supplier_lot_code": "0012"}
	x.first = c.new("lots", with(lot, object{"code": "07-01"}))
	x.second = c.new("lots", with(lot, object{"code": "+31 B", "farm_ids": []string{}})) // not a batch number as GS1 has them
	x.unnumbered = c.new("lots", with(lot, object{"code": "07-03", "cultivar_id": x.cultivar}))
	x.shipment = shipment
	move := func(lot, kind, at string, plants int, more object) string {
		return c.new("movements", with(object{"lot_id": lot, "kind": kind, "moved_at": at, "plants": plants}, more))
	}
	move(x.first, "receive", "2026-08-04T04:00:00Z", 990, nil)
	move(x.first, "stick", "2026-08-05T14:00:00Z", 900, object{"to_block_id": x.block})
	move(x.second, "stick", "2026-08-05T15:00:00Z", 1000, object{"to_block_id": x.block})
	move(x.first, "root", "2026-08-25T14:00:00Z", 900, object{"rooted": 850})
	x.child = storetest.NewID(c.t).String()
	x.split = move(x.first, "split", "2026-09-01T14:00:00Z", 300, object{"parts": []object{
		{"lot_id": x.child, "plants": 200, "from_block_id": x.block, "to_block_id": x.otherBlock},
		{"lot_id": x.child, "plants": 100, "from_block_id": x.block},
	}})
	x.merged = storetest.NewID(c.t).String()
	x.merge = move(x.merged, "merge", "2026-09-02T14:00:00Z", 700, object{"parts": []object{
		{"lot_id": x.first, "plants": 400, "from_block_id": x.block, "to_block_id": x.otherBlock},
		{"lot_id": x.second, "plants": 300, "from_block_id": x.block, "to_block_id": x.otherBlock},
	}})
	move(x.second, "pot", "2026-09-03T14:00:00Z", 700, object{"from_block_id": x.block, "to_block_id": x.block})
	move(x.child, "move", "2026-09-04T14:00:00Z", 50, object{"from_block_id": x.block, "to_block_id": x.otherBlock})
	move(x.second, "count", "2026-09-05T14:00:00Z", 690, object{"from_block_id": x.block})
	move(x.second, "discard", "2026-09-06T14:00:00Z", 40, object{"from_block_id": x.block, "reason": "-rot", "paper_number": "D 1"})
	x.dispatch = move(x.merged, "dispatch", "2026-10-02T03:30:00Z", 500, object{
		"from_block_id": x.otherBlock, "customer_id": x.customer, "paper_number": "000123",
	})
	return x
}

func (x exported) ask(kind, from, id, way string) outcome {
	answer := x.c.do(http.MethodGet, "/trail/"+kind+"?from="+from+"&id="+id+"&way="+way, nil)
	require.Equal(x.c.t, http.StatusOK, answer.status, answer.text)
	return answer
}

// table reads the table back by column.
func (x exported) table(from, id, way string) []map[string]string {
	answer := x.ask("csv", from, id, way)
	text, marked := strings.CutPrefix(answer.text, "\xef\xbb\xbf")
	require.True(x.c.t, marked, "spreadsheets need the byte order mark")
	require.Equal(x.c.t, strings.Count(text, "\n"), strings.Count(text, "\r\n"))
	lines, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(x.c.t, err)
	var rows []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func rowsOf(rows []map[string]string, what string) []map[string]string {
	return slices.DeleteFunc(slices.Clone(rows), func(r map[string]string) bool { return r["what"] != what })
}

func TestATrailIsATableWithOneRowForEachThingThatIsSo(t *testing.T) {
	t.Parallel()
	x := newExported(run(t).newOwner(t, "Exporter"))
	answer := x.ask("csv", "shipment", x.shipment, "forward")
	require.Regexp(t, `^attachment; filename="trail-shipment-\d{4}-\d\d-\d\d\.csv"$`, answer.header.Get("Content-Disposition"))
	if keep := os.Getenv("BENCHTRAIL_KEEP_EXPORTS"); keep != "" {
		require.NoError(t, os.WriteFile(filepath.Join(keep, "trail.csv"), []byte(answer.text), 0o600))
	}
	rows := x.table("shipment", x.shipment, "forward")

	received := rowsOf(rows, "received")
	require.Len(t, received, 3)
	first := received[slices.IndexFunc(received, func(r map[string]string) bool { return r["lot_code"] == `="07-01"` })]
	require.Equal(t, map[string]string{
		"what": "received", "lot_code": `="07-01"`, "cultivar": "Peñíscola Ruby", "foliage": "dark", "supplier": "Exported cuttings",
		"farms": "Exported farm", "farm_certain": "yes", "supplier_lot_code": `="0012"`, "arrived_on": "2026-08-03",
		"papers": "invoice 00417; phytosanitary certificate ES/28 077; other n1", "site": "Exported site", "house": "", "block": "",
		"plants": "990", "on": "2026-08-03", "customer": "", "paper_number": "", "reason": "", "while_held": "", "parent_or_child_code": "",
		"cannot_rule_out": "no",
	}, first, "the dock's clock shows the 3rd of August while London has the 4th")

	sent := rowsOf(rows, "dispatched")
	require.Len(t, sent, 1)
	require.Equal(t, "500", sent[0]["plants"])
	require.Equal(t, "2026-10-01", sent[0]["on"])
	require.Equal(t, `="000123"`, sent[0]["paper_number"])
	require.Equal(t, `="08"`, sent[0]["block"])
	require.Equal(t, `="=HYPERLINK(""http://evil.example"",""Viveros"")"`, sent[0]["customer"])
	require.Equal(t, `="-rot"`, rowsOf(rows, "discarded")[0]["reason"])
	require.Equal(t, `="+31 B"`, rowsOf(rows, "discarded")[0]["lot_code"])
	require.Len(t, rowsOf(rows, "became"), 3)
	standing := 0
	for _, row := range rowsOf(rows, "standing") {
		plants, err := strconv.Atoi(row["plants"])
		require.NoError(t, err)
		standing += plants
	}
	require.Equal(t, x.c.get("/trail?from=shipment&id=" + x.shipment)["balance"].(object)["on_hand"], float64(standing))
	for _, row := range rows {
		for column, cell := range row {
			require.NotRegexp(t, `^[-+@\t\r]|^=[^"]`, cell, column)
		}
	}
}

func TestATableOfAFarmSaysWhatCannotBeRuledOut(t *testing.T) {
	t.Parallel()
	x := newExported(run(t).newOwner(t, "Exporter"))
	rows := x.table("farm", x.farm, "forward")
	doubtful := slices.DeleteFunc(slices.Clone(rows), func(r map[string]string) bool { return r["cannot_rule_out"] != "yes" })
	require.NotEmpty(t, doubtful)
	for _, row := range doubtful {
		require.Equal(t, `="+31 B"`, row["lot_code"])
		require.Equal(t, "no", row["farm_certain"])
	}
	require.Len(t, rowsOf(doubtful, "received"), 1)
	require.Len(t, rowsOf(doubtful, "standing"), 1, "where they are now is said")
	require.Len(t, rowsOf(doubtful, "discarded"), 1)
	require.Len(t, rowsOf(doubtful, "became"), 1, "and that some were merged into a lot of the trail")
}

func TestTextOfPeopleStaysAsItIsInASpreadsheet(t *testing.T) {
	t.Parallel()
	for text, cell := range map[string]string{
		"": "", "Peñíscola": "Peñíscola", "M36-1": "M36-1", "Ruby 2 and 3": "Ruby 2 and 3", " spaced\n out ": "spaced  out",
		"07-01": `="07-01"`, "0012": `="0012"`, "1E5": `="1E5"`, "3/4": `="3/4"`, "Mar 5": `="Mar 5"`, "sept-10": `="sept-10"`,
		"=1+1": `="=1+1"`, "+1": `="+1"`, "-1": `="-1"`, "@sum": `="@sum"`, "\t=1": `="=1"`, `"a`: `="""a"`, "＝1": `="＝1"`,
		"=" + strings.Repeat("x", 300): "'=" + strings.Repeat("x", 300),
	} {
		require.Equal(t, cell, textCell(text), "%q", text)
	}
}

// document reads the events back after holding them against the published rules.
func (x exported) document(from, id, way string) (object, []object) {
	t := x.c.t
	answer := x.ask("epcis", from, id, way)
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
	document, events := x.document("shipment", x.shipment, "forward")
	if keep := os.Getenv("BENCHTRAIL_KEEP_EXPORTS"); keep != "" {
		text, err := json.MarshalIndent(document, "", "  ")
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(keep, "trail.jsonld"), text, 0o600))
	}
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

func TestTheEventsAgreeWithTheBook(t *testing.T) {
	t.Parallel()
	x := newExported(run(t).newOwner(t, "Exporter"))
	document, events := x.document("shipment", x.shipment, "forward")
	byLot := sums(t, events)
	names := map[string]string{}
	for _, v := range objects(t, document["epcisHeader"].(object)["epcisMasterData"].(object)["vocabularyList"]) {
		if v["type"] == "urn:epcglobal:epcis:vtype:EPCClass" {
			for _, e := range objects(t, v["vocabularyElementList"]) {
				names[objects(t, e["attributes"])[0]["attribute"].(string)] = e["id"].(string)
			}
		}
	}
	lots := objects(t, x.c.get("/trail?from=shipment&id=" + x.shipment)["lots"])
	require.Len(t, lots, 5)
	for _, lot := range lots {
		tally, sum := lot["tally"].(object), byLot[names[lot["code"].(string)]]
		require.InDelta(t, tally["received"], sum["receiving"]+sum["in"], 0, lot["code"])
		require.InDelta(t, tally["discarded"], sum["destroying"], 0, lot["code"])
		require.InDelta(t, tally["dispatched"], sum["shipping"], 0, lot["code"])
		require.InDelta(t, tally["split_off"].(float64)+tally["merged_away"].(float64), sum["out"], 0, lot["code"])
	}
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
