package api

import (
	"archive/zip"
	"encoding/csv"
	"encoding/xml"
	"io"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
)

// reviewed is a season of two suppliers and two farms, with a claim, and the one before.
type reviewed struct {
	estate
	otherSupplier, lastSeason string
}

func newReviewed(c *caller) reviewed {
	x := reviewed{estate: newEstate(c)}
	x.otherSupplier = c.new("suppliers", object{"name": "07-01"})
	shipment := c.new("shipments", object{
		"site_id": x.site, "supplier_id": x.otherSupplier, "expected_on": "2026-08-10", "left_at": "2026-08-07T16:00:00Z", "docked_at": "2026-08-10T15:00:00Z",
	})
	cultivar := c.new("cultivars", object{"crop_id": x.grounds.crop, "name": "=SUM(A1)", "foliage": "dark"})
	lot := c.new("lots", object{"shipment_id": shipment, "cultivar_id": cultivar, "plants": 500})
	c.new("inspections", object{
		"lot_id": lot, "kind": "dock", "inspected_at": "2026-08-10T17:00:00Z", "lens_power": 10,
		"findings": []object{{"organism_id": x.organism, "plants_looked_at": 60, "infested_plants": 3}},
	})
	c.new("movements", object{"lot_id": lot, "kind": "stick", "moved_at": "2026-08-11T14:00:00Z", "plants": 500, "to_block_id": x.block})
	c.new("movements", object{"lot_id": lot, "kind": "root", "moved_at": "2026-09-07T14:00:00Z", "plants": 500, "rooted": 450})
	c.new("movements", object{"lot_id": lot, "kind": "discard", "moved_at": "2026-09-08T14:00:00Z", "plants": 50, "from_block_id": x.block, "reason": "not rooted"})
	c.new("claims", object{
		"shipment_id": shipment, "items": []object{{"lot_id": lot, "what": "dead", "plants": 40}}, "sent_at": "2026-08-10T20:00:00Z", "sent_by": "e-mail",
		"answered_at": "2026-08-12T20:00:00Z", "answer": "granted", "credit": object{"amount": "35.5", "currency": "USD"},
	})
	customer := c.new("customers", object{"name": "Shop"})
	c.new("movements", object{"lot_id": lot, "kind": "dispatch", "moved_at": "2026-09-10T14:00:00Z", "plants": 100, "from_block_id": x.block, "customer_id": customer})

	x.lastSeason = c.new("seasons", object{"crop_id": x.grounds.crop, "year": 2025, "starts_on": "2025-06-15", "ends_on": "2025-12-18"})
	old := c.new("shipments", object{
		"site_id": x.site, "supplier_id": x.otherSupplier, "expected_on": "2025-08-11", "left_at": "2025-08-08T16:00:00Z", "docked_at": "2025-08-11T15:00:00Z",
	})
	oldLot := c.new("lots", object{"shipment_id": old, "cultivar_id": cultivar, "plants": 300})
	c.new("movements", object{"lot_id": oldLot, "kind": "stick", "moved_at": "2025-08-12T14:00:00Z", "plants": 300, "to_block_id": x.block})
	c.new("looks", x.tally(oldLot, x.block, "2025-09-01", 6, 60))
	c.new("movements", object{"lot_id": oldLot, "kind": "discard", "moved_at": "2025-12-10T14:00:00Z", "plants": 300, "from_block_id": x.block, "reason": "end"})
	return x
}

func groupOf(t *testing.T, review object, key string) object {
	t.Helper()
	for _, g := range objects(t, review["groups"]) {
		if g["key"] == key {
			return g
		}
	}
	require.FailNow(t, "no group "+key)
	return nil
}

