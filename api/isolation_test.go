package api

import (
	"context"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
)

// firstborn is an organisation with one record of every noun, each with the
// mark in a text of its own.
type firstborn struct {
	grounds
	records map[string]stored // by plural noun
	siteOwn []string          // the nouns whose records are a site's own
}

type stored struct {
	id   string
	body object
}

const mark = "Quillon"

func newFirstborn(c *caller) firstborn {
	f := firstborn{grounds: newGrounds(c, mark), records: map[string]stored{}}
	add := func(nouns string, body object) string {
		id := c.new(nouns, body)
		f.records[nouns] = stored{id, body}
		return id
	}
	add("movements", with(f.stick(), object{"note": mark}))
	inspection := add("inspections", with(f.inspection(57, 2), object{"note": mark}))
	add("verdicts", object{"inspection_id": inspection, "decision": "accept", "because": mark})
	add("looks", with(f.look(), object{"note": mark}))
	add("thresholds", object{
		"organism_id": f.organism, "crop_id": f.crop, "house_id": f.house, "from_on": "2026-08-01", "to_on": "2026-12-01", "percent": 5,
		"effect": "act", "source": mark,
	})
	add("decisions", f.decision(mark))
	add("customers", object{"name": mark})
	add("holds", object{"scope": "lot", "scope_id": f.lot, "kind": "internal", "from_at": "2026-11-01T08:00:00Z", "reason": mark})
	add("lab-samples", object{"lot_id": f.lot, "taken_at": "2026-10-01T08:00:00Z", "note": mark})
	photo := add("photos", object{"subject_noun": "lots", "subject_id": f.lot, "taken_at": "2026-08-12T15:30:00Z", "note": mark})
	c.sendPicture(photo, somePicture(c.t))
	add("claims", with(f.claim(), object{"text": mark}))
	brought := with(f.file(importHeading+f.line(mark, "2026-08-13", 60, 12)), object{"file_name": mark + ".csv"})
	add("imports", brought)
	for nouns, id := range map[string]string{
		"sites": f.site, "houses": f.house, "sections": f.section, "blocks": f.block, "shipments": f.shipment, "lots": f.lot,
		"suppliers": f.supplier, "farms": f.farm, "crops": f.crop, "cultivars": f.cultivar, "seasons": f.season,
	} {
		body := objects(c.t, c.get("/revisions?record_id=" + id)["items"])[0]["body"].(object)
		f.records[nouns] = stored{id, body}
	}
	f.records["seasons"] = stored{f.season, object{
		"crop_id": f.crop, "year": 2026, "starts_on": "2026-01-01", "ends_on": "2026-12-31",
	}}
	add("tokens", object{"name": mark})
	add("letters", object{"site_id": f.site, "section_id": f.section})
	account := object{"email": strings.ToLower(mark) + "@people.test", "name": mark, "password": anyPassword, "roles": []object{{"role": "owner"}}}
	add("accounts", account)
	f.siteOwn = []string{
		"sites", "houses", "sections", "blocks", "shipments", "lots", "movements", "inspections", "verdicts", "looks", "thresholds",
		"decisions", "holds", "lab-samples", "photos", "claims", "letters", "imports",
	}
	return f
}

// secrets are what nobody else may read: the mark and the ids.
func (f firstborn) secrets(nouns ...string) []string {
	out := []string{mark}
	for _, n := range nouns {
		out = append(out, f.records[n].id)
	}
	return out
}

