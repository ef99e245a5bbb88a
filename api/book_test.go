package api

import (
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
)

// yard is grounds with a second house and block, a customer, and the lot stuck.
type yard struct {
	grounds
	house2, block2, customer string
}

func newYard(c *caller) yard {
	y := yard{grounds: newGrounds(c, "Fernhollow")}
	y.house2 = c.new("houses", object{"site_id": y.site, "name": "House 2"})
	y.block2 = c.new("blocks", object{"house_id": y.house2, "name": "1", "position": 1})
	y.customer = c.new("customers", object{"name": "Garden of Ferns"})
	c.new("movements", y.stick())
	return y
}

// arrived makes a shipment of its own with a lot of plants, received at the dock.
func (y yard) arrived(c *caller, on string, plants int, papers ...object) (shipment, lot string) {
	shipment = c.new("shipments", object{
		"site_id": y.site, "supplier_id": y.supplier, "expected_on": on, "docked_at": on + "T12:00:00Z", "papers": append([]object{}, papers...),
	})
	lot = c.new("lots", object{"shipment_id": shipment, "cultivar_id": y.cultivar, "plants": plants})
	c.new("movements", object{"lot_id": lot, "kind": "receive", "moved_at": on + "T13:00:00Z", "plants": plants})
	return shipment, lot
}

func newID(t *testing.T) string { t.Helper(); return storetest.NewID(t).String() }

// send brings records from a phone that was offline.
func (c *caller) send(records ...object) []object {
	c.t.Helper()
	answer := c.do(http.MethodPost, "/outbox", object{"records": records})
	require.Equal(c.t, http.StatusOK, answer.status, answer.text)
	return objects(c.t, answer.object(c.t)["answers"])
}

func TestASplitMakesItsLotsAndAMergeKeepsTheirSharesExactly(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	y := newYard(c)
	part, mixed := newID(t), newID(t)
	c.new("movements", object{
		"lot_id": y.lot, "kind": "split", "moved_at": "2026-08-20T10:00:00Z", "plants": 300,
		"parts": []object{{"lot_id": part, "plants": 300, "from_block_id": y.block, "to_block_id": y.block2}},
	})
	child := c.get("/lots/" + part)
	require.Equal(t, y.code+".1", child["code"])
	require.Equal(t, "stuck", child["state"], "the work done on the parent was done on it")
	require.InDelta(t, 300, child["plants_on_hand"], 0)
	require.InDelta(t, 700, c.get("/lots/" + y.lot)["plants_on_hand"], 0)
	require.Equal(t, y.supplier, child["supplier_id"])
	require.Equal(t, []any{y.farm}, child["farm_ids"])

	_, other := y.arrived(c, "2026-08-17", 500)
	c.new("movements", object{
		"lot_id": mixed, "kind": "merge", "moved_at": "2026-08-25T10:00:00Z", "plants": 107,
		"parts": []object{{"lot_id": part, "plants": 100, "from_block_id": y.block2}, {"lot_id": other, "plants": 7, "to_block_id": y.block2}},
	})
	x := c.get("/lots/" + mixed)
	require.Equal(t, "M35-1", x["code"])
	require.Equal(t, true, x["mixed"])
	require.Equal(t, y.supplier, x["supplier_id"], "both came from the one supplier")
	life := c.get("/lots/" + mixed + "/life")
	shares := map[any]object{}
	for _, s := range objects(t, life["composition"]) {
		shares[s["lot_id"]] = s
	}
	require.Equal(t, "100", shares[y.lot]["numerator"], "what came through the split is of the arrival")
	require.Equal(t, "107", shares[y.lot]["denominator"])
	require.Equal(t, "7", shares[other]["numerator"])
	require.Len(t, objects(t, life["ancestors"]), 3)

	// A look at the mixed lot stands apart from both arrivals.
	c.new("looks", with(y.look(), object{"lot_id": mixed, "block_id": y.block2, "looked_at": "2026-08-26T10:00:00Z"}))
	c.new("looks", with(y.look(), object{"lot_id": part, "block_id": y.block2, "looked_at": "2026-08-26T11:00:00Z"}))
	keys := []any{}
	for _, g := range objects(t, c.get("/trends?by=arrival")["groups"]) {
		keys = append(keys, g["key"])
	}
	require.ElementsMatch(t, []any{"mixed", y.arrivedOn}, keys, "what was split off follows its arrival")

	// On request it is shared out: of 18 plants, 4 infested, 100 parts of 107 are 17 and 4.
	shared := c.get("/trends?by=arrival&mixed=shared")
	require.Equal(t, "shared", shared["mixed"])
	require.InDelta(t, 18, shared["mixed_plants"], 0)
	looked := map[any][]any{}
	for _, g := range objects(t, shared["groups"]) {
		p := objects(t, g["points"])[0]
		looked[g["key"]] = []any{p["infested_plants"], p["plants_looked_at"]}
	}
	require.Equal(t, map[any][]any{y.arrivedOn: {8.0, 18.0 + 17}, "2026-08-17": {0.0, 1.0}}, looked)
}

