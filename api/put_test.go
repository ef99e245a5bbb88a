package api

import (
	"net/http"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
)

func TestTheSamePutTwiceIsOneRecord(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	path := "/suppliers/" + storetest.NewID(t).String()
	before := r.revisions(t)
	first := c.do(http.MethodPut, path, `{"name":"Alder","country":"CA","claim_hours":48}`)
	require.Equal(t, http.StatusCreated, first.status, first.text)
	require.Equal(t, `"1"`, first.header.Get("ETag"))
	for _, same := range []string{
		`{"name":"Alder","country":"CA","claim_hours":48}`,
		"{\n\t\"claim_hours\": 48,\n\t\"country\": \"CA\", \"name\": \"Al\\u0064er\"}\n",
		`{"note":null,"country":"CA","claim_hours":48,"name":"Alder"}`,
	} {
		again := c.do(http.MethodPut, path, same)
		require.Equal(t, http.StatusOK, again.status, again.text)
		require.Equal(t, first.text, again.text)
		require.Equal(t, `"1"`, again.header.Get("ETag"))
	}
	require.Equal(t, before+1, r.revisions(t))
	require.Len(t, c.items("/suppliers"), 1)
}

func TestAnotherBodyUnderTheSameIDIsAConflict(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	id := c.new("suppliers", object{"name": "Alder"})
	before := r.revisions(t)
	requireRefused(t, c.do(http.MethodPut, "/suppliers/"+id, object{"name": "Birch"}), http.StatusConflict, "conflict")
	requireRefused(t, c.do(http.MethodPut, "/sites/"+id, object{"name": "Alder", "time_zone": "Europe/Madrid"}), http.StatusConflict, "conflict")
	require.Equal(t, before, r.revisions(t))
	require.Equal(t, "Alder", c.get("/suppliers/" + id)["name"])
}

func TestACorrectionNeedsTheCurrentVersion(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	id := c.new("suppliers", object{"name": "Alder"})
	corrected := c.do(http.MethodPut, "/suppliers/"+id, object{"name": "Birch"}, "If-Match", `"1"`)
	require.Equal(t, http.StatusOK, corrected.status, corrected.text)
	require.Equal(t, `"2"`, corrected.header.Get("ETag"))
	before := r.revisions(t)
	for _, stale := range []string{"1", "3", "99"} {
		requireRefused(t, c.do(http.MethodPut, "/suppliers/"+id, object{"name": "Cedar"}, "If-Match", stale), http.StatusPreconditionFailed, "stale")
	}
	nobody := "/suppliers/" + storetest.NewID(t).String()
	requireRefused(t, c.do(http.MethodPut, nobody, object{"name": "Cedar"}, "If-Match", "1"), http.StatusPreconditionFailed, "stale")
	for _, odd := range []string{"0", "-1", "*", "W/\"1\"", "1,2", "first"} {
		requireRefused(t, c.do(http.MethodPut, "/suppliers/"+id, object{"name": "Cedar"}, "If-Match", odd), http.StatusBadRequest, "bad_if_match")
	}
	require.Equal(t, before, r.revisions(t))
	require.Equal(t, "Birch", c.get("/suppliers/" + id)["name"])
}

// An answer that was lost is asked for again, perhaps days later: that is quiet,
// whatever happened to the record since.
func TestARepeatAfterLaterCorrectionsIsQuiet(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	id := c.new("suppliers", object{"name": "Alder"})
	c.put("/suppliers/"+id, object{"name": "Birch"}, "If-Match", "1")
	c.put("/suppliers/"+id, object{"name": "Cedar"}, "If-Match", "2")
	before := r.revisions(t)
	for _, repeat := range [][]string{{"Alder"}, {"Birch", "If-Match", "1"}, {"Cedar", "If-Match", "2"}} {
		again := c.do(http.MethodPut, "/suppliers/"+id, object{"name": repeat[0]}, repeat[1:]...)
		require.Equal(t, http.StatusOK, again.status, again.text)
		require.Equal(t, "Cedar", again.object(t)["name"], "the answer is the record as it is now")
		require.Equal(t, `"3"`, again.header.Get("ETag"))
	}
	require.Equal(t, before, r.revisions(t))
}

