package api

import (
	"fmt"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store/storetest"
)

const (
	nobody   = "01900000-0000-7000-8000-00000000beef" // names nothing
	allZeros = "00000000-0000-0000-0000-000000000000"
)

// badBody is a PUT that must be refused.
type badBody struct {
	name     string
	nouns    string
	body     any
	status   int
	code     string
	pointers []string
}

func invalid(name, nouns string, body any, pointers ...string) badBody {
	return badBody{name, nouns, body, http.StatusUnprocessableEntity, "invalid", pointers}
}

func TestBadBodiesAreRefusedWithAPointerAndNothingIsStored(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	finding := func(changes object) []object {
		return []object{with(object{"organism_id": g.organism, "plants_looked_at": 57, "infested_plants": 2}, changes)}
	}
	target := func(changes object) []object {
		tally := object{"plants_looked_at": 18, "infested_plants": 4}
		return []object{with(object{"organism_id": g.organism, "tally": tally}, changes)}
	}
	inspection := func(changes object) object { return with(g.inspection(57, 2), changes) }
	look := func(changes object) object { return with(g.look(), changes) }
	shipment := func(changes object) object {
		return with(object{"site_id": g.site, "supplier_id": g.supplier, "expected_on": "2026-08-03"}, changes)
	}
	lot := func(changes object) object {
		return with(object{"shipment_id": g.shipment, "cultivar_id": g.cultivar, "plants": 100}, changes)
	}
	bad := []badBody{
		invalid("a number for a name", "suppliers", object{"name": 7}, "/name"),
		invalid("a text for a number", "lots", lot(object{"plants": "100"}), "/plants"),
		invalid("a broken number of plants", "lots", lot(object{"plants": 1.5}), "/plants"),
		invalid("a list for a body", "suppliers", []object{}, ""),
		invalid("null for a body", "suppliers", "null", ""),
		invalid("an unknown member", "suppliers", object{"name": "A", "colour": "red"}, "/colour"),
		invalid("an unknown member deep inside", "inspections", inspection(object{"findings": finding(object{"lens": 1})}), "/findings/0/lens"),
		invalid("a member with a slash", "suppliers", object{"name": "A", "a/b~c": 1}, "/a~1b~0c"),
		invalid("nothing at all", "sites", object{}, "/name", "/time_zone"),
		invalid("an empty name", "sites", object{"name": "", "time_zone": "Europe/Madrid"}, "/name"),
		invalid("a name too long", "sites", object{"name": strings.Repeat("n", 201), "time_zone": "Europe/Madrid"}, "/name"),
		invalid("a character that text cannot hold", "suppliers", `{"name":"A\u0000B"}`, "/name"),
		invalid("the same deep inside", "inspections", inspection(object{"other_diseases": []object{
			{"name": "a\x00", "plants_looked_at": 5, "plants_with": 1},
		}}), "/other_diseases/0/name"),
		invalid("a zone there is not", "sites", object{"name": "A", "time_zone": "Mars/Olympus"}, "/time_zone"),
		invalid("the zone of the machine", "sites", object{"name": "A", "time_zone": "Local"}, "/time_zone"),
		invalid("a country in full", "suppliers", object{"name": "A", "country": "Canada"}, "/country"),
		invalid("an id that is none", "houses", object{"site_id": "north", "name": "A"}, "/site_id"),
		invalid("the id of all zeros", "houses", object{"site_id": allZeros, "name": "A"}, "/site_id"),
		invalid("a day there is not", "shipments", shipment(object{"expected_on": "2026-02-30"}), "/expected_on"),
		invalid("a day before there were growers", "shipments", shipment(object{"expected_on": "0000-01-01"}), "/expected_on"),
		invalid("a moment without a zone", "looks", look(object{"looked_at": "2026-08-12T15:30:00"}), "/looked_at"),
		invalid("a moment in the year 0", "looks", look(object{"looked_at": "0000-01-01T00:00:00Z"}), "/looked_at"),
		invalid("a moment at the end of days", "looks", look(object{"looked_at": "9999-12-31T23:59:59-12:00"}), "/looked_at"),
		invalid("a leap second", "looks", look(object{"looked_at": "2016-12-31T23:59:60Z"}), "/looked_at"),
		invalid("a choice there is not", "cultivars", object{"crop_id": g.crop, "name": "A", "foliage": "blue"}, "/foliage"),
		invalid("a season that ends before it starts", "seasons",
			object{"crop_id": g.crop, "year": 2028, "starts_on": "2028-09-01", "ends_on": "2028-08-01"}, "/ends_on"),
		invalid("a second look that ends before it starts", "crops",
			object{"name": "A", "main_organism_id": g.organism, "second_look_from_days": 20, "second_look_to_days": 10}, "/second_look_to_days"),
		invalid("landed before it left", "shipments", shipment(object{"left_at": "2026-08-02T00:00:00Z", "landed_at": "2026-08-01T00:00:00Z"}),
			"/landed_at"),
		invalid("a lot of none", "lots", lot(object{"plants": 0}), "/plants"),
		invalid("the same farm twice", "lots", lot(object{"farm_ids": []string{g.farm, g.farm}}), "/farm_ids/1"),
		invalid("more infested than looked at", "inspections", inspection(object{"findings": finding(object{"infested_plants": 58})}),
			"/findings/0/infested_plants"),
		invalid("more looked at than the lot has", "inspections", inspection(object{"findings": finding(object{"plants_looked_at": 1001})}),
			"/findings/0/plants_looked_at"),
		invalid("inspected before it left", "inspections", inspection(object{"inspected_at": "2026-07-31T15:59:59Z"}), "/inspected_at"),
		invalid("no finding", "inspections", inspection(object{"findings": []object{}}), "/findings"),
		invalid("one organism twice", "inspections", inspection(object{"findings": append(finding(nil), finding(nil)...)}), "/findings/1/organism_id"),
		invalid("a sign on more plants than looked at", "inspections",
			inspection(object{"findings": finding(object{"signs": []object{{"stage": "egg", "plants": 58}}})}), "/findings/0/signs/0/plants"),
		invalid("leaf spots on more than looked at", "inspections",
			inspection(object{"leaf_spots": object{"plants_looked_at": 5, "plants_with": 6}}), "/leaf_spots/plants_with"),
		invalid("a tally with more infested than looked at", "looks",
			look(object{"targets": target(object{"tally": object{"plants_looked_at": 18, "infested_plants": 19}})}), "/targets/0/tally/infested_plants"),
		invalid("plants and a tally", "looks", look(object{"targets": target(object{"plants": []object{{"seen": true}}})}), "/targets/0/tally"),
		invalid("neither plants nor a tally", "looks", look(object{"targets": target(object{"tally": nil})}), "/targets/0"),
		invalid("signs where nothing was seen", "looks", look(object{"targets": target(object{"tally": nil, "plants": []object{
			{"seen": false, "signs": []object{{"stage": "egg", "place": "new_growth"}}},
		}})}), "/targets/0/plants/0/signs"),
		invalid("classes that do not add up", "looks", look(object{"targets": target(object{"severity": []int{1, 2, 3, 4, 5}})}), "/targets/0/severity"),
		invalid("more to discard than there is", "movements",
			object{"lot_id": g.lot, "kind": "discard", "moved_at": g.stuckAt, "plants": 1001, "reason": "dry"}, "/plants"),
		invalid("a discard without a reason", "movements",
			object{"lot_id": g.lot, "kind": "discard", "moved_at": g.stuckAt, "plants": 1}, "/reason"),
		invalid("a move into the block it stands in", "movements",
			object{"lot_id": g.lot, "kind": "move", "moved_at": g.stuckAt, "plants": 1, "from_block_id": g.block, "to_block_id": g.block}, "/to_block_id"),
		invalid("a limit above everything", "thresholds", object{
			"organism_id": g.organism, "crop_id": g.crop, "from_on": "2026-08-01", "to_on": "2026-09-01", "percent": 101, "effect": "act", "source": "us",
		}, "/percent"),
		invalid("a short password", "accounts", object{"email": "a@b.test", "name": "A", "password": "short", "roles": []object{{"role": "owner"}}},
			"/password"),
		invalid("a new account without one", "accounts", object{"email": "a@b.test", "name": "A", "roles": []object{{"role": "owner"}}}, "/password"),
		invalid("a grower of no site", "accounts",
			object{"email": "a@b.test", "name": "A", "password": anyPassword, "roles": []object{{"role": "grower"}}}, "/roles/0/site_id"),
		invalid("an account of the demo", "accounts", object{
			"email": "owner@demo.example", "name": "A", "password": anyPassword, "roles": []object{{"role": "owner"}},
		}, "/email"),

		invalid("a site there is not", "houses", object{"site_id": nobody, "name": "A"}, "/site_id"),
		invalid("a house there is not", "blocks", object{"house_id": nobody, "name": "A", "position": 1}, "/house_id"),
		invalid("a section there is not", "blocks", object{"house_id": g.house, "section_id": nobody, "name": "A", "position": 1}, "/section_id"),
		invalid("a grower there is not", "sections", object{"site_id": g.site, "name": "A", "grower_id": nobody}, "/grower_id"),
		invalid("a supplier there is not", "farms", object{"supplier_id": nobody, "name": "A"}, "/supplier_id"),
		invalid("a crop there is not", "cultivars", object{"crop_id": nobody, "name": "A", "foliage": "dark"}, "/crop_id"),
		invalid("a pest there is not", "crops", object{"name": "A", "main_organism_id": nobody}, "/main_organism_id"),
		invalid("an ordered cultivar there is not", "shipments",
			shipment(object{"order_lines": []object{{"cultivar_id": nobody, "ordered": 5}}}), "/order_lines"),
		invalid("a shipment there is not", "lots", lot(object{"shipment_id": nobody}), "/shipment_id"),
		invalid("a cultivar there is not", "lots", lot(object{"cultivar_id": nobody}), "/cultivar_id"),
		invalid("a farm there is not", "lots", lot(object{"farm_ids": []string{nobody}}), "/farm_ids"),
		invalid("a lot there is not", "inspections", inspection(object{"lot_id": nobody}), "/lot_id"),
		invalid("an inspector there is not", "inspections", inspection(object{"inspector_id": nobody}), "/inspector_id"),
		invalid("an organism there is not", "inspections", inspection(object{"findings": finding(object{"organism_id": nobody})}), "/findings"),
		invalid("an inspection there is not", "verdicts", object{"inspection_id": nobody, "decision": "accept"}, "/inspection_id"),
		invalid("a block there is not", "looks", look(object{"block_id": nobody}), "/block_id"),
		invalid("a lot looked at there is not", "looks", look(object{"lot_id": nobody}), "/lot_id"),
		invalid("an observer there is not", "looks", look(object{"observer_id": nobody}), "/observer_id"),
		invalid("an organism looked for there is not", "looks", look(object{"targets": target(object{"organism_id": nobody})}), "/targets/0/organism_id"),
		invalid("a block to stick in there is not", "movements", with(g.stick(), object{"to_block_id": nobody}), "/to_block_id"),
		invalid("a block to move from there is not", "movements", object{
			"lot_id": g.lot, "kind": "move", "moved_at": g.stuckAt, "plants": 1, "from_block_id": nobody, "to_block_id": g.block,
		}, "/from_block_id"),
		invalid("a role at a site there is not", "accounts",
			object{"email": "a@b.test", "name": "A", "password": anyPassword, "roles": []object{{"role": "grower", "site_id": nobody}}}, "/roles"),
		invalid("a limit on a house there is not", "thresholds", object{
			"organism_id": g.organism, "crop_id": g.crop, "house_id": nobody, "from_on": "2026-08-01", "to_on": "2026-09-01", "percent": 1,
			"effect": "act", "source": "us",
		}, "/house_id"),

		{"JSON cut short", "suppliers", `{"name":`, http.StatusBadRequest, "not_json", []string{""}},
		{"an empty body", "suppliers", ``, http.StatusBadRequest, "not_json", []string{""}},
		{"two bodies", "suppliers", `{"name":"A"}{"name":"B"}`, http.StatusBadRequest, "not_json", []string{""}},
		{"2 MB", "suppliers", `{"name":"` + strings.Repeat("x", 2<<20) + `"}`, http.StatusRequestEntityTooLarge, "too_large", nil},
	}
	before := r.revisions(t)
	for _, x := range bad {
		refused := c.do(http.MethodPut, "/"+x.nouns+"/"+storetest.NewID(t).String(), x.body)
		require.Equal(t, x.status, refused.status, "%s: %s", x.name, refused.text)
		requireRefused(t, refused, x.status, x.code, x.pointers...)
		requireNoInnards(t, refused.text)
	}
	require.Equal(t, before, r.revisions(t), "nothing was stored")
	require.NotContains(t, r.log.String(), "level=ERROR")
}

