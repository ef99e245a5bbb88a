package api

import (
	"context"
	"crypto/rand"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
)

// person gives the id of who asks.
func (c *caller) person() string {
	c.t.Helper()
	return c.get("/session")["person"].(object)["id"].(string)
}

// sendBox sends an outbox and gives its answers.
func (c *caller) sendBox(box object) []object {
	c.t.Helper()
	answer := c.do(http.MethodPost, "/outbox", box)
	require.Equal(c.t, http.StatusOK, answer.status, answer.text)
	return objects(c.t, answer.object(c.t)["answers"])
}

func requireAnswers(t *testing.T, answers []object, statuses ...int) {
	t.Helper()
	found := []int{}
	for _, a := range answers {
		found = append(found, int(a["status"].(float64)))
	}
	require.Equal(t, statuses, found, "%v", answers)
}

func TestWhatAPhoneSaidIsKeptWithTheRevision(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	made := object{"at": "2026-08-12T10:30:00.25-05:00", "person_id": c.person(), "clock_ahead_ms": 0.0, "daybook": "a1b2c3"}
	broken := object{"at": "0000-01-01T00:00:00+14:00", "person_id": c.person()} // a clock may say anything
	first, second, third := storetest.NewID(t).String(), storetest.NewID(t).String(), storetest.NewID(t).String()
	requireAnswers(t, c.sendBox(object{"sent_at": "9999-12-31T23:30:00-05:00", "records": []object{
		{"noun": "looks", "id": first, "body": g.look(), "made": made},
		{"noun": "looks", "id": second, "body": g.look(), "made": broken},
	}}), http.StatusCreated, http.StatusCreated)
	requireAnswers(t, c.sendBox(object{"sent_at": nil, "records": []object{{"noun": "looks", "id": third, "body": g.look(), "made": nil}}}), http.StatusCreated)

	revision := func(id string) object { return c.items("/revisions?record_id=" + id)[0] }
	require.Equal(t, made, revision(first)["made"])
	require.Equal(t, "9999-12-31T23:30:00-05:00", revision(first)["sent_at"])
	require.Equal(t, broken, revision(second)["made"])
	require.NotContains(t, revision(third), "made")
	require.NotContains(t, revision(third), "sent_at")
	c.put("/looks/"+first, with(g.look(), object{"note": "wet"}), "If-Match", "1")
	require.NotContains(t, c.items("/revisions?record_id=" + first)[1], "made", "a desk says nothing of a phone")
}

func TestARecordSentAgainIsTheSameWhateverThePhoneSaysOfIt(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	record := object{"noun": "looks", "id": storetest.NewID(t).String(), "body": g.look()}
	requireAnswers(t, c.sendBox(object{"records": []object{record}}), http.StatusCreated)
	before := r.revisions(t)
	again := with(record, object{"made": object{"at": "2026-08-12T15:30:00Z", "person_id": c.person()}})
	requireAnswers(t, c.sendBox(object{"records": []object{again}, "sent_at": r.clock.Now().Format(time.RFC3339)}), http.StatusOK)
	require.Equal(t, before, r.revisions(t))
}

func TestALookKeepsStageHotSpotAndTime(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	besides := object{"crop_stage": "bracts_colouring", "hot_spot": "north end, by the vent", "seconds": 372.0}
	look := c.new("looks", with(g.look(), besides))
	require.Subset(t, c.get("/looks/"+look), besides)
	plain := c.put("/looks/"+look, g.look(), "If-Match", "1")
	for name := range besides {
		require.NotContains(t, plain, name, "taken away again")
	}
	requireRefused(t, c.do(http.MethodPut, "/looks/"+look, with(g.look(), object{
		"crop_stage": "wilted", "seconds": 86401, "hot_spot": strings.Repeat("ñ", 121),
	}), "If-Match", "2"), http.StatusUnprocessableEntity, "invalid", "/crop_stage", "/seconds", "/hot_spot")
}

func TestARecordIsTakenFromThePersonWhoMadeItOnly(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fernhollow")
	other := r.signedIn(t, r.person(t, owner, "Gwen", store.SiteRole{Role: store.Grower}))
	record := func(made object) object {
		return object{"noun": "looks", "id": storetest.NewID(t).String(), "body": g.look(), "made": made}
	}
	mine := record(object{"at": "2026-08-12T15:30:00Z", "person_id": c.person()})
	theirs := record(object{"at": "2026-08-12T15:31:00Z", "person_id": other.person()})
	nobodys := record(nil)
	before := r.revisions(t)
	answers := c.sendBox(object{"records": []object{theirs, mine, nobodys}})
	requireAnswers(t, answers, http.StatusForbidden, http.StatusCreated, http.StatusCreated)
	require.Equal(t, "other_person", answers[0]["problem"].(object)["code"])
	require.Equal(t, before+2, r.revisions(t))
	require.Equal(t, http.StatusNotFound, c.do(http.MethodGet, "/looks/"+theirs["id"].(string), nil).status)

	requireAnswers(t, other.sendBox(object{"records": []object{theirs, mine}}), http.StatusCreated, http.StatusForbidden)
	require.Equal(t, other.person(), c.get("/looks/" + theirs["id"].(string))["observer_id"])
	requireAnswers(t, c.sendBox(object{"records": []object{theirs}}), http.StatusForbidden) // nor a repeat
}

