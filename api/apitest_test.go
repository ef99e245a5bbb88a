package api

import (
	"bytes"
	"crypto/rand"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
	"benchtrail/domain"
)

var cluster storetest.Cluster

func TestMain(m *testing.M) { os.Exit(storetest.Run(m, &cluster)) }

// object is a JSON object.
type object = map[string]any

// running is the API, served on a database of its own.
type running struct {
	url     string
	handler http.Handler
	store   *store.Store
	clock   *storetest.Clock
	owner   string // database address of the owner of the tables
	program string // and that of the program
	admin   *pgxpool.Pool
	log     *lockedBuffer
}

func run(t *testing.T) *running {
	t.Helper()
	r := &running{clock: &storetest.Clock{}, log: &lockedBuffer{}}
	r.owner, r.program = cluster.Database(t)
	r.clock.Set(storetest.Now())
	r.store = store.New(storetest.Pool(t, r.program), r.clock.Now)
	var err error
	r.admin, err = pgxpool.New(t.Context(), r.owner)
	require.NoError(t, err)
	t.Cleanup(r.admin.Close)
	r.handler, err = New(Deps{
		Store: r.store, Clock: r.clock.Now, Entropy: rand.Reader, Log: slog.New(slog.NewTextHandler(r.log, nil)), Version: "test",
	})
	require.NoError(t, err)
	server := httptest.NewServer(r.handler)
	t.Cleanup(server.Close)
	r.url = server.URL
	return r
}

type lockedBuffer struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.Write(p)
}

func (b *lockedBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.String()
}

// sql reads one value as the owner of the tables, who is bound by no policy here.
func sql[T any](t *testing.T, r *running, query string, args ...any) T {
	t.Helper()
	var v T
	require.NoError(t, r.admin.QueryRow(t.Context(), query, args...).Scan(&v))
	return v
}

// exec changes the database as the owner of the tables.
func exec(t *testing.T, r *running, statement string, args ...any) {
	t.Helper()
	_, err := r.admin.Exec(t.Context(), statement, args...)
	require.NoError(t, err)
}

// revisions counts every version of every record there is: nothing is stored
// without leaving one.
func (r *running) revisions(t *testing.T) int {
	t.Helper()
	return sql[int](t, r, `select count(*)::int from revision`)
}

const anyPassword = "a long enough password"

// organisation makes an organisation and gives its owner.
func (r *running) organisation(t *testing.T, name string) store.Actor {
	t.Helper()
	hash, err := HashPassword(anyPassword, rand.Reader)
	require.NoError(t, err)
	owner, err := r.store.CreateOrganisation(t.Context(), storetest.NewID(t), name, store.Account{
		ID: storetest.NewID(t), Email: "owner@" + strings.ToLower(name) + ".test", Name: "Owner of " + name, Language: "en", PasswordHash: hash,
	})
	require.NoError(t, err)
	return owner
}

// person makes an account of the owner's organisation with the roles given.
func (r *running) person(t *testing.T, owner store.Actor, name string, roles ...store.SiteRole) store.Actor {
	t.Helper()
	id := storetest.NewID(t)
	account := store.Account{
		ID: id, Email: strings.ToLower(name) + "." + id.String() + "@people.test", Name: name, Language: "en", PasswordHash: "none", Roles: roles,
	}
	_, err := r.store.PutAccount(t.Context(), owner, store.Put{ID: id, Content: []byte(`{"name":"` + name + `"}`)}, account)
	require.NoError(t, err)
	return store.Actor{
		PersonID: id, Name: name, Email: account.Email, OrganisationID: owner.OrganisationID, Organisation: owner.Organisation, Roles: roles,
	}
}

// caller is somebody who asks, signed in or a stranger.
type caller struct {
	t      *testing.T
	url    string
	cookie string
	token  string
}

// signedIn opens a session as the sign-in would, without the work of a password.
func (r *running) signedIn(t *testing.T, a store.Actor) *caller {
	t.Helper()
	secret, err := newSecret(rand.Reader)
	require.NoError(t, err)
	require.NoError(t, r.store.StartSession(t.Context(), secret, a.PersonID, a.OrganisationID, sessionLasts))
	return &caller{t: t, url: r.url, cookie: secret}
}