func TestASeasonIsReviewedBySupplierAgainstTheOneBefore(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	x := newReviewed(c)
	review := c.get("/season-review?by=supplier")
	require.Equal(t, []any{x.season, 2026.0, x.lastSeason, 2025.0}, ofLine(review, "season_id", "season_year", "last_season_id", "last_season_year"))
	other := groupOf(t, review, x.otherSupplier)
	now := other["now"].(object)
	require.Equal(t, []any{"07-01", 1.0, 500.0, 100.0, 350.0}, []any{other["label"], now["lots"], now["plants_received"], now["dispatched"], now["standing"]})
	require.Equal(t, []any{3.0, 60.0, 5.0}, ofLine(now["dock"].(object), "count", "of", "percent"))
	require.Equal(t, []any{450.0, 500.0, 90.0}, ofLine(now["strike"].(object), "count", "of", "percent"))
	require.Equal(t, []any{50.0, 500.0, 10.0}, ofLine(now["loss"].(object), "count", "of", "percent"))
	require.Equal(t, object{
		"claims": 1.0, "answered": 1.0, "shared": 0.0, "plants": 40.0, "granted": []any{object{"amount": "35.50", "currency": "USD"}},
	}, now["claims"])
	require.Nil(t, now["peak"], "nothing of it was looked at in a block")
	last := other["last"].(object)
	require.Equal(t, []any{300.0, 1.0}, ofLine(last, "plants_received", "weeks_looked"))
	require.Equal(t, []any{"2025-W36", 6.0, 60.0}, ofLine(last["peak"].(object), "week", "infested_plants", "plants_looked_at"))

	first := groupOf(t, review, x.supplier)["now"].(object)
	weekly := c.get("/trends?by=supplier")
	for _, g := range objects(t, weekly["groups"]) {
		if g["key"] == x.supplier {
			points := objects(t, g["points"])
			require.Contains(t, points, first["peak"], "a peak is a point of the trends")
		}
	}
	require.Equal(t, []any{3.0, 3.0}, ofLine(first, "weeks_looked", "weeks_judged"), "of today's week the round is not over; in the others a limit held")
	whole := review["whole"].(object)["now"].(object)
	require.Equal(t, []any{100.0, 1.0}, []any{whole["dispatched"], whole["claims"].(object)["claims"]})
	require.NotEmpty(t, review["origin"].(object)["code"])
}

func TestASeasonIsReviewedByEverythingThatIsAskedFor(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	x := newReviewed(c)
	require.Equal(t, "2026-08-10", groupOf(t, c.get("/season-review?by=arrival"), "2026-08-10")["label"])
	require.NotEmpty(t, groupOf(t, c.get("/season-review?by=farm"), "")["now"], "lots of no known farm")
	require.Len(t, objects(t, c.get("/season-review?by=cultivar&season_id=" + x.lastSeason)["groups"]), 1)
	far := groupOf(t, c.get("/season-review?by=house"), x.farHouse)
	require.Equal(t, []any{"Far house", "Beyond"}, ofLine(far, "label", "sub_label"))
	require.Equal(t, []any{80.0, 1600.0}, ofLine(far["now"].(object)["loss"].(object), "count", "of"))
	require.Equal(t, 1520.0, far["now"].(object)["standing"])
	require.Len(t, objects(t, c.get("/season-review?by=house&site_id=" + x.beyond)["groups"]), 1)
}

func TestWhoSeesWhichSeason(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	x := newReviewed(c)
	const address = "/season-review?by=supplier"
	second := r.signedIn(t, r.person(t, owner, "Second", store.SiteRole{Role: store.Owner}))
	require.Equal(t, c.get(address), second.get(address))
	ofOneSite := r.signedIn(t, r.person(t, owner, "Ona", store.SiteRole{Role: store.Owner, SiteID: idOf(t, x.beyond)}))
	require.Len(t, objects(t, ofOneSite.get(address)["groups"]), 1)
	requireRefused(t, r.stranger(t).do(http.MethodGet, address, nil), http.StatusUnauthorized, "sign_in")
	elsewhere := r.newOwner(t, "Elsewhere")
	require.Empty(t, elsewhere.get(address)["groups"])
	for _, kind := range []string{"csv", "xlsx"} {
		require.Equal(t, http.StatusOK, elsewhere.do(http.MethodGet, "/season-review/"+kind+"?by=farm", nil).status, "also with no season at all")
	}
}