func TestARecordTwiceInOneOutboxIsStoredOnce(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	look := object{"noun": "looks", "id": storetest.NewID(t).String(), "body": g.look()}
	stick := object{"noun": "movements", "id": storetest.NewID(t).String(), "body": g.stick()}
	before := r.revisions(t)
	answers := c.sendBox(object{"records": []object{stick, look, look, stick}})
	requireAnswers(t, answers, http.StatusCreated, http.StatusCreated, http.StatusOK, http.StatusOK)
	for i, record := range []object{stick, look, look, stick} {
		require.Equal(t, record["id"], answers[i]["id"])
		require.InDelta(t, 1, answers[i]["version"], 0)
	}
	require.Equal(t, before+2, r.revisions(t))
	requireTrendPoint(t, c, g, "lot", g.lot)
}

func TestWhatFailsInOneRecordDoesNotLoseTheRest(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fernhollow")
	exec(t, r, `create function break() returns trigger language plpgsql as $$ begin
		if new.note = 'too much' then raise exception 'the disk is gone'; end if; return new; end $$`)
	exec(t, r, `create trigger break before insert on look for each row execute function break()`)
	record := func(changes object) object {
		return object{"noun": "looks", "id": storetest.NewID(t).String(), "body": with(g.look(), changes)}
	}
	box := object{"records": []object{
		record(nil), record(object{"note": "too much"}), record(object{"note": "never \x00 stored"}), record(object{"seconds": 1e300}), record(nil),
	}}
	answers := c.sendBox(box)
	requireAnswers(t, answers, http.StatusCreated, http.StatusInternalServerError, http.StatusUnprocessableEntity, http.StatusUnprocessableEntity,
		http.StatusCreated)
	require.Equal(t, "internal", answers[1]["problem"].(object)["code"])
	requireNoInnards(t, answers[1]["problem"].(object)["detail"].(string))
	require.Equal(t, "/note", objects(t, answers[2]["problem"].(object)["errors"])[0]["pointer"])
	exec(t, r, `drop trigger break on look`)
	requireAnswers(t, c.sendBox(box), http.StatusOK, http.StatusCreated, http.StatusUnprocessableEntity, http.StatusUnprocessableEntity, http.StatusOK)
}

func TestAPanicInOneRecordDoesNotLoseTheRest(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	g := newGrounds(c, "Fernhollow")
	var broken atomic.Bool
	pool := storetest.Pool(t, r.program)
	breaking := func() time.Time {
		var looks int
		if err := r.admin.QueryRow(context.Background(), `select count(*) from look`).Scan(&looks); err == nil && looks == 1 && broken.CompareAndSwap(false, true) {
			panic("the clock broke")
		}
		return r.clock.Now()
	}
	handler, err := New(Deps{Store: store.New(pool, breaking), Clock: r.clock.Now, Entropy: rand.Reader, Log: slog.New(slog.NewTextHandler(r.log, nil))})
	require.NoError(t, err)
	server := httptest.NewServer(handler)
	t.Cleanup(server.Close)
	c.url = server.URL

	box := object{"records": []object{}}
	for range 3 {
		box["records"] = append(box["records"].([]object), object{"noun": "looks", "id": storetest.NewID(t).String(), "body": g.look()})
	}
	requireAnswers(t, c.sendBox(box), http.StatusCreated, http.StatusInternalServerError, http.StatusCreated)
	require.Contains(t, r.log.String(), "the clock broke")
	require.Zero(t, pool.Stat().AcquiredConns(), "nothing is left open")
	requireAnswers(t, c.sendBox(box), http.StatusOK, http.StatusCreated, http.StatusOK)
}

func TestAnOutboxHasItsBounds(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	before := r.revisions(t)
	record := func() object { return object{"noun": "looks", "id": storetest.NewID(t).String(), "body": g.look()} }
	heavy := record()
	heavy["body"] = with(g.look(), object{"note": strings.Repeat("x", mostOutbox)})
	requireRefused(t, c.do(http.MethodPost, "/outbox", object{"records": []object{record(), heavy}}), http.StatusRequestEntityTooLarge, "too_large")
	var many []object
	for range 501 {
		many = append(many, record())
	}
	requireRefused(t, c.do(http.MethodPost, "/outbox", object{"records": many}), http.StatusUnprocessableEntity, "invalid", "/records")
	nameless := record()
	delete(nameless, "id")
	nameless["made"] = object{"at": "yesterday", "clock_ahead_ms": 1e300}
	requireRefused(t, c.do(http.MethodPost, "/outbox", object{"records": []object{record(), nameless}, "sent_at": "2026-08-12"}),
		http.StatusUnprocessableEntity, "invalid", "/sent_at", "/records/1/id", "/records/1/made/at", "/records/1/made/person_id", "/records/1/made/clock_ahead_ms")
	require.Equal(t, before, r.revisions(t))
}