func TestWhatCannotBeIsRefusedWhenAskedAndKeptWhenItHappened(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	y := newYard(c)
	tooMany := object{
		"lot_id": y.lot, "kind": "dispatch", "moved_at": "2026-09-01T10:00:00Z", "plants": 1200, "from_block_id": y.block, "customer_id": y.customer,
	}
	refused := requireRefused(t, c.do(http.MethodPut, "/movements/"+newID(t), tooMany), http.StatusUnprocessableEntity, "invalid", "/plants")
	require.Contains(t, objects(t, refused["errors"])[0]["detail"], "1200 plants are to go but only 1000 stood there")

	id := newID(t)
	require.InDelta(t, http.StatusCreated, c.send(object{"noun": "movements", "id": id, "body": tooMany})[0]["status"], 0)
	require.InDelta(t, 1000, c.get("/lots/" + y.lot)["plants_on_hand"], 0, "it was set aside")
	aside := objects(t, c.get("/conflicts")["items"])
	require.Len(t, aside, 1)
	require.Equal(t, id, aside[0]["id"])
	require.Equal(t, "more_than_there", aside[0]["conflict"].(object)["code"])

	c.put("/movements/"+id, with(tooMany, object{"plants": 200}), "If-Match", "1")
	require.Empty(t, objects(t, c.get("/conflicts")["items"]), "it is settled by the right number")
	require.InDelta(t, 800, c.get("/lots/" + y.lot)["plants_on_hand"], 0)
}

func TestAMovementThatComesLateAndWhatItMakesImpossibleAreBothShown(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	y := newYard(c)
	sent := c.new("movements", object{
		"lot_id": y.lot, "kind": "dispatch", "moved_at": "2026-09-10T10:00:00Z", "plants": 900, "from_block_id": y.block, "customer_id": y.customer,
	})
	late := object{
		"lot_id": y.lot, "kind": "discard", "moved_at": "2026-09-01T10:00:00Z", "plants": 200, "from_block_id": y.block, "reason": "rot",
	}
	refused := requireRefused(t, c.do(http.MethodPut, "/movements/"+newID(t), late), http.StatusUnprocessableEntity, "invalid", "/moved_at")
	require.Contains(t, objects(t, refused["errors"])[0]["detail"], "then the dispatch of 2026-09-10 no longer fits")
	id := newID(t)
	c.send(object{"noun": "movements", "id": id, "body": late})
	aside := objects(t, c.get("/conflicts")["items"])
	require.Len(t, aside, 1)
	require.Equal(t, sent, aside[0]["id"], "what was possible before")
	require.Contains(t, aside[0]["conflict"].(object)["with"], id)
	require.InDelta(t, 800, c.get("/lots/" + y.lot)["plants_on_hand"], 0)
	require.Len(t, c.items("/movements?lot_id="+y.lot), 3, "nothing is dropped")
}