func (r *running) stranger(t *testing.T) *caller { return &caller{t: t, url: r.url} }

// owner makes an organisation and signs its owner in.
func (r *running) newOwner(t *testing.T, name string) *caller {
	t.Helper()
	return r.signedIn(t, r.organisation(t, name))
}

type outcome struct {
	status int
	header http.Header
	text   string
}

func (r outcome) object(t *testing.T) object {
	t.Helper()
	var o object
	require.NoError(t, json.Unmarshal([]byte(r.text), &o), r.text)
	return o
}

// do asks; a body that is a string or bytes goes as it is, any other as JSON.
// Every answer is held against the contract.
func (c *caller) do(method, path string, body any, header ...string) outcome {
	c.t.Helper()
	var content io.Reader
	switch b := body.(type) {
	case nil:
	case string:
		content = strings.NewReader(b)
	case []byte:
		content = bytes.NewReader(b)
	default:
		text, err := json.Marshal(b)
		require.NoError(c.t, err)
		content = bytes.NewReader(text)
	}
	request, err := http.NewRequestWithContext(c.t.Context(), method, c.url+base+path, content)
	require.NoError(c.t, err)
	if content != nil {
		request.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(header); i += 2 {
		request.Header.Set(header[i], header[i+1])
	}
	if c.cookie != "" {
		request.AddCookie(&http.Cookie{Name: cookieName, Value: c.cookie})
	}
	if c.token != "" {
		request.Header.Set("Authorization", "Bearer "+c.token)
	}
	response, err := http.DefaultClient.Do(request)
	require.NoError(c.t, err)
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	require.NoError(c.t, err)
	out := outcome{response.StatusCode, response.Header, string(text)}
	requireKeepsContract(c.t, method, path, out)
	return out
}

// put stores a record and gives it back.
func (c *caller) put(path string, body any, header ...string) object {
	c.t.Helper()
	r := c.do(http.MethodPut, path, body, header...)
	require.Contains(c.t, []int{http.StatusOK, http.StatusCreated}, r.status, "PUT %s: %s", path, r.text)
	return r.object(c.t)
}

// new stores a record under an id of its own and gives the id.
func (c *caller) new(nouns string, body object) string {
	c.t.Helper()
	id := storetest.NewID(c.t).String()
	r := c.do(http.MethodPut, "/"+nouns+"/"+id, body)
	require.Equal(c.t, http.StatusCreated, r.status, "PUT %s: %s", nouns, r.text)
	return id
}

func (c *caller) get(path string) object {
	c.t.Helper()
	r := c.do(http.MethodGet, path, nil)
	require.Equal(c.t, http.StatusOK, r.status, "GET %s: %s", path, r.text)
	return r.object(c.t)
}

// items gives what a list holds.
func (c *caller) items(path string) []object {
	c.t.Helper()
	return objects(c.t, c.get(path)["items"])
}

func objects(t *testing.T, value any) []object {
	t.Helper()
	list, ok := value.([]any)
	require.True(t, ok, "%v is no list", value)
	out := make([]object, len(list))
	for i, x := range list {
		out[i], ok = x.(object)
		require.True(t, ok, "%v is no object", x)
	}
	return out
}

// requireRefused checks a refusal: its status, its code and the pointers of its
// faults, in any order.
func requireRefused(t *testing.T, r outcome, status int, code string, pointers ...string) object {
	t.Helper()
	require.Equal(t, status, r.status, r.text)
	require.Equal(t, "application/problem+json", r.header.Get("Content-Type"), r.text)
	p := r.object(t)
	require.Equal(t, code, p["code"], r.text)
	require.NotEmpty(t, p["instance"], "the request id")
	found := []string{}
	if p["errors"] != nil {
		for _, fault := range objects(t, p["errors"]) {
			found = append(found, fault["pointer"].(string))
		}
	}
	require.ElementsMatch(t, append([]string{}, pointers...), found, r.text)
	return p
}

// grounds are a site with plants on it: everything that looks and inspections need.
type grounds struct {
	organism                                   string // the crop's main pest
	site, house, section, block                string
	supplier, farm, crop, cultivar             string
	season, shipment, lot                      string
	leftAt, dockedAt, stuckAt, lookedAt, week  string
	arrivedOn, shippedOn, code, foliage, bract string
}

// newGrounds makes them through the API, with names that begin with the mark.
func newGrounds(c *caller, mark string) grounds {
	g := grounds{
		leftAt: "2026-07-31T16:00:00Z", dockedAt: "2026-08-03T15:00:00Z", stuckAt: "2026-08-05T14:00:00Z", lookedAt: "2026-08-12T15:30:00Z",
		week: "2026-W33", arrivedOn: "2026-08-03", shippedOn: "2026-07-31", foliage: "light", bract: "red",
	}
	g.organism = organismByEPPO(c, "TRIAVA")
	g.site = c.new("sites", object{"name": mark + " site", "time_zone": "America/Chicago"})
	g.house = c.new("houses", object{"site_id": g.site, "name": mark + " house", "area_m2": 900})
	g.section = c.new("sections", object{"site_id": g.site, "name": mark + " section"})
	g.block = c.new("blocks", object{"house_id": g.house, "section_id": g.section, "name": mark + " 7", "position": 7})
	g.supplier = c.new("suppliers", object{"name": mark + " cuttings"})
	g.farm = c.new("farms", object{"supplier_id": g.supplier, "name": mark + " farm"})
	g.crop = c.new("crops", object{"name": mark + " crop", "main_organism_id": g.organism})
	g.cultivar = c.new("cultivars", object{"crop_id": g.crop, "name": mark + " cultivar", "foliage": g.foliage, "bract_colour": g.bract})
	g.shipment = c.new("shipments", object{
		"site_id": g.site, "supplier_id": g.supplier, "expected_on": g.arrivedOn, "left_at": g.leftAt, "docked_at": g.dockedAt,
		"note": mark,
	})
	lot := object{
		"shipment_id": g.shipment, "cultivar_id": g.cultivar, "plants": 1000, "form": "unrooted", "farm_ids": []string{g.farm}, "note": mark,
	}
	g.lot = c.new("lots", lot)
	stored := c.get("/lots/" + g.lot)
	g.season, g.code = stored["season_id"].(string), stored["code"].(string)
	return g
}

func organismByEPPO(c *caller, eppo string) string {
	c.t.Helper()
	for _, x := range c.items("/organisms?limit=200") {
		if x["eppo_code"] == eppo {
			return x["id"].(string)
		}
	}
	require.FailNow(c.t, "no organism "+eppo)
	return ""
}

// stick says that the whole lot was stuck in the block.
func (g grounds) stick() object {
	return object{"lot_id": g.lot, "kind": "stick", "moved_at": g.stuckAt, "plants": 1000, "to_block_id": g.block}
}

// look is 18 plants of the lot looked at one by one, 4 of them infested.
func (g grounds) look() object {
	plants := make([]object, 18)
	for i := range plants {
		plants[i] = object{"seen": i%5 == 1}
	}
	return object{
		"block_id": g.block, "lot_id": g.lot, "looked_at": g.lookedAt,
		"targets": []object{{"organism_id": g.organism, "signs_looked_for": true, "plants": plants}},
	}
}

func (g grounds) inspection(plants, infested int) object {
	return object{
		"lot_id": g.lot, "kind": "dock", "inspected_at": "2026-08-03T17:00:00Z", "lens_power": 10,
		"findings": []object{{"organism_id": g.organism, "plants_looked_at": plants, "infested_plants": infested}},
	}
}

// with gives a copy of a body with some members changed; nil takes one away.
func with(body object, changes object) object {
	out := object{}
	for name, value := range body {
		out[name] = value
	}
	for name, value := range changes {
		if value == nil {
			delete(out, name)
			continue
		}
		out[name] = value
	}
	return out
}

func idOf(t *testing.T, text string) domain.ID {
	t.Helper()
	id, err := domain.ParseID(text)
	require.NoError(t, err)
	return id
}