var instance = regexp.MustCompile(`"instance":"[^"]*"`)

// requireNoInnards checks that no word of the database or of the code left.
func requireNoInnards(t *testing.T, text string) {
	t.Helper()
	text = instance.ReplaceAllString(text, "") // its letters fall as they may
	for _, word := range []string{"SQLSTATE", "constraint", "relation", "select ", "insert ", "pgx", "jsonschema", "contract.json", ".go:", "fkey"} {
		require.NotContains(t, text, word)
	}
}

func TestEveryFaultOfABodyComesAtOnce(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	before := r.revisions(t)
	shape := c.do(http.MethodPut, "/looks/"+storetest.NewID(t).String(), object{
		"lot_id": 5, "looked_at": "noon", "purpose": "curious", "stray": true,
		"targets": []object{
			{"organism_id": g.organism, "plants": []object{{}, {"seen": "yes"}}},
			{"tally": object{"plants_looked_at": 0, "infested_plants": -1}},
		},
	})
	requireRefused(t, shape, http.StatusUnprocessableEntity, "invalid",
		"/block_id", "/lot_id", "/looked_at", "/purpose", "/stray", "/targets/0/plants/0/seen", "/targets/0/plants/1/seen",
		"/targets/1/organism_id", "/targets/1/tally/plants_looked_at", "/targets/1/tally/infested_plants")
	meaning := c.do(http.MethodPut, "/inspections/"+storetest.NewID(t).String(), with(g.inspection(5, 6), object{
		"leaf_spots": object{"plants_looked_at": 1, "plants_with": 2}, "other_diseases": []object{{"name": "rot", "plants_looked_at": 1, "plants_with": 3}},
	}))
	requireRefused(t, meaning, http.StatusUnprocessableEntity, "invalid",
		"/findings/0/infested_plants", "/leaf_spots/plants_with", "/other_diseases/0/plants_with")
	require.Equal(t, before, r.revisions(t))
}

