package api

import (
	"encoding/base64"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
	"benchtrail/domain/imports"
)

const importHeading = "date,house,block,lot,organism,plants checked,infested,scout\n"

// file is the body that sends a table.
func (g grounds) file(table string) object {
	return object{"site_id": g.site, "file_name": "looks 2026.csv", "content": base64.StdEncoding.EncodeToString([]byte(table))}
}

// line is a line of a table about the block of the grounds.
func (g grounds) line(mark, day string, plants, infested int) string {
	return fmt.Sprintf("%s,%s house,%s 7,%s,TRIAVA,%d,%d,Old hand\n", day, mark, mark, g.code, plants, infested)
}

func TestAnImportIsStoredWholeCountsInTrendsAndIsUndoneAsOne(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fern")
	c.new("looks", with(g.look(), object{"lot_id": g.lot}))
	before := c.get("/trends?by=house")["groups"]
	rows := tallyRows(t, r)

	body := g.file(importHeading + g.line("Fern", "2026-08-13", 60, 12) + g.line("Fern", "2026-08-20", 40, 3))
	reading := c.do(http.MethodPost, "/import-readings", body).object(t)
	require.Empty(t, reading["faults"])
	require.InDelta(t, 2, reading["looks"], 0)
	id := storetest.NewID(t).String()
	made := c.put("/imports/"+id, body)
	require.InDelta(t, 2, made["looks"], 0)
	require.Equal(t, "2026-08-13", made["first_on"])
	require.Equal(t, made, c.put("/imports/"+id, body), "a repeat is quiet")

	looks := c.items("/looks?week=2026-W33")
	require.Len(t, looks, 2)
	var imported object
	for _, look := range looks {
		if look["import_id"] == id {
			imported = look
		}
	}
	require.InDelta(t, 2, imported["import_line"], 0)
	require.Equal(t, "Old hand", imported["observer"].(object)["name"])
	require.Equal(t, []any{object{"code": "lot_not_in_block", "settled": true}}, imported["doubts"])
	require.NotEqual(t, rows, tallyRows(t, r))
	group := objects(t, c.get("/trends?by=house")["groups"])[0]
	point := objects(t, group["points"])[0]
	require.InDelta(t, 78, point["plants_looked_at"], 0, "18 looked at here and 60 of the file")
	require.InDelta(t, 16, point["infested_plants"], 0)

	undone := c.put("/imports/"+id, object{"site_id": g.site, "file_name": "looks 2026.csv", "withdrawn_because": "wrong file"}, "If-Match", "1")
	require.Equal(t, "wrong file", undone["withdrawn_because"])
	require.Equal(t, before, c.get("/trends?by=house")["groups"])
	require.Equal(t, rows, tallyRows(t, r))
	look := c.get("/looks/" + imported["id"].(string))
	require.Equal(t, "wrong file", look["withdrawn_because"])
	require.InDelta(t, 2, look["version"], 0)
	require.Len(t, c.items("/revisions?record_id="+imported["id"].(string)), 2)
	again := c.do(http.MethodPut, "/imports/"+id, object{"site_id": g.site, "file_name": "looks 2026.csv", "withdrawn_because": "once more"}, "If-Match", "2")
	requireRefused(t, again, http.StatusUnprocessableEntity, "invalid", "/withdrawn_because")
}

func tallyRows(t *testing.T, r *running) string {
	t.Helper()
	return sql[string](t, r, `select coalesce(string_agg(t::text, e'\n' order by t::text), '') from tally t where looks > 0`)
}

func TestEveryBadLineOfAnImportIsNamedAndNothingIsStored(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fern")
	var bad, mended strings.Builder
	bad.WriteString(importHeading)
	mended.WriteString(importHeading)
	wrong := map[int]bool{}
	for i := range 2000 {
		line := g.line("Fern", fmt.Sprintf("2026-08-%02d", 10+i%14), 60, i%61)
		mended.WriteString(line)
		if i%100 == 57 {
			wrong[i+2] = true
			line = g.line("Fern", "2026-08-12", 60, 61)
		}
		bad.WriteString(line)
	}
	reading := c.do(http.MethodPost, "/import-readings", g.file(bad.String())).object(t)
	require.InDelta(t, 20, reading["bad_lines"], 0)
	for _, fault := range objects(t, reading["faults"]) {
		require.True(t, wrong[int(fault["line"].(float64))], fault)
		require.Equal(t, "more_infested_than_looked_at", fault["code"])
		require.Equal(t, "infested", fault["heading"])
	}
	revisions := r.revisions(t)
	refused := c.do(http.MethodPut, "/imports/"+storetest.NewID(t).String(), g.file(bad.String()))
	require.Equal(t, http.StatusUnprocessableEntity, refused.status)
	require.Len(t, refused.object(t)["errors"], 20)
	require.Equal(t, revisions, r.revisions(t))
	require.Zero(t, sql[int](t, r, `select count(*)::int from look`))

	c.new("imports", g.file(mended.String()))
	require.Equal(t, 2000, sql[int](t, r, `select count(*)::int from look`))
	// The tallies are the sums of the looks, as ever.
	require.Zero(t, sql[int](t, r, `select count(*)::int from (
		(select organism_id, week_start, block_id, lot_id, looks, plants, infested from tally)
		except
		(select f.organism_id, l.week_start, l.block_id, l.lot_id, count(*)::int, sum(f.plants_looked_at)::int, sum(f.infested_plants)::int
			from look l join look_finding f on f.look_id = l.id group by 1, 2, 3, 4)) odd`))

	same := c.do(http.MethodPut, "/imports/"+storetest.NewID(t).String(), g.file(mended.String()))
	requireRefused(t, same, http.StatusUnprocessableEntity, "invalid", "/content")
	require.Contains(t, same.text, "file_already_imported")
	require.Len(t, c.do(http.MethodPost, "/import-readings", g.file(mended.String())).object(t)["same"], 1)
	c.new("imports", with(g.file(mended.String()), object{"again": true}))
}