func TestALookFromAPhoneWhoseClockWasSetWaitsForAPerson(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	c.new("movements", g.stick())
	now, hour := r.clock.Now(), 3_600_000
	sent := func(ahead any, sentAt any) string {
		id := storetest.NewID(t).String()
		made := object{"at": "2026-08-12T15:30:00Z", "person_id": c.person(), "clock_ahead_ms": ahead}
		requireAnswers(t, c.sendBox(object{"sent_at": sentAt, "records": []object{{"noun": "looks", "id": id, "body": g.look(), "made": made}}}), http.StatusCreated)
		return id
	}
	at := func(ahead time.Duration) string { return now.Add(ahead).Format(time.RFC3339) }
	for name, id := range map[string]string{
		"right":                     sent(0, at(0)),
		"an hour ahead, and stayed": sent(hour, at(time.Hour)),
		"a little off":              sent(0, at(9*time.Minute)),
		"never compared":            sent(nil, at(time.Hour)),
		"not said now":              sent(hour, nil),
	} {
		require.Empty(t, c.get("/looks/" + id)["doubts"], name)
	}
	doubtful := sent(hour, at(0))
	for name, id := range map[string]string{
		"put right": doubtful, "set ahead": sent(0, at(11*time.Minute)), "back to the beginning": sent(0, "1970-01-01T00:00:00Z"),
	} {
		require.Equal(t, []any{object{"code": "clock_changed", "settled": false}}, c.get("/looks/" + id)["doubts"], name)
	}
	require.Len(t, c.items("/looks?in_doubt=true&site_id="+g.site), 3)

	noted := c.put("/looks/"+doubtful, with(g.look(), object{"note": "wet"}), "If-Match", "1")
	require.Len(t, noted["doubts"], 1, "a correction of something else says nothing of the moment")
	stands := c.put("/looks/"+doubtful, with(g.look(), object{"settled_because": "the day is right"}), "If-Match", "2")
	require.Equal(t, []any{object{"code": "clock_changed", "settled": true}}, stands["doubts"])
	right := c.put("/looks/"+doubtful, with(g.look(), object{"looked_at": "2026-08-12T14:30:00Z"}), "If-Match", "3")
	require.Empty(t, right["doubts"], "a person said when it was")
}

func TestAWholeArrivalGoesThroughOneOutbox(t *testing.T) {
	t.Parallel()
	c := run(t).newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	id := func() string { return storetest.NewID(t).String() }
	supplier, farm, customer, shipment, lot, inspection, verdict, sample := id(), id(), id(), id(), id(), id(), id(), id()
	arrived := "2026-08-10T15:00:00Z"
	finding := object{"organism_id": g.organism, "plants_looked_at": 60, "infested_plants": 3}
	requireAnswers(t, c.sendBox(object{"records": []object{
		{"noun": "suppliers", "id": supplier, "body": object{"name": "Quillmoor cuttings"}},
		{"noun": "farms", "id": farm, "body": object{"supplier_id": supplier, "name": "Quillmoor"}},
		{"noun": "customers", "id": customer, "body": object{"name": "Corner shop"}},
		{"noun": "shipments", "id": shipment, "body": object{"site_id": g.site, "supplier_id": supplier, "expected_on": "2026-08-10", "docked_at": arrived}},
		{"noun": "lots", "id": lot, "body": object{"shipment_id": shipment, "cultivar_id": g.cultivar, "plants": 400, "farm_ids": []string{farm}}},
		{"noun": "inspections", "id": inspection, "body": object{"lot_id": lot, "kind": "dock", "inspected_at": "2026-08-10T16:00:00Z", "findings": []object{finding}}},
		{"noun": "verdicts", "id": verdict, "body": object{"inspection_id": inspection, "decision": "hold"}},
		{"noun": "lab-samples", "id": sample, "body": object{"lot_id": lot, "taken_at": "2026-08-10T16:30:00Z", "plants": 5}},
	}}), 201, 201, 201, 201, 201, 201, 201, 201)
	require.Equal(t, lot, c.get("/lab-samples/" + sample)["lot_id"])
	require.Equal(t, "hold", c.get("/lots/" + lot)["verdict"])
	require.Equal(t, "Corner shop", c.get("/customers/" + customer)["name"])
}