func TestBrokenJSONIsRefusedWithItsLineAndColumn(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	for body, place := range map[string]string{
		"{\n  \"name\": \"A\",\n  oops\n}":   "line 3, column 3",
		`{"name": 'A'}`:                      "line 1, column 10",
		"{\"name\":\n\"A\"":                  "line 2, column 3",
		"{\"name\":\"A\"}\n {\"name\":\"B\"": "line 2, column",
	} {
		p := requireRefused(t, c.do(http.MethodPut, "/suppliers/"+nobody, body), http.StatusBadRequest, "not_json", "")
		require.Contains(t, objects(t, p["errors"])[0]["detail"], place, body)
	}
}

func TestWholeNumbersMayBeWrittenAsDecimals(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	answer := c.do(http.MethodPut, "/suppliers/"+storetest.NewID(t).String(), `{"name":"A","claim_hours":4.8e1}`)
	// JSON Schema (2020-12, 4.2.3) takes 48.0 for an integer; so either it is
	// stored as 48 or refused with its pointer.
	if answer.status != http.StatusCreated {
		requireRefused(t, answer, http.StatusUnprocessableEntity, "invalid", "/claim_hours")
		return
	}
	require.InDelta(t, 48, answer.object(t)["claim_hours"], 0)
}

func TestOtherContentTypesAreRefused(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	before := r.revisions(t)
	for _, kind := range []string{"text/plain", "application/xml", "application/json-seq", "", "multipart/form-data; boundary=x"} {
		refused := c.do(http.MethodPut, "/suppliers/"+nobody, `{"name":"A"}`, "Content-Type", kind)
		requireRefused(t, refused, http.StatusUnsupportedMediaType, "not_json_type")
	}
	require.Equal(t, before, r.revisions(t))
	answer := c.do(http.MethodPut, "/suppliers/"+nobody, `{"name":"A"}`, "Content-Type", "application/json; charset=utf-8")
	require.Equal(t, http.StatusCreated, answer.status)
}