func TestAnImportMakesTheNamesOfAnEarlierSeasonWhereAPersonSaysSo(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fern")
	table := "fecha;invernadero;mesa;lote;variedad;llegada;proveedor;plaga;plantas revisadas;infestadas\r\n" +
		"20/8/2024;Nave 3;A;P-11;Brisa;5/8/2024;Viveros del Sur;TRIAVA;60;12\r\n27/8/2024;Nave 3;B;P-11;Brisa;5/8/2024;Viveros del Sur;TRIAVA;40;1\r\n"
	body := with(g.file(table), object{"make": []string{"house", "block", "supplier", "cultivar", "lot_code"}, "crop_id": g.crop})
	grower := r.signedIn(t, r.person(t, owner, "Nora", store.SiteRole{Role: store.Grower, SiteID: idOf(t, g.site)}))
	requireRefused(t, grower.do(http.MethodPut, "/imports/"+nobody, body), http.StatusUnprocessableEntity, "invalid", "/make")
	receiver := r.signedIn(t, r.person(t, owner, "Ray", store.SiteRole{Role: store.Receiver, SiteID: idOf(t, g.site)}))
	requireRefused(t, receiver.do(http.MethodPut, "/imports/"+nobody, body), http.StatusForbidden, "forbidden")

	// A grower elsewhere who only receives here brings nothing in here, and undoes nothing.
	elsewhere := c.new("sites", object{"name": "Elsewhere", "time_zone": "America/Chicago"})
	both := r.signedIn(t, r.person(t, owner, "Bo", store.SiteRole{Role: store.Receiver, SiteID: idOf(t, g.site)}, store.SiteRole{Role: store.Grower, SiteID: idOf(t, elsewhere)}))
	requireRefused(t, both.do(http.MethodPost, "/import-readings", body), http.StatusForbidden, "forbidden")
	requireRefused(t, both.do(http.MethodPut, "/imports/"+nobody, body), http.StatusForbidden, "forbidden")

	id := c.new("imports", body)
	undo := object{"site_id": elsewhere, "file_name": "looks 2026.csv", "withdrawn_because": "not mine"}
	requireRefused(t, both.do(http.MethodPut, "/imports/"+id, undo, "If-Match", "1"), http.StatusForbidden, "forbidden")
	require.InDelta(t, 6, c.get("/imports/" + id)["made"], 0)
	var lot object
	for _, x := range c.items("/lots?limit=200") {
		if x["code"] == "P-11" {
			lot = x
		}
	}
	require.InDelta(t, 60, lot["plants"], 0)
	require.NotEqual(t, g.season, lot["season_id"])
	group := objects(t, c.get("/trends?by=arrival&season_id=" + lot["season_id"].(string))["groups"])
	require.Equal(t, "2024-08-05", group[0]["key"])
	today := c.get("/daybook?site_id=" + g.site)
	for _, x := range objects(t, today["lots"]) {
		require.NotEqual(t, lot["id"], x["id"], "a lot of an earlier season stands nowhere now")
	}
	again := c.do(http.MethodPost, "/import-readings", with(body, object{"make": nil})).object(t)
	require.Empty(t, again["faults"], "what was made is found the next time")
}

func TestAFileThatIsTooLargeIsRefused(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	body := `{"content":"` + strings.Repeat("A", mostImport) + `"}`
	requireRefused(t, c.do(http.MethodPost, "/import-readings", body), http.StatusRequestEntityTooLarge, "too_large")
}

// The size that a grower with some seasons behind brings: 50,000 lines.
func BenchmarkImportOfFiftyThousandLines(b *testing.B) {
	_, program := cluster.Database(b)
	clock := &storetest.Clock{}
	clock.Set(storetest.Now())
	st := store.New(storetest.Pool(b, program), clock.Now)
	f := storetest.Fill(b, st, "Fernhollow")
	var table strings.Builder
	table.WriteString("date,house,block,organism,plants checked,infested\n")
	for i := range 50_000 {
		day := domain.NewDate(2024, time.January, 1+i%700)
		fmt.Fprintf(&table, "%s,House,%s,TRIAVA,60,%d\n", day, []string{"A", "B"}[i%2], i%61)
	}
	s := &server{Deps: Deps{Store: st, Clock: clock.Now, Entropy: strings.NewReader("")}}
	for b.Loop() {
		known, err := st.ForImport(b.Context(), f.Owner, f.Site, nil)
		require.NoError(b, err)
		zone, err := known.Site.Location()
		require.NoError(b, err)
		read := imports.Read([]byte(table.String()), known.Known, imports.Options{SiteID: f.Site, Zone: zone, Now: clock.Now(), NewID: s.idsAt(clock.Now())})
		require.Len(b, read.Looks, 50_000)
		x := imports.Import{ID: storetest.NewID(b), SiteID: f.Site, FileName: "looks.csv", FileHash: []byte("hash")}
		start := time.Now()
		_, err = st.PutImport(b.Context(), f.Owner, store.Put{ID: x.ID, Content: []byte(`{}`)}, x, read, lookBody)
		require.NoError(b, err)
		b.ReportMetric(time.Since(start).Seconds(), "s/stored")
		start = time.Now()
		x.Withdrawn = "undone"
		_, err = st.PutImport(b.Context(), f.Owner, store.Put{ID: x.ID, Expected: 1, Content: []byte(`{"u":1}`)}, x, imports.Reading{}, lookBody)
		require.NoError(b, err)
		b.ReportMetric(time.Since(start).Seconds(), "s/undone")
	}
}