// addresses gives an address for each way to ask an operation about the first
// one's rows: bare, and narrowed by each of its parameters in turn.
func (f firstborn) addresses(op operation) []string {
	values := map[string][]string{
		"site_id": {f.site}, "house_id": {f.house}, "block_id": {f.block}, "section_id": {f.section}, "lot_id": {f.lot}, "cultivar_id": {f.cultivar}, "crop_id": {f.crop},
		"supplier_id": {f.supplier}, "shipment_id": {f.shipment}, "season_id": {f.season}, "organism_id": {f.organism}, "organism": {"TRIAVA"},
		"subject_id": {f.lot}, "token": {"forged"}, "size": {"full", "small"},
		"minutes": {"60"}, "from": {"lot"}, "id": {f.lot}, "way": {"forward", "back"}, "week": {f.week}, "at": {f.lookedAt}, "on": {"2026-09-14"}, "by": {
			"lot", "cultivar", "arrival", "shipped", "supplier", "farm", "form", "foliage", "bract", "block", "section", "house", "site",
		},
		"lot_size": {"1000"}, "detection_percent": {"5"}, "confidence_percent": {"95"}, "examined": {"18"}, "infested": {"4"},
		"examined_a": {"18"}, "infested_a": {"4"}, "examined_b": {"20"}, "infested_b": {"2"},
		"acceptable_percent": {"10"}, "action_percent": {"20"}, "alpha": {"0.1"}, "beta": {"0.1"}, "minimum": {"10"}, "maximum": {"30"}, "lower": {"12"},
	}
	for _, r := range f.records {
		values["record_id"] = append(values["record_id"], r.id)
	}
	paths := []string{op.path}
	if nouns, _, one := strings.Cut(strings.TrimPrefix(op.path, "/"), "/{id}"); one {
		id := f.records[nouns].id
		if nouns == "organisms" {
			id = f.organism
		}
		paths = []string{strings.Replace(op.path, "{id}", id, 1)}
	}
	needed := []url.Values{{}}
	for _, p := range op.parameters {
		if !p.required {
			continue
		}
		var more []url.Values
		for _, q := range needed {
			for _, value := range values[p.name] {
				wider := maps.Clone(q)
				wider.Set(p.name, value)
				more = append(more, wider)
			}
		}
		needed = more
	}
	var out []string
	for _, path := range paths {
		for _, q := range needed {
			out = append(out, path+"?"+q.Encode())
			for _, p := range op.parameters {
				for _, value := range values[p.name] {
					if !p.required {
						wider := maps.Clone(q)
						wider.Set(p.name, value)
						out = append(out, path+"?"+wider.Encode())
					}
				}
			}
		}
	}
	return out
}

// requireSeesNothing asks every reading operation of the contract about the
// first one's rows; none of the secrets may come back.
func requireSeesNothing(t *testing.T, c *caller, f firstborn, secrets []string, but ...string) {
	t.Helper()
	asked := 0
	for _, op := range operationsOf(t) {
		if op.method != http.MethodGet || slices.Contains(but, op.name) {
			continue
		}
		for _, address := range f.addresses(op) {
			answer := c.do(http.MethodGet, address, nil)
			asked++
			require.Contains(t, []int{http.StatusOK, http.StatusNotFound, http.StatusUnprocessableEntity, http.StatusForbidden}, answer.status,
				"%s: %s", address, answer.text)
			for _, secret := range secrets {
				require.NotContains(t, answer.text, secret, address)
			}
		}
	}
	require.Greater(t, asked, 150)
}

func TestAnotherOrganisationSeesNothing(t *testing.T) {
	t.Parallel()
	r := run(t)
	f := newFirstborn(r.newOwner(t, "Firstborn"))
	second := r.newOwner(t, "Second")
	secrets := append(f.secrets(slices.Collect(maps.Keys(f.records))...), f.organism, "firstborn")
	requireSeesNothing(t, second, f, secrets)

	for _, nouns := range slices.Sorted(maps.Keys(f.records)) {
		require.Equal(t, http.StatusNotFound, second.do(http.MethodGet, "/"+nouns+"/"+f.records[nouns].id, nil).status, nouns)
		if nouns != "accounts" {
			require.Empty(t, second.items("/"+nouns), nouns)
		}
		requireRefused(t, second.do(http.MethodGet, "/revisions?record_id="+f.records[nouns].id, nil), http.StatusNotFound, "not_found")
	}
	for _, by := range schemaEnum(t, "TrendBy") {
		trends := second.get(fmt.Sprintf("/trends?by=%s", by))
		require.Empty(t, trends["groups"])
		require.Equal(t, object{"on_purpose": 0.0, "withdrawn": 0.0}, trends["left_out"])
	}
	requireRefused(t, second.do(http.MethodGet, "/house-map?house_id="+f.records["houses"].id, nil), http.StatusUnprocessableEntity, "invalid", "#query/house_id")
	arrivals := second.get("/arrivals?foliage=light")
	require.Empty(t, arrivals["weeks"])
	require.Equal(t, object{"on_purpose": 0.0, "withdrawn": 0.0}, arrivals["left_out"])
	paste := second.do(http.MethodPost, "/pasted-lots", object{"shipment_id": f.shipment, "text": mark + " cultivar 100"})
	requireRefused(t, paste, http.StatusUnprocessableEntity, "invalid", "/shipment_id")
}