func TestASeasonIsATableForSpreadsheets(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	newReviewed(c)
	out := c.do(http.MethodGet, "/season-review/csv?by=supplier", nil)
	require.Equal(t, `attachment; filename="season-2026-supplier.csv"`, out.header.Get("Content-Disposition"))
	lines, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(out.text, byteOrderMark))).ReadAll()
	require.NoError(t, err)
	row := lineOfGroup(lines, "2026", `="07-01"`)
	require.Equal(t, []string{"50", "500", "10.00", "35.50 USD"}, []string{row["loss_count"], row["loss_of"], row["loss_percent"], strings.Trim(row["granted"], `="`)})
	require.Equal(t, []string{"2025-W36", "6", "60"}, func() []string {
		old := lineOfGroup(lines, "2025", `="07-01"`)
		return []string{strings.Trim(old["peak_week"], `="`), old["peak_infested"], old["peak_looked_at"]}
	}())
	require.NotEmpty(t, lineOfGroup(lines, "2026", "all"))
}

// lineOfGroup gives the line of a season and group by its columns.
func lineOfGroup(lines [][]string, season, group string) map[string]string {
	for _, line := range lines[1:] {
		if line[0] == season && line[1] == group {
			by := map[string]string{}
			for i, name := range lines[0] {
				by[name] = line[i]
			}
			return by
		}
	}
	return nil
}

// The workbook is read here by ECMA-376, part 1, sections 12.3 and 18.3, and not by what
// wrote it: a zip of parts, a sheet of rows of cells, each with its reference and type.
func TestAWorkbookIsReadByAnotherReader(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	newReviewed(c)
	out := c.do(http.MethodGet, "/season-review/xlsx?by=cultivar", nil)
	require.Equal(t, http.StatusOK, out.status)
	sheet := readSheet(t, out.text, 1)
	require.Equal(t, []string{"season", "group", "of"}, sheet[0][:3])
	row := lineOfGroup(sheet, "2026", "=SUM(A1)")
	require.Equal(t, []string{"450", "500", "90"}, []string{row["strike_count"], row["strike_of"], row["strike_percent"]})
	require.NotContains(t, out.text, "<f>", "what looks like a formula is none")
	means := readSheet(t, out.text, 2)
	require.Len(t, means, len(sheet[0])+1, "every column is explained")
}

// readSheet reads a sheet of a workbook into rows, with "" for cells that are not there.
func readSheet(t *testing.T, content string, number int) [][]string {
	t.Helper()
	book, err := zip.NewReader(strings.NewReader(content), int64(len(content)))
	require.NoError(t, err)
	part := func(name string, into any) {
		file, err := book.Open(name)
		require.NoError(t, err)
		defer file.Close()
		text, err := io.ReadAll(file)
		require.NoError(t, err)
		require.NotContains(t, string(text), "<f>")
		require.NoError(t, xml.Unmarshal(text, into))
	}
	var sheet struct {
		Rows []struct {
			Cells []struct {
				Ref    string `xml:"r,attr"`
				Type   string `xml:"t,attr"`
				Value  string `xml:"v"`
				Inline string `xml:"is>t"`
			} `xml:"c"`
		} `xml:"sheetData>row"`
	}
	part("xl/worksheets/sheet"+strconv.Itoa(number)+".xml", &sheet)
	rows := make([][]string, len(sheet.Rows))
	for i, row := range sheet.Rows {
		for _, cell := range row.Cells {
			column := 0
			for _, letter := range strings.TrimRight(cell.Ref, "0123456789") {
				column = 26*column + int(letter-'A') + 1
			}
			for len(rows[i]) < column {
				rows[i] = append(rows[i], "")
			}
			require.Contains(t, []string{"", "n", "inlineStr"}, cell.Type)
			rows[i][column-1] = cell.Value + cell.Inline
		}
		for len(rows[i]) < len(rows[0]) {
			rows[i] = append(rows[i], "")
		}
	}
	return rows
}