func TestAMomentWrittenWithAnotherOffsetIsNoChange(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.signedIn(t, r.organisation(t, "Fernhollow"))
	g := newGrounds(c, "Fernhollow")
	body := object{"site_id": g.site, "supplier_id": g.supplier, "expected_on": "2026-09-14", "docked_at": "2026-09-14T07:00:00-05:00"}
	shipment := c.new("shipments", body)
	c.put("/shipments/"+shipment, with(body, object{"docked_at": "2026-09-14T12:00:00Z", "note": "late"}), "If-Match", "1")
	require.Equal(t, []any{"/note"}, c.items("/revisions?record_id=" + shipment)[1]["changed"])
}

func TestRevisionsSayWhoChangedWhatWhen(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fernhollow")
	id := idOf(t, g.site)
	receiver := r.signedIn(t, r.person(t, owner, "Rosalind", store.SiteRole{Role: store.Receiver, SiteID: id}))
	body := object{"site_id": g.site, "supplier_id": g.supplier, "expected_on": "2026-09-20"}
	shipment := c.new("shipments", body)
	r.clock.Set(storetest.Now().Add(time.Hour))
	receiver.put("/shipments/"+shipment, with(body, object{"expected_on": "2026-09-21", "note": "delayed"}), "If-Match", "1")
	r.clock.Set(storetest.Now().Add(2 * time.Hour))
	c.put("/shipments/"+shipment, with(body, object{"expected_on": "2026-09-21"}), "If-Match", "2")

	all := c.items("/revisions?record_id=" + shipment)
	require.Len(t, all, 3)
	want := []struct {
		by, at  string
		changed []any
	}{
		{"Owner of Fernhollow", "2026-09-14T13:00:00Z", []any{"/expected_on", "/site_id", "/supplier_id"}},
		{"Rosalind", "2026-09-14T14:00:00Z", []any{"/expected_on", "/note"}},
		{"Owner of Fernhollow", "2026-09-14T15:00:00Z", []any{"/note"}},
	}
	for i, w := range want {
		require.InDelta(t, i+1, all[i]["version"], 0)
		require.Equal(t, "shipment", all[i]["noun"])
		require.Equal(t, w.by, all[i]["recorded_by"].(object)["name"])
		require.Equal(t, w.at, all[i]["recorded_at"])
		require.Equal(t, w.changed, all[i]["changed"])
	}
	require.Equal(t, "delayed", all[1]["body"].(object)["note"])

	first := c.get("/revisions?limit=2&record_id=" + shipment)
	require.Equal(t, []object{all[0], all[1]}, objects(t, first["items"]))
	rest := c.get("/revisions?limit=2&record_id=" + shipment + "&after=" + first["next"].(string))
	require.Equal(t, []object{all[2]}, objects(t, rest["items"]), "what changed is told across pages")
	require.Nil(t, rest["next"])
	requireRefused(t, c.do(http.MethodGet, "/revisions?record_id="+storetest.NewID(t).String(), nil), http.StatusNotFound, "not_found")
}

func TestTheHistoryOfAnAccountIsForOwnersOnly(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	site := idOf(t, c.new("sites", object{"name": "North", "time_zone": "Europe/Madrid"}))
	grower := r.person(t, owner, "Gwen", store.SiteRole{Role: store.Grower, SiteID: site})
	other := r.person(t, owner, "Otto", store.SiteRole{Role: store.Grower, SiteID: site})
	path := "/revisions?record_id=" + grower.PersonID.String()
	require.Len(t, c.items(path), 1)
	require.Len(t, r.signedIn(t, grower).items(path), 1, "one's own")
	requireRefused(t, r.signedIn(t, other).do(http.MethodGet, path, nil), http.StatusNotFound, "not_found")
}

func TestTwentyPutsOfOneIDAtOnceAreOneRecord(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	c.new("movements", g.stick())
	before := r.revisions(t)
	path := "/looks/" + storetest.NewID(t).String()
	statuses := together(20, func(int) int { return c.do(http.MethodPut, path, g.look()).status })
	created := 0
	for _, status := range statuses {
		require.Contains(t, []int{http.StatusOK, http.StatusCreated}, status)
		if status == http.StatusCreated {
			created++
		}
	}
	require.Equal(t, 1, created)
	require.Equal(t, before+1, r.revisions(t))
	requireTrendPoint(t, c, g, "lot", g.lot)
}

func TestOfTwentyCorrectionsAtOnceOneWins(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	id := c.new("suppliers", object{"name": "Alder"})
	statuses := together(20, func(i int) int {
		return c.do(http.MethodPut, "/suppliers/"+id, object{"name": "Alder", "claim_hours": i + 1}, "If-Match", "1").status
	})
	won := 0
	for _, status := range statuses {
		require.Contains(t, []int{http.StatusOK, http.StatusPreconditionFailed}, status)
		if status == http.StatusOK {
			won++
		}
	}
	require.Equal(t, 1, won)
	require.InDelta(t, 2, c.get("/suppliers/" + id)["version"], 0)
}