func TestBadAddressesAreRefusedWithAPointer(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	site := newGrounds(c, "Fernhollow").site
	for path, pointers := range map[string][]string{
		"/suppliers?limit=0":                            {"#query/limit"},
		"/suppliers?limit=201":                          {"#query/limit"},
		"/suppliers?limit=ten":                          {"#query/limit"},
		"/suppliers?limit=1e1":                          {"#query/limit"},
		"/suppliers?limit=5.0":                          {"#query/limit"},
		"/suppliers?limit=5&limit=6":                    {"#query/limit"},
		"/suppliers?limit=":                             {"#query/limit"},
		"/suppliers?page=2":                             {"#query/page"},
		"/suppliers?page=2&limit=0":                     {"#query/page", "#query/limit"},
		"/suppliers?after=nonsense":                     {"#query/after"},
		"/suppliers?after=AAAA":                         {"#query/after"},
		"/placements?after=AAAA":                        {"#query/after"},
		"/looks?week=2026-W54":                          {"#query/week"},
		"/looks?week=2025-W53":                          {"#query/week"}, // 2025 has 52 weeks (ISO 8601)
		"/looks?week=2026-W00":                          {"#query/week"},
		"/looks?week=33":                                {"#query/week"},
		"/looks?in_doubt=maybe":                         {"#query/in_doubt"},
		"/looks?by=colour":                              {"#query/by"},
		"/looks?key=abc":                                {"#query/by"},
		"/looks?by=lot&key=a%00b":                       {"#query/key"},
		"/looks?by=lot&key=%ff":                         {"#query/key"},
		"/looks?lot_id=" + allZeros:                     {"#query/lot_id"},
		"/looks?lot_id=seven":                           {"#query/lot_id"},
		"/lots?state=gone":                              {"#query/state"},
		"/placements?at=yesterday":                      {"#query/at"},
		"/placements?at=0000-01-01T00:00:00Z":           {"#query/at"},
		"/second-looks":                                 {"#query/site_id"},
		"/second-looks?on=2026-13-01&site_id=" + site:   {"#query/on"},
		"/dock-plan?minutes=0&site_id=" + site:          {"#query/minutes"},
		"/trends":                                       {"#query/by"},
		"/trends?by=lot&organism=A%00":                  {"#query/organism"},
		"/trends?by=lot&season_id=" + nobody:            {"#query/season_id"},
		"/trends?by=lot&organism_id=" + nobody:          {"#query/organism_id"},
		"/trends?by=lot&organism=NOBODY":                {"#query/organism"},
		"/trends?by=lot&site_id=" + nobody:              {"#query/site_id"},
		"/dock-plan?minutes=5&site_id=" + nobody:        {"#query/site_id"},
		"/second-looks?site_id=" + nobody:               {"#query/site_id"},
		"/revisions":                                    {"#query/record_id"},
		"/revisions?after=x&record_id=" + site:          {"#query/after"},
		"/sites/" + allZeros:                            {"#path/id"},
		"/sites/north":                                  {"#path/id"},
		"/lots/" + allZeros + "/sample":                 {"#path/id"},
		"/lots/" + site + "/sample?detection_percent=0": {"#query/detection_percent"},
		"/sums/sample-size?lot_size=0&detection_percent=5&confidence_percent=95":     {"#query/lot_size"},
		"/sums/sample-size?lot_size=100&detection_percent=5&confidence_percent=100":  {"#query/confidence_percent"},
		"/sums/sample-size?lot_size=100&detection_percent=NaN&confidence_percent=95": {"#query/detection_percent"},
		"/sums/sample-size":                                     {"#query/lot_size", "#query/detection_percent", "#query/confidence_percent"},
		"/sums/proportion?examined=10&infested=11":              {"#query/infested"},
		"/sums/proportion?examined=10&infested=1&method=normal": {"#query/method"},
	} {
		refused := c.do(http.MethodGet, path, nil)
		require.Equal(t, http.StatusUnprocessableEntity, refused.status, "%s: %s", path, refused.text)
		requireRefused(t, refused, http.StatusUnprocessableEntity, "invalid", pointers...)
		requireNoInnards(t, refused.text)
	}
	refused := c.do(http.MethodPut, "/suppliers/"+allZeros, object{"name": "A"})
	requireRefused(t, refused, http.StatusUnprocessableEntity, "invalid", "#path/id")
	requireRefused(t, c.do(http.MethodGet, "/nothing-here", nil), http.StatusNotFound, "not_found")
	for _, noun := range []string{
		"sites", "houses", "sections", "blocks", "suppliers", "farms", "crops", "cultivars", "seasons", "organisms", "shipments",
		"lots", "inspections", "verdicts", "movements", "looks", "thresholds", "accounts", "tokens",
	} {
		requireRefused(t, c.do(http.MethodGet, "/"+noun+"/"+nobody, nil), http.StatusNotFound, "not_found")
	}
	require.NotContains(t, r.log.String(), "level=ERROR")
}

