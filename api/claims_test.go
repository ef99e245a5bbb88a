package api

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
)

func (g grounds) claim() object {
	return object{"shipment_id": g.shipment, "items": []object{{"lot_id": g.lot, "what": "wilted", "plants": 120, "note": "two boxes"}, {"what": "late"}}}
}

func TestAClaimGoesFromDraftToCredit(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow") // at the dock on 3 August at 15:00, a day for claims
	id := c.new("claims", g.claim())
	draft := c.get("/claims/" + id)
	require.Equal(t, "2026-08-04T15:00:00Z", draft["closes_at"])
	require.NotContains(t, draft, "in_time")
	require.Equal(t, g.site, draft["site_id"])
	require.Equal(t, []object{{"lot_id": g.lot, "what": "wilted", "plants": 120.0, "note": "two boxes"}, {"what": "late"}}, objects(t, draft["items"]))

	sent := with(g.claim(), object{"sent_at": "2026-08-04T15:00:00Z", "sent_by": "mail to the office", "text": "See the photos."})
	require.Equal(t, true, c.put("/claims/"+id, sent, "If-Match", "1")["in_time"])
	answered := with(sent, object{"answered_at": "2026-08-06T09:00:00Z", "answer": "Granted.", "credit": object{"amount": "120.50", "currency": "EUR"}})
	c.put("/claims/"+id, answered, "If-Match", "2")
	stored := c.get("/claims/" + id)
	require.Equal(t, object{"amount": "120.50", "currency": "EUR"}, stored["credit"])
	require.Len(t, objects(t, stored["items"]), 2, "items are written anew")

	late := c.new("claims", with(sent, object{"sent_at": "2026-08-04T15:00:01Z"}))
	require.Equal(t, false, c.get("/claims/" + late)["in_time"])
	c.put("/suppliers/"+g.supplier, object{"name": "Fernhollow cuttings", "claim_hours": 48}, "If-Match", "1")
	require.Equal(t, true, c.get("/claims/" + late)["in_time"], "by what the supplier grants now")

	expected := c.new("shipments", object{"site_id": g.site, "supplier_id": g.supplier, "expected_on": "2026-09-20"})
	early := c.get("/claims/" + c.new("claims", object{"shipment_id": expected, "text": "Not here yet.", "sent_at": "2026-09-21T09:00:00Z"}))
	require.NotContains(t, early, "closes_at")
	require.NotContains(t, early, "in_time")
	require.Len(t, c.items("/claims?shipment_id="+g.shipment), 2)
	require.Len(t, c.items("/claims?site_id="+g.site), 3)
}

func TestAClaimIsAboutLotsOfItsShipment(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	other := c.new("shipments", object{"site_id": g.site, "supplier_id": g.supplier, "expected_on": "2026-09-20"})
	stranger := c.new("lots", object{"shipment_id": other, "cultivar_id": g.cultivar, "plants": 10})
	child := storetest.NewID(t).String()
	c.new("movements", object{
		"lot_id": g.lot, "kind": "split", "moved_at": g.stuckAt, "plants": 300, "parts": []object{{"lot_id": child, "plants": 300, "to_block_id": g.block}},
	})
	before := r.revisions(t)
	items := []object{{"lot_id": stranger, "what": "dead"}, {"lot_id": child, "what": "dead"}, {"what": "dead"}, {"lot_id": nobody, "what": "dead"}}
	path := "/claims/" + storetest.NewID(t).String()
	refused := c.do(http.MethodPut, path, with(g.claim(), object{"items": items}))
	requireRefused(t, refused, http.StatusUnprocessableEntity, "invalid", "/items/0/lot_id", "/items/3/lot_id")
	requireRefused(t, c.do(http.MethodPut, path, with(g.claim(), object{"shipment_id": nobody})), http.StatusUnprocessableEntity, "invalid", "/shipment_id")
	require.Equal(t, before, r.revisions(t))
	c.put(path, with(g.claim(), object{"items": items[1:3]}))
}