func TestAnotherOrganisationChangesNothing(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Firstborn")
	f := newFirstborn(r.signedIn(t, owner))
	second := r.newOwner(t, "Second")
	before := r.everyRowOf(t, owner)
	for _, nouns := range slices.Sorted(maps.Keys(f.records)) {
		path := "/" + nouns + "/" + f.records[nouns].id
		body := f.records[nouns].body
		corrected := second.do(http.MethodPut, path, body, "If-Match", "1")
		requireRefused(t, corrected, http.StatusPreconditionFailed, "stale")
		made := second.do(http.MethodPut, path, body)
		switch nouns {
		case "sites", "suppliers", "customers", "tokens":
			// They name nothing else, so the id is free in the second organisation.
			require.Equal(t, http.StatusCreated, made.status, made.text)
		case "accounts": // persons stand outside the organisations
			require.Equal(t, http.StatusConflict, made.status, made.text)
		default:
			require.Equal(t, http.StatusUnprocessableEntity, made.status, "%s: %s", nouns, made.text)
		}
	}
	records := []object{}
	for _, nouns := range []string{"shipments", "lots", "inspections", "verdicts", "movements", "looks"} {
		records = append(records, object{"noun": nouns, "id": f.records[nouns].id, "body": f.records[nouns].body, "if_match": 1})
	}
	answer := second.do(http.MethodPost, "/outbox", object{"records": records})
	for _, one := range objects(t, answer.object(t)["answers"]) {
		require.InDelta(t, http.StatusPreconditionFailed, one["status"], 0)
	}
	require.Equal(t, before, r.everyRowOf(t, owner))
}

// everyRowOf gives all rows of an organisation in every table, as text.
func (r *running) everyRowOf(t *testing.T, a store.Actor) map[string]string {
	t.Helper()
	rows := map[string]string{}
	for _, table := range tablesWith(t, r.owner, "organisation_id") {
		if table == "session" {
			continue // who signs in is no record
		}
		rows[table] = sql[string](t, r, `select coalesce(string_agg(t::text, e'\n' order by t::text), '') from `+table+` t
			where organisation_id = $1`, a.OrganisationID.String())
	}
	require.Greater(t, len(rows), 20)
	return rows
}

func tablesWith(t *testing.T, address, column string) []string {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), address)
	require.NoError(t, err)
	defer func() { require.NoError(t, conn.Close(context.Background())) }()
	rows, err := conn.Query(t.Context(), `select c.relname from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attname = $1
		where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p') order by 1`, column)
	require.NoError(t, err)
	tables, err := pgx.CollectRows(rows, pgx.RowTo[string])
	require.NoError(t, err)
	return tables
}

