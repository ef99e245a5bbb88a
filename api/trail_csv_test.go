package api

import (
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

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
	keepExport(t, "trail.csv", answer.text)
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