func TestAHoldOnAShipmentStopsAllThatDescendsFromItEverywhereAtOnce(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	y := newYard(c)
	part := newID(t)
	c.new("movements", object{
		"lot_id": y.lot, "kind": "split", "moved_at": "2026-08-20T10:00:00Z", "plants": 300,
		"parts": []object{{"lot_id": part, "plants": 300, "from_block_id": y.block, "to_block_id": y.block2}},
	})
	quarantine := c.new("blocks", object{"house_id": y.house2, "name": "Q", "position": 9, "quarantine": true})
	hold := object{"scope": "shipment", "scope_id": y.shipment, "kind": "official", "from_at": "2026-08-25T00:00:00Z", "reason": "letter of the inspector"}
	id := c.new("holds", hold)
	for _, lot := range []string{y.lot, part} {
		require.Equal(t, true, c.get("/lots/" + lot)["held"])
		require.Equal(t, id, objects(t, c.get("/lots/" + lot + "/life")["holds"])[0]["id"])
	}
	move := object{"lot_id": part, "kind": "move", "moved_at": "2026-08-26T10:00:00Z", "plants": 50, "from_block_id": y.block2, "to_block_id": y.block}
	refused := requireRefused(t, c.do(http.MethodPut, "/movements/"+newID(t), move), http.StatusUnprocessableEntity, "invalid", "/although_held")
	require.Equal(t, "held", objects(t, refused["errors"])[0]["code"])
	require.Contains(t, objects(t, refused["errors"])[0]["detail"], "letter of the inspector")
	c.new("movements", with(move, object{"to_block_id": quarantine})) // free

	// A phone without network dispatched on the day after; its record is kept and marked.
	sent := newID(t)
	answers := c.send(object{"noun": "movements", "id": sent, "body": object{
		"lot_id": part, "kind": "dispatch", "moved_at": "2026-08-26T15:00:00Z", "plants": 20, "from_block_id": y.block2, "customer_id": y.customer,
	}})
	require.InDelta(t, http.StatusCreated, answers[0]["status"], 0)
	kept := c.get("/movements/" + sent)
	require.Equal(t, true, kept["while_held"])
	require.Equal(t, []any{id}, kept["held_by"])
	exits := objects(t, c.get("/trail?from=shipment&id=" + y.shipment)["exits"])
	require.Equal(t, true, exits[0]["while_held"], "and shown where its plants went")

	c.put("/holds/"+id, with(hold, object{"to_at": "2026-08-27T00:00:00Z"}), "If-Match", "1")
	require.Nil(t, c.get("/lots/" + part)["held"])
	c.new("movements", with(move, object{"moved_at": "2026-08-28T10:00:00Z"}))
	require.Equal(t, true, c.get("/movements/" + sent)["while_held"], "it was held then")
	c.put("/holds/"+id, with(hold, object{"withdrawn_because": "sent to the wrong grower"}), "If-Match", "2")
	require.Equal(t, false, c.get("/movements/" + sent)["while_held"])
}

func TestACropIsHeldByAnOwnerOfAllSitesOnly(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	y := newYard(c)
	hold := object{"scope": "crop", "scope_id": y.crop, "kind": "official", "from_at": "2026-08-25T00:00:00Z", "reason": "order"}
	local := r.signedIn(t, r.person(t, owner, "Sol", store.SiteRole{Role: store.Owner, SiteID: idOf(t, y.site)}))
	requireRefused(t, local.do(http.MethodPut, "/holds/"+newID(t), hold), http.StatusForbidden, "forbidden")
	c.new("holds", hold)
	require.Equal(t, true, local.get("/lots/" + y.lot)["held"])
	require.Len(t, local.items("/holds?site_id="+y.site), 1, "and is told why")
}

// Every dispatch leads back to its arrivals and papers, every arrival forward to
// what was sent, thrown out and is still there, adding up to what was received.
func TestATrailAddsUpExactlyBothWays(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	y := newYard(c)
	paper := object{"kind": "phytosanitary_certificate", "number": "0047"}
	shipment, other := y.arrived(c, "2026-08-17", 500, paper)
	mixed := newID(t)
	c.new("movements", object{
		"lot_id": mixed, "kind": "merge", "moved_at": "2026-08-25T10:00:00Z", "plants": 700,
		"parts": []object{{"lot_id": y.lot, "plants": 400, "from_block_id": y.block}, {"lot_id": other, "plants": 300, "to_block_id": y.block}},
	})
	c.new("movements", object{"lot_id": mixed, "kind": "discard", "moved_at": "2026-08-26T10:00:00Z", "plants": 11, "from_block_id": y.block, "reason": "rot"})
	c.new("movements", object{"lot_id": mixed, "kind": "count", "moved_at": "2026-08-27T10:00:00Z", "plants": 683, "from_block_id": y.block})
	sent := c.new("movements", object{
		"lot_id": mixed, "kind": "dispatch", "moved_at": "2026-09-01T10:00:00Z", "plants": 100, "from_block_id": y.block, "customer_id": y.customer,
		"paper_number": "000417",
	})
	balance := c.get("/trail?from=shipment&id=" + shipment)["balance"].(object)
	// Of the mixed lot 3/7 came with the shipment: 11, 6 and 100 plants of it left.
	require.Equal(t, object{
		"received": "500", "on_hand": "3149/7", "discarded": "33/7", "dispatched": "300/7", "lost": "18/7", "gained": "0",
	}, balance["exact"])
	back := c.get("/trail?from=dispatch&way=back&id=" + sent)
	require.Len(t, objects(t, back["lots"]), 3)
	papers := []any{}
	for _, s := range objects(t, back["shipments"]) {
		papers = append(papers, s["papers"])
	}
	require.Len(t, papers, 2)
	require.Contains(t, papers, []any{paper})
	exits := objects(t, back["exits"])
	require.Len(t, exits, 1, "the one that was asked for")
	require.Equal(t, "000417", exits[0]["paper_number"])
	require.Len(t, objects(t, c.get("/trail?from=customer&way=back&id=" + y.customer)["shipments"]), 2)
	requireRefused(t, c.do(http.MethodGet, "/trail?from=lot&id="+newID(t), nil), http.StatusUnprocessableEntity, "invalid", "#query/id")
}