func TestAnAccountOfAnotherSiteSeesNothingThatIsASitesOwn(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Firstborn")
	c := r.signedIn(t, owner)
	f := newFirstborn(c)
	other := c.new("sites", object{"name": "Elsewhere", "time_zone": "Europe/Madrid"})
	// What belongs to the whole organisation may be read, so it carries no mark.
	for _, shared := range []struct {
		nouns string
		body  object
	}{
		{"suppliers", object{"name": "Shared cuttings"}},
		{"customers", object{"name": "Shared garden centre"}},
		{"farms", object{"supplier_id": f.supplier, "name": "Shared farm"}},
		{"crops", object{"name": "Shared crop", "main_organism_id": f.organism}},
		{"cultivars", object{"crop_id": f.crop, "name": "Shared cultivar", "foliage": f.foliage, "bract_colour": f.bract}},
	} {
		c.put("/"+shared.nouns+"/"+f.records[shared.nouns].id, shared.body, "If-Match", "1")
	}
	secrets := []string{mark + " site", mark + " house", mark + " section", mark + " 7", "firstborn.test"}
	for _, nouns := range f.siteOwn {
		secrets = append(secrets, f.records[nouns].id)
	}
	before := r.everyRowOf(t, owner)
	for _, role := range []store.Role{store.Receiver, store.Grower, store.Owner} {
		person := r.signedIn(t, r.person(t, owner, string(role), store.SiteRole{Role: role, SiteID: idOf(t, other)}))
		// The history of what is shared still has its first names; accounts are for owners.
		requireSeesNothing(t, person, f, secrets, "listRevisions", "listAccounts", "getAccount")
		for _, nouns := range f.siteOwn {
			path := "/" + nouns + "/" + f.records[nouns].id
			requireRefused(t, person.do(http.MethodGet, path, nil), http.StatusNotFound, "not_found")
			requireRefused(t, person.do(http.MethodGet, "/revisions?record_id="+f.records[nouns].id, nil), http.StatusNotFound, "not_found")
			for _, header := range [][]string{nil, {"If-Match", "1"}} {
				refused := person.do(http.MethodPut, path, f.records[nouns].body, header...)
				require.Contains(t, []int{http.StatusForbidden, http.StatusPreconditionFailed, http.StatusUnprocessableEntity}, refused.status,
					"%s %v: %s", path, header, refused.text)
				requireNoInnards(t, refused.text)
			}
		}
		require.Len(t, person.items("/sites"), 1)
		require.NotEmpty(t, person.items("/suppliers"), "suppliers are the organisation's")
	}
	after := r.everyRowOf(t, owner)
	for _, table := range []string{"membership", "site_role", "revision"} { // the three new accounts
		delete(before, table)
		delete(after, table)
	}
	require.Equal(t, before, after)
}

func TestAPersonOfOneSiteCannotPointIntoAnother(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Firstborn")
	c := r.signedIn(t, owner)
	f := newFirstborn(c)
	other := c.new("sites", object{"name": "Elsewhere", "time_zone": "Europe/Madrid"})
	house := c.new("houses", object{"site_id": other, "name": "Far house"})
	block := c.new("blocks", object{"house_id": house, "name": "1", "position": 1})
	person := r.signedIn(t, r.person(t, owner, "Olga", store.SiteRole{Role: store.Owner, SiteID: idOf(t, other)}))
	before := r.revisions(t)
	for _, x := range []struct {
		nouns, pointer string
		body           object
	}{
		{"blocks", "/section_id", object{"house_id": house, "section_id": f.section, "name": "2", "position": 2}},
		{"blocks", "/house_id", object{"house_id": f.house, "name": "2", "position": 2}},
		{"shipments", "/site_id", object{"site_id": f.site, "supplier_id": f.supplier, "expected_on": "2026-09-20"}},
		{"lots", "/shipment_id", object{"shipment_id": f.shipment, "cultivar_id": f.cultivar, "plants": 5}},
		{"looks", "/lot_id", with(f.look(), object{"block_id": block})},
		{"looks", "/block_id", with(f.look(), object{"lot_id": nil})},
		{"movements", "/lot_id", with(f.stick(), object{"to_block_id": block})},
		{"inspections", "/lot_id", f.inspection(57, 2)},
		{"verdicts", "/inspection_id", object{"inspection_id": f.records["inspections"].id, "decision": "hold"}},
		{"thresholds", "/house_id", f.records["thresholds"].body},
		{"decisions", "/house_id", f.records["decisions"].body},
		{"holds", "/scope_id", f.records["holds"].body},
		{"lab-samples", "/lot_id", f.records["lab-samples"].body},
		{"photos", "/subject_id", f.records["photos"].body},
		{"claims", "/shipment_id", f.records["claims"].body},
	} {
		refused := person.do(http.MethodPut, "/"+x.nouns+"/"+storetest.NewID(t).String(), x.body)
		requireRefused(t, refused, http.StatusUnprocessableEntity, "invalid", x.pointer)
	}
	for _, nouns := range []string{"houses", "sections"} {
		refused := person.do(http.MethodPut, "/"+nouns+"/"+storetest.NewID(t).String(), object{"site_id": f.site, "name": "Mine"})
		requireRefused(t, refused, http.StatusForbidden, "forbidden")
	}
	requireRefused(t, c.do(http.MethodPut, "/blocks/"+storetest.NewID(t).String(), object{
		"house_id": house, "section_id": f.section, "name": "2", "position": 2,
	}), http.StatusUnprocessableEntity, "invalid", "/section_id")
	require.Equal(t, before, r.revisions(t))
}