func TestAClaimWithWrongValuesIsRefusedWithAllOfThem(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	path := "/claims/" + storetest.NewID(t).String()
	shape := with(g.claim(), object{
		"items": []object{{"what": "ugly"}, {"what": "short", "plants": -1}}, "text": strings.Repeat("n", 4001), "sent_at": "yesterday",
		"credit": object{"amount": "1,50", "currency": "euro"}, "price": 3,
	})
	requireRefused(t, c.do(http.MethodPut, path, shape), http.StatusUnprocessableEntity, "invalid",
		"/items/0/what", "/items/1/plants", "/text", "/sent_at", "/credit/amount", "/credit/currency", "/price")
	meaning := object{"shipment_id": g.shipment, "items": []object{{"what": "late"}, {"what": "late"}}, "answered_at": "2026-08-06T09:00:00Z"}
	requireRefused(t, c.do(http.MethodPut, path, meaning), http.StatusUnprocessableEntity, "invalid", "/items/1", "/sent_at")
}

func TestAClaimIsForThePeopleOfItsSite(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fernhollow")
	other := c.new("sites", object{"name": "Elsewhere", "time_zone": "Europe/Madrid"})
	here := r.signedIn(t, r.person(t, owner, "Rae", store.SiteRole{Role: store.Receiver, SiteID: idOf(t, g.site)}))
	there := r.signedIn(t, r.person(t, owner, "Tim", store.SiteRole{Role: store.Receiver, SiteID: idOf(t, other)}))
	id := storetest.NewID(t).String()
	box := object{"records": []object{{"noun": "claims", "id": id, "body": g.claim()}}}
	answers := objects(t, here.do(http.MethodPost, "/outbox", box).object(t)["answers"])
	require.InDelta(t, http.StatusCreated, answers[0]["status"], 0)
	requireRefused(t, there.do(http.MethodGet, "/claims/"+id, nil), http.StatusNotFound, "not_found")

	body := objects(t, c.get("/revisions?record_id=" + g.shipment)["items"])[0]["body"].(object)
	c.put("/shipments/"+g.shipment, with(body, object{"site_id": other}), "If-Match", "1")
	requireRefused(t, here.do(http.MethodGet, "/claims/"+id, nil), http.StatusNotFound, "not_found")
	requireRefused(t, here.do(http.MethodGet, "/revisions?record_id="+id, nil), http.StatusNotFound, "not_found")
	require.Len(t, objects(t, there.get("/claims/" + id)["items"]), 2)
	require.Len(t, there.items("/revisions?record_id="+id), 1)
}

func TestWhatBelongsToAClaimIsListedByItsShipment(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	child := storetest.NewID(t).String()
	c.new("movements", object{
		"lot_id": g.lot, "kind": "split", "moved_at": g.stuckAt, "plants": 300, "parts": []object{{"lot_id": child, "plants": 300, "to_block_id": g.block}},
	})
	other := c.new("shipments", object{"site_id": g.site, "supplier_id": g.supplier, "expected_on": "2026-09-20"})
	stranger := c.new("lots", object{"shipment_id": other, "cultivar_id": g.cultivar, "plants": 1000})
	inspected := func(lot string) (inspection, verdict string) {
		inspection = c.new("inspections", with(g.inspection(57, 2), object{"lot_id": lot}))
		return inspection, c.new("verdicts", object{"inspection_id": inspection, "decision": "hold"})
	}
	ofLot, verdict := inspected(g.lot)
	ofChild, childVerdict := inspected(child)
	ofStranger, strangerVerdict := inspected(stranger)
	var photos []string
	for _, subject := range [][2]string{{"shipments", g.shipment}, {"lots", g.lot}, {"lots", child}, {"inspections", ofLot}, {"inspections", ofChild}} {
		photos = append(photos, c.new("photos", photoOf(subject[0], subject[1])))
	}
	strange := c.new("photos", photoOf("inspections", ofStranger))
	c.new("photos", photoOf("looks", c.new("looks", g.look())))

	ids := func(path string) []string {
		var found []string
		for _, x := range c.items(path) {
			found = append(found, x["id"].(string))
		}
		return found
	}
	require.ElementsMatch(t, []string{ofLot, ofChild}, ids("/inspections?shipment_id="+g.shipment))
	require.ElementsMatch(t, []string{verdict, childVerdict}, ids("/verdicts?shipment_id="+g.shipment))
	require.ElementsMatch(t, photos, ids("/photos?shipment_id="+g.shipment))
	require.Equal(t, []string{ofStranger}, ids("/inspections?shipment_id="+other))
	require.Equal(t, []string{strangerVerdict}, ids("/verdicts?shipment_id="+other))
	require.Equal(t, []string{strange}, ids("/photos?shipment_id="+other))
}