func TestLotsWhoseFarmNobodyNamedCannotBeRuledOut(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	y := newYard(c)
	_, unknown := y.arrived(c, "2026-08-17", 500)
	trail := c.get("/trail?from=farm&id=" + y.farm)
	require.Len(t, objects(t, trail["lots"]), 1)
	require.Equal(t, y.lot, objects(t, trail["lots"])[0]["lot_id"])
	require.Equal(t, true, objects(t, trail["lots"])[0]["certain"])
	apart := objects(t, trail["cannot_rule_out"])
	require.Len(t, apart, 1)
	require.Equal(t, unknown, apart[0]["lot_id"])
}

// As published of a range that had been treated: 783 plants of another cultivar came
// in from another house on 16 October. The range's own trend must stay readable, and
// the newcomer be named.
func TestPlantsMovedIntoATreatedRangeAreNamedAndKeptApart(t *testing.T) {
	t.Parallel()
	r := run(t)
	r.clock.Set(time.Date(2026, time.October, 22, 12, 0, 0, 0, time.UTC))
	c := r.newOwner(t, "Fernhollow")
	y := newYard(c)
	white := c.new("cultivars", object{"crop_id": y.crop, "name": "White one", "foliage": "dark"})
	shipment := c.new("shipments", object{"site_id": y.site, "supplier_id": y.supplier, "expected_on": "2026-08-20", "docked_at": "2026-08-20T12:00:00Z"})
	newcomer := c.new("lots", object{"shipment_id": shipment, "cultivar_id": white, "plants": 783})
	c.new("movements", object{"lot_id": newcomer, "kind": "stick", "moved_at": "2026-08-21T12:00:00Z", "plants": 783, "to_block_id": y.block2})
	look := func(lot, block, on string, infested int) {
		c.new("looks", object{"lot_id": lot, "block_id": block, "looked_at": on + "T15:00:00Z", "targets": []object{{
			"organism_id": y.organism, "tally": object{"plants_looked_at": 20, "infested_plants": infested},
		}}})
	}
	look(y.lot, y.block, "2026-10-07", 2)
	look(newcomer, y.block2, "2026-10-07", 9)
	look(y.lot, y.block, "2026-10-14", 1)
	c.new("movements", object{
		"lot_id": newcomer, "kind": "move", "moved_at": "2026-10-16T14:00:00Z", "plants": 783, "from_block_id": y.block2, "to_block_id": y.block,
	})
	look(y.lot, y.block, "2026-10-21", 1)
	look(newcomer, y.block, "2026-10-21", 10)

	infested := func(by, key string) []any {
		for _, g := range objects(t, c.get("/trends?by=" + by)["groups"]) {
			if g["key"] == key {
				var found []any
				for _, p := range objects(t, g["points"]) {
					found = append(found, p["infested_plants"])
				}
				return found
			}
		}
		return nil
	}
	require.Equal(t, []any{2.0, 1.0, 1.0}, infested("lot", y.lot), "the range's own plants go on falling")
	require.Equal(t, []any{2.0, 1.0, 1.0}, infested("arrival", y.arrivedOn))
	require.Equal(t, []any{9.0, 10.0}, infested("arrival", "2026-08-20"))

	contacts := objects(t, c.get("/contacts?from=lot&id=" + y.lot)["items"])
	require.Len(t, contacts, 1)
	require.Equal(t, newcomer, contacts[0]["lot_id"])
	require.Equal(t, "block", contacts[0]["level"])
	require.Equal(t, y.block, contacts[0]["place_id"])
	require.Equal(t, "2026-10-16T14:00:00Z", contacts[0]["from"])
	require.Equal(t, true, contacts[0]["still"])
	onIt := contacts[0]["found_on_it"].(object)
	require.Equal(t, []any{10.0, 20.0}, []any{onIt["count"], onIt["of"]})
	require.NotNil(t, onIt["upper_percent"])
}

