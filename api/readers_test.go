package api

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
	"benchtrail/domain/stock"
)

func TestAReaderReadsWhatAReceiverReadsAndWritesNothing(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Firstborn")
	f := newFirstborn(r.signedIn(t, owner))
	at := func(role store.Role) *caller {
		return r.signedIn(t, r.person(t, owner, string(role), store.SiteRole{Role: role, SiteID: idOf(t, f.site)}))
	}
	reader, receiver := at(store.Reader), at(store.Receiver)
	before := r.everyRowOf(t, owner)
	for _, op := range operationsOf(t) {
		if op.open {
			continue
		}
		if op.method == http.MethodGet {
			for _, address := range f.addresses(op) {
				require.Equal(t, receiver.do(http.MethodGet, address, nil).status, reader.do(http.MethodGet, address, nil).status, address)
			}
			continue
		}
		if op.name == "readPastedLots" { // stores nothing
			continue
		}
		if op.name == "sendOutbox" {
			record := object{"noun": "looks", "id": storetest.NewID(t).String(), "body": f.records["looks"].body}
			answers := objects(t, reader.do(http.MethodPost, "/outbox", object{"records": []object{record}}).object(t)["answers"])
			require.InDelta(t, http.StatusForbidden, answers[0]["status"], 0)
			continue
		}
		there := f.records[strings.Split(op.path, "/")[1]]
		for _, id := range []string{there.id, storetest.NewID(t).String()} {
			refused := reader.do(op.method, strings.Replace(op.path, "{id}", id, 1), there.body)
			requireRefused(t, refused, http.StatusForbidden, "forbidden")
		}
	}
	require.Equal(t, before, r.everyRowOf(t, owner))
	require.NotEmpty(t, objects(t, reader.get("/trends?by=lot")["groups"]))
	require.Equal(t, []object{{"role": "reader", "site_id": f.site}}, objects(t, reader.get("/session")["roles"]))
}

func TestPostgresItselfRefusesWhatAReaderWrites(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	g := newGrounds(r.signedIn(t, owner), "Fernhollow")
	actor := store.Actor{
		PersonID: owner.PersonID, OrganisationID: owner.OrganisationID, Roles: []store.SiteRole{{Role: store.Reader, SiteID: idOf(t, g.site)}},
	}
	_, err := r.store.PutCustomer(t.Context(), actor, store.Put{ID: storetest.NewID(t), Content: []byte(`{}`)}, stock.Customer{Name: "Mine"})
	require.ErrorIs(t, err, store.ErrDenied)
	_, err = r.store.Customers(t.Context(), actor, store.Page{Limit: 1})
	require.NoError(t, err)
}

// reader makes an account that reads at the sites, until its last day.
func (c *caller) reader(endsOn string, sites ...string) (id string, body object) {
	roles := []object{}
	for _, site := range sites {
		roles = append(roles, object{"role": "reader", "site_id": site})
	}
	body = object{"email": "class@fernhollow.test", "name": "Class of 2026", "roles": roles, "ends_on": endsOn}
	return c.new("accounts", with(body, object{"password": anyPassword})), body
}