// together calls do n times at once and gives what each returned.
func together[R any](n int, do func(i int) R) []R {
	out := make([]R, n)
	var all sync.WaitGroup
	for i := range n {
		all.Go(func() { out[i] = do(i) })
	}
	all.Wait()
	return out
}

func TestNamesAreUniqueWhereTheyMustBe(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	c.new("seasons", object{"crop_id": g.crop, "year": 2027, "starts_on": "2027-06-01", "ends_on": "2027-12-31"})
	taken := []struct {
		nouns   string
		body    object
		pointer string
	}{
		{"sites", object{"name": "Fernhollow site", "time_zone": "Europe/Madrid"}, "/name"},
		{"houses", object{"site_id": g.site, "name": "Fernhollow house"}, "/name"},
		{"sections", object{"site_id": g.site, "name": "Fernhollow section"}, "/name"},
		{"blocks", object{"house_id": g.house, "name": "Fernhollow 7", "position": 8}, "/name"},
		{"suppliers", object{"name": "Fernhollow cuttings"}, "/name"},
		{"farms", object{"supplier_id": g.supplier, "name": "Fernhollow farm"}, "/name"},
		{"crops", object{"name": "Fernhollow crop", "main_organism_id": g.organism}, "/name"},
		{"cultivars", object{"crop_id": g.crop, "name": "Fernhollow cultivar", "foliage": "dark"}, "/name"},
		{"seasons", object{"crop_id": g.crop, "year": 2027, "starts_on": "2027-01-01", "ends_on": "2027-02-01"}, "/year"},
		{"lots", object{"shipment_id": g.shipment, "cultivar_id": g.cultivar, "plants": 10, "code": g.code}, "/code"},
		{"accounts", object{
			"email": "owner@fernhollow.test", "name": "Twin", "password": anyPassword, "roles": []object{{"role": "owner"}},
		}, "/email"},
	}
	before := r.revisions(t)
	for _, x := range taken {
		refused := c.do(http.MethodPut, "/"+x.nouns+"/"+storetest.NewID(t).String(), x.body)
		requireRefused(t, refused, http.StatusConflict, x.pointer[1:]+"_taken", x.pointer)
	}
	require.Equal(t, before, r.revisions(t))
	// Another house may have a block of the same name.
	other := c.new("houses", object{"site_id": g.site, "name": "Another house"})
	c.new("blocks", object{"house_id": other, "name": "Fernhollow 7", "position": 7})
}

func TestTheOutboxAnswersEachRecordByItself(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	ids := []string{}
	for range 4 {
		ids = append(ids, storetest.NewID(t).String())
	}
	box := object{"records": []object{
		{"noun": "movements", "id": ids[0], "body": g.stick()},
		{"noun": "looks", "id": ids[1], "body": with(g.look(), object{"block_id": storetest.NewID(t).String()})},
		{"noun": "looks", "id": ids[2], "body": with(g.look(), object{"stray": 1, "looked_at": "yesterday"})},
		{"noun": "looks", "id": ids[3], "body": g.look()},
		{"noun": "looks", "id": ids[3], "body": with(g.look(), object{"note": "wet"}), "if_match": 1},
		{"noun": "looks", "id": ids[3], "body": with(g.look(), object{"note": "dry"}), "if_match": 1},
	}}
	send := func() []object {
		answer := c.do(http.MethodPost, "/outbox", box)
		require.Equal(t, http.StatusOK, answer.status, answer.text)
		return objects(t, answer.object(t)["answers"])
	}
	first := send()
	for i, status := range []float64{201, 422, 422, 201, 200, 412} {
		require.InDelta(t, status, first[i]["status"], 0, "%d: %v", i, first[i])
		require.Equal(t, box["records"].([]object)[i]["id"], first[i]["id"])
	}
	require.Equal(t, "/block_id", objects(t, first[1]["problem"].(object)["errors"])[0]["pointer"])
	require.Len(t, objects(t, first[2]["problem"].(object)["errors"]), 2)
	before := r.revisions(t)
	for i, status := range []float64{200, 422, 422, 200, 200, 412} {
		require.InDelta(t, status, send()[i]["status"], 0, "sent again: %d", i)
	}
	require.Equal(t, before, r.revisions(t), "sent again, stored once")
	requireTrendPoint(t, c, g, "lot", g.lot)
}