func TestDaysTogetherInTwoBlocksAtOnceAreCountedOnce(t *testing.T) {
	t.Parallel()
	r := run(t)
	r.clock.Set(time.Date(2026, time.September, 10, 12, 0, 0, 0, time.UTC))
	c := r.newOwner(t, "Fernhollow")
	y := newYard(c)
	_, other := y.arrived(c, "2026-08-17", 500)
	c.new("movements", object{"lot_id": y.lot, "kind": "move", "moved_at": "2026-08-20T12:00:00Z", "plants": 400, "from_block_id": y.block, "to_block_id": y.block2})
	for i, block := range []string{y.block, y.block2} {
		c.new("movements", object{
			"lot_id": other, "kind": "stick", "moved_at": []string{"2026-08-31T12:00:00Z", "2026-09-05T12:00:00Z"}[i], "plants": 200, "to_block_id": block,
		})
	}
	contacts := objects(t, c.get("/contacts?from=lot&id=" + y.lot)["items"])
	require.Len(t, contacts, 1)
	require.InDelta(t, 10, contacts[0]["days"], 1e-6)
	require.Equal(t, "2026-08-31T12:00:00Z", contacts[0]["from"])
	require.Equal(t, y.block, contacts[0]["place_id"], "where they were together longest")
}

func TestStrikeAndLossAreReadPerOriginWithTheirCounts(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	y := newYard(c)
	c.new("movements", object{"lot_id": y.lot, "kind": "root", "moved_at": "2026-08-26T10:00:00Z", "plants": 1000, "rooted": 940, "from_block_id": y.block})
	c.new("movements", object{"lot_id": y.lot, "kind": "discard", "moved_at": "2026-08-27T10:00:00Z", "plants": 60, "from_block_id": y.block, "reason": "no roots"})
	for by, key := range map[string]string{"supplier": y.supplier, "farm": y.farm, "cultivar": y.cultivar, "shipment": y.shipment} {
		group := objects(t, c.get("/strikes?by=" + by)["items"])[0]
		require.Equal(t, key, group["key"], by)
		strike, loss := group["strike"].(object), group["loss"].(object)
		require.Equal(t, []any{940.0, 1000.0, 60.0, 1000.0}, []any{strike["count"], strike["of"], loss["count"], loss["of"]})
		// One lot tells as much as 1,000 / (1 + 999 × 0.1) = 9.9 plants drawn one by one
		// (Kish 1965, section 5.4); Wilson's formula for 94 % of those, worked by hand.
		require.InDelta(t, 64.1, strike["lower_percent"], 0.1)
		require.InDelta(t, 99.3, strike["upper_percent"], 0.1)
	}
}

func TestALabSampleOfTheParentBeforeTheSplitIsTheChildsToo(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	y := newYard(c)
	part := newID(t)
	c.new("movements", object{
		"lot_id": y.lot, "kind": "split", "moved_at": "2026-08-20T10:00:00Z", "plants": 300,
		"parts": []object{{"lot_id": part, "plants": 300, "from_block_id": y.block, "to_block_id": y.block2}},
	})
	before := c.new("lab-samples", object{"lot_id": y.lot, "taken_at": "2026-08-19T10:00:00Z", "sample_number": "0012"})
	c.new("lab-samples", object{"lot_id": y.lot, "taken_at": "2026-08-21T10:00:00Z"})
	found := c.items("/lab-samples?lot_id=" + part)
	require.Len(t, found, 1)
	require.Equal(t, before, found[0]["id"])
	require.Equal(t, "waiting", found[0]["result"])
}