func TestStrangersGetNowhereButToSumsAndSignIn(t *testing.T) {
	t.Parallel()
	r := run(t)
	f := newFirstborn(r.newOwner(t, "Firstborn"))
	before := r.revisions(t)
	forged := &caller{t: t, url: r.url, cookie: "forged"}
	bearer := &caller{t: t, url: r.url, token: "forged"}
	closed := 0
	for _, op := range operationsOf(t) {
		address := strings.Replace(op.path, "{id}", f.lot, 1)
		if op.method == http.MethodGet {
			address = f.addresses(op)[0]
		}
		var body any
		if op.body != "<nil>" {
			body = object{}
		}
		for _, c := range []*caller{r.stranger(t), forged, bearer} {
			answer := c.do(op.method, address, body)
			if op.open {
				require.NotEqual(t, http.StatusUnauthorized, answer.status, op.name)
				continue
			}
			requireRefused(t, answer, http.StatusUnauthorized, "sign_in")
			closed++
		}
	}
	require.Greater(t, closed, 150)
	require.Equal(t, before, r.revisions(t))
}

func TestRolesSayWhoMayWriteWhat(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Firstborn")
	c := r.signedIn(t, owner)
	f := newFirstborn(c)
	site := idOf(t, f.site)
	people := map[string]*caller{
		"owner":      c,
		"site owner": r.signedIn(t, r.person(t, owner, "Sol", store.SiteRole{Role: store.Owner, SiteID: site})),
		"grower":     r.signedIn(t, r.person(t, owner, "Gwen", store.SiteRole{Role: store.Grower, SiteID: site})),
		"receiver":   r.signedIn(t, r.person(t, owner, "Rae", store.SiteRole{Role: store.Receiver, SiteID: site})),
	}
	may := map[string]string{
		"sites": "owner", "accounts": "owner",
		"houses": "owner, site owner", "sections": "owner, site owner", "blocks": "owner, site owner", "crops": "owner",
		"seasons": "owner", "thresholds": "owner, site owner, grower", "decisions": "owner, site owner, grower",
		"imports": "owner, site owner, grower",
	}
	for who, person := range people {
		for _, nouns := range slices.Sorted(maps.Keys(f.records)) {
			allowed, restricted := may[nouns]
			// An empty body gets no further than the question who may.
			answer := person.do(http.MethodPut, "/"+nouns+"/"+storetest.NewID(t).String(), object{})
			if restricted && !slices.Contains(strings.Split(allowed, ", "), who) {
				requireRefused(t, answer, http.StatusForbidden, "forbidden")
				continue
			}
			require.Equal(t, http.StatusUnprocessableEntity, answer.status, "%s of a %s: %s", nouns, who, answer.text)
		}
		require.NotEmpty(t, objects(t, person.get("/trends?by=lot")["groups"]), "%s reads the trends", who)
	}
	requireRefused(t, people["grower"].do(http.MethodGet, "/accounts", nil), http.StatusForbidden, "forbidden")
}