func TestADatabaseThatIsGoneIsSaidInOneFixedText(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	c.get("/sites")
	sql[bool](t, r, `select exists (select pg_terminate_backend(pid) from pg_stat_activity
		where datname = current_database() and pid <> pg_backend_pid())`)
	seen := map[int]bool{}
	for range 8 { // each broken connection of the pool says so once
		answer := c.do(http.MethodGet, "/sites", nil)
		seen[answer.status] = true
		if answer.status == http.StatusOK {
			break
		}
		requireRefused(t, answer, http.StatusServiceUnavailable, "busy")
		require.NotEmpty(t, answer.header.Get("Retry-After"))
		requireNoInnards(t, answer.text)
	}
	require.True(t, seen[http.StatusOK], "it comes back by itself: %v", seen)
}

func TestWhatGoesWrongInsideStaysInside(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	exec(t, r, `alter table supplier rename column note to remark`)
	answer := c.do(http.MethodGet, "/suppliers", nil)
	p := requireRefused(t, answer, http.StatusInternalServerError, "internal")
	require.Equal(t, "Something went wrong on our side. The request id helps to find it.", p["detail"])
	requireNoInnards(t, answer.text)
	require.Contains(t, r.log.String(), fmt.Sprint(p["instance"]), "the log has it under the request id")
	require.Contains(t, r.log.String(), "SQLSTATE 42703")
}
