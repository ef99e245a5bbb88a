package api

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/domain"
)

// calendarOf makes an address for the calendar of a site and gives its token and what it
// shows.
func calendarOf(c *caller, site string) (id, secret string) {
	id = newID(c.t)
	made := c.put("/tokens/"+id, object{"name": "Calendar", "purpose": "calendar", "site_id": site})
	return id, made["secret"].(string)
}

func readCalendar(c *caller, secret string) (map[string]ical.Event, string) {
	c.t.Helper()
	stranger := &caller{t: c.t, url: c.url}
	answer := stranger.do(http.MethodGet, "/calendar?token="+secret, nil)
	require.Equal(c.t, http.StatusOK, answer.status, answer.text)
	calendar, err := ical.NewDecoder(strings.NewReader(answer.text)).Decode()
	require.NoError(c.t, err)
	events := map[string]ical.Event{}
	for _, e := range calendar.Events() {
		uid, err := e.Props.Text(ical.PropUID)
		require.NoError(c.t, err)
		require.NotContains(c.t, events, uid)
		events[uid] = e
	}
	return events, answer.text
}

func TestACalendarShowsWhatIsDueInTheZoneOfTheSite(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	x := newCrop(c)
	docked := c.new("shipments", object{
		"site_id": x.site, "supplier_id": x.supplier, "expected_on": "2026-09-14", "docked_at": "2026-09-14T06:30:00-05:00",
	})
	until := "2026-09-20T12:00:00-05:00"
	c.new("holds", object{"scope": "lot", "scope_id": x.lots[x.over], "kind": "internal", "from_at": "2026-09-10T08:00:00Z", "to_at": until, "reason": "wait, and see"})
	_, secret := calendarOf(c, x.site)
	events, text := readCalendar(c, secret)

	round := events["round-"+x.site+"-2026-W38@benchtrail"]
	require.NotNil(t, round.Component)
	start, err := round.DateTimeStart(time.UTC)
	require.NoError(t, err)
	require.Equal(t, "2026-09-14", start.Format(time.DateOnly))

	look := events["second-look-"+x.lots[x.over]+"@benchtrail"]
	require.NotNil(t, look.Component)
	require.Equal(t, "late", objects(t, c.get("/second-looks?site_id=" + x.site)["items"])[0]["state"])
	start, err = look.DateTimeStart(time.UTC)
	require.NoError(t, err)
	require.Equal(t, "2026-09-14", start.Format(time.DateOnly), "what is late is due today")
	summary, err := look.Props.Text(ical.PropSummary)
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(summary, "Second look: ") && strings.HasSuffix(summary, " Over"), summary)

	claim := events["claim-"+docked+"@benchtrail"]
	require.NotNil(t, claim.Component)
	require.Equal(t, "America/Chicago", claim.Props.Get(ical.PropDateTimeEnd).Params.Get(ical.ParamTimezoneID))
	end, err := claim.DateTimeEnd(time.UTC)
	require.NoError(t, err)
	closes, err := time.Parse(time.RFC3339, c.get("/shipments/" + docked)["claim_closes_at"].(string))
	require.NoError(t, err)
	require.True(t, end.Equal(closes), "%s, %s", end, closes)
	require.Contains(t, text, "BEGIN:VTIMEZONE\r\nTZID:America/Chicago\r\n")
	require.Contains(t, strings.ReplaceAll(text, "\r\n ", ""), "Hold ends: lot ")
	require.Contains(t, text, `DESCRIPTION:wait\, and see`)

	again, _ := readCalendar(c, secret)
	require.Len(t, again, len(events))
	for uid := range events {
		require.Contains(t, again, uid, "an event keeps its name")
	}
}

func TestACalendarsAddressOpensNothingElseAndCanBeWithdrawn(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	x := newCrop(c)
	id, secret := calendarOf(c, x.site)
	stranger := &caller{t: t, url: c.url}
	gone := func(secret string) {
		t.Helper()
		requireRefused(t, stranger.do(http.MethodGet, "/calendar?token="+secret, nil), http.StatusNotFound, "not_found")
	}
	bearer := &caller{t: t, url: c.url, token: secret}
	require.Equal(t, http.StatusUnauthorized, bearer.do(http.MethodGet, "/sites", nil).status)
	program := c.put("/tokens/"+newID(t), object{"name": "Program"})["secret"].(string)
	require.Equal(t, http.StatusOK, (&caller{t: t, url: c.url, token: program}).do(http.MethodGet, "/sites", nil).status)
	gone(program)
	gone("anything")
	require.NotContains(t, sql[string](t, r, `select string_agg(t::text, '') from token t`), secret, "only its hash is kept")
	require.NotContains(t, r.log.String(), secret)

	stored := c.get("/tokens/" + id)
	require.Equal(t, []any{"calendar", x.site, nil}, ofLine(stored, "purpose", "site_id", "secret"))
	c.put("/tokens/"+id, object{"name": "Calendar", "purpose": "calendar", "site_id": x.site, "withdrawn": true}, "If-Match", "1")
	gone(secret)

	requireRefused(t, c.do(http.MethodPut, "/tokens/"+newID(t), object{"name": "C", "purpose": "calendar"}), http.StatusUnprocessableEntity, "invalid", "/site_id")
	requireRefused(t, c.do(http.MethodPut, "/tokens/"+newID(t), object{"name": "P", "site_id": x.site}), http.StatusUnprocessableEntity, "invalid", "/site_id")

	// Who may not see a site any more sees its calendar no more.
	site, err := domain.ParseID(x.site)
	require.NoError(t, err)
	elsewhere, err := domain.ParseID(c.new("sites", object{"name": "Elsewhere", "time_zone": "UTC"}))
	require.NoError(t, err)
	grower := r.person(t, owner, "Grower", store.SiteRole{Role: store.Grower, SiteID: site})
	_, theirs := calendarOf(r.signedIn(t, grower), x.site)
	readCalendar(c, theirs)
	exec(t, r, `update site_role set site_id = $1 where person_id = $2`, elsewhere.String(), grower.PersonID.String())
	gone(theirs)
	requireRefused(t, r.signedIn(t, store.Actor{PersonID: grower.PersonID, OrganisationID: owner.OrganisationID}).do(
		http.MethodPut, "/tokens/"+newID(t), object{"name": "C", "purpose": "calendar", "site_id": x.site}), http.StatusUnprocessableEntity, "invalid", "/site_id")
	exec(t, r, `update person set disabled = true where id = $1`, grower.PersonID.String())
	gone(theirs)
}
