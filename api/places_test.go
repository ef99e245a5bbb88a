package api

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store"
	"benchtrail/api/store/storetest"
)

func TestOwnersOfASiteChangeItAndMakeNoOther(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	here := c.new("sites", object{"name": "Here", "time_zone": "America/Chicago"})
	there := c.new("sites", object{"name": "There", "time_zone": "Europe/Madrid"})
	at := func(role store.Role) *caller {
		return r.signedIn(t, r.person(t, owner, string(role), store.SiteRole{Role: role, SiteID: idOf(t, here)}))
	}
	siteOwner, grower := at(store.Owner), at(store.Grower)
	rules := object{"blocks_percent": 100.0, "plants_per_block_least": 25.0}
	body := object{"name": "Here, by the river", "time_zone": "America/Chicago", "round_rules": rules}
	before := r.revisions(t)

	refused := func(c *caller, id string, header ...string) {
		requireRefused(t, c.do(http.MethodPut, "/sites/"+id, body, header...), http.StatusForbidden, "forbidden")
	}
	refused(siteOwner, there, "If-Match", "1")
	refused(siteOwner, storetest.NewID(t).String())
	refused(siteOwner, storetest.NewID(t).String(), "If-Match", "1")
	refused(grower, here, "If-Match", "1")
	require.Equal(t, before, r.revisions(t))

	stored := siteOwner.put("/sites/"+here, body, "If-Match", "1")
	require.Equal(t, rules, stored["round_rules"])
	require.Equal(t, "Here, by the river", stored["name"])
	require.Equal(t, stored, c.get("/sites/"+here))
	require.Equal(t, "owner", stored["recorded_by"].(object)["name"])
	require.Equal(t, before+1, r.revisions(t))
	require.Len(t, siteOwner.items("/revisions?record_id="+here), 2)
}