func TestAnAccountWorksUntilItsLastDayIsOverAtTheSite(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	site := c.new("sites", object{"name": "Northfield", "time_zone": "America/Chicago"})
	lastDay := domain.DateOf(r.clock.Now()).AddDays(3)
	id, body := c.reader(lastDay.String(), site)
	reader := r.signIn(t, "class@fernhollow.test", anyPassword)
	require.Equal(t, lastDay.String(), reader.get("/session")["ends_on"])
	require.Equal(t, lastDay.String(), c.get("/accounts/" + id)["ends_on"])
	// Tokens that the person made while writing was allowed read on, and end with the account.
	maker := store.Actor{
		PersonID: idOf(t, id), OrganisationID: organisationOf(t, c), Roles: []store.SiteRole{{Role: store.Grower, SiteID: idOf(t, site)}},
	}
	for secret, token := range map[string]store.Token{
		"of the program": {Name: "R", Purpose: store.ForProgram}, "of the calendar": {Name: "Due", Purpose: store.ForCalendar, SiteID: idOf(t, site)},
	} {
		token.Secret = secret
		_, err := r.store.PutToken(t.Context(), maker, store.Put{ID: storetest.NewID(t), Content: []byte(`{}`)}, token)
		require.NoError(t, err)
	}
	program := &caller{t: t, url: r.url, token: "of the program"}

	zone, err := time.LoadLocation("America/Chicago")
	require.NoError(t, err)
	midnight := time.Date(lastDay.Year(), lastDay.Time().Month(), lastDay.Time().Day()+1, 0, 0, 0, 0, zone)
	signIn := object{"email": "class@fernhollow.test", "password": anyPassword}
	r.clock.Set(midnight.Add(-time.Second))
	reader.get("/sites")
	program.get("/sites")
	readCalendar(c, "of+the+calendar")
	r.signIn(t, "class@fernhollow.test", anyPassword)

	r.clock.Set(midnight)
	for _, ended := range []*caller{reader, program} {
		requireRefused(t, ended.do(http.MethodGet, "/sites", nil), http.StatusUnauthorized, "account_ended")
	}
	calendar := r.stranger(t).do(http.MethodGet, "/calendar?token=of+the+calendar", nil)
	requireRefused(t, calendar, http.StatusNotFound, "not_found") // a calendar program can tell nobody why
	refused := r.stranger(t).do(http.MethodPost, "/session", signIn)
	requireRefused(t, refused, http.StatusUnauthorized, "account_ended")
	require.Contains(t, refused.text, lastDay.String())
	require.Empty(t, refused.header.Get("Set-Cookie"))
	wrong := r.stranger(t).do(http.MethodPost, "/session", with(signIn, object{"password": "not the password"}))
	requireRefused(t, wrong, http.StatusUnauthorized, "wrong_password")

	c.put("/accounts/"+id, with(body, object{"ends_on": lastDay.AddDays(1).String()}), "If-Match", "1")
	reader.get("/sites")
	c.put("/accounts/"+id, with(body, object{"ends_on": nil}), "If-Match", "2")
	r.clock.Set(midnight.Add(20 * 24 * time.Hour))
	program.get("/sites")
	require.Nil(t, program.get("/session")["ends_on"])
}

func TestADayEndsLaterFurtherWest(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	east := c.new("sites", object{"name": "East", "time_zone": "Europe/Madrid"})
	west := c.new("sites", object{"name": "West", "time_zone": "America/Los_Angeles"})
	c.new("sites", object{"name": "Furthest, and none of theirs", "time_zone": "Pacific/Honolulu"})
	lastDay := domain.DateOf(r.clock.Now()).AddDays(2)
	c.reader(lastDay.String(), east, west)
	reader := r.signIn(t, "class@fernhollow.test", anyPassword)
	r.clock.Set(lastDay.AddDays(1).Time().Add(6 * time.Hour)) // midnight is over in Madrid, not in Los Angeles
	reader.get("/sites")
	r.clock.Set(lastDay.AddDays(1).Time().Add(8*time.Hour + time.Minute)) // over in both, not in Honolulu
	requireRefused(t, reader.do(http.MethodGet, "/sites", nil), http.StatusUnauthorized, "account_ended")
}

func TestAReaderHasNoOtherRole(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	site := c.new("sites", object{"name": "Northfield", "time_zone": "America/Chicago"})
	body := object{"email": "class@fernhollow.test", "name": "Class", "password": anyPassword}
	for pointer, roles := range map[string][]object{
		"/roles/1/role":    {{"role": "grower", "site_id": site}, {"role": "reader", "site_id": site}},
		"/roles/0/site_id": {{"role": "reader"}},
	} {
		refused := c.do(http.MethodPut, "/accounts/"+storetest.NewID(t).String(), with(body, object{"roles": roles}))
		requireRefused(t, refused, http.StatusUnprocessableEntity, "invalid", pointer)
	}
}

func organisationOf(t *testing.T, c *caller) domain.ID {
	t.Helper()
	return idOf(t, c.get("/session")["organisation"].(object)["id"].(string))
}
