package api

import (
	"fmt"
	"net/http"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"benchtrail/api/store/storetest"
)

// Rows in bulk, as the owner of the tables, with ids in the order of time.
const manySuppliers = `insert into supplier (organisation_id, id, name, claim_hours, version, recorded_at, recorded_by)
	select $1::text::uuid, ('018f0000-' || lpad(to_hex(n / 65536), 4, '0') || '-7000-8000-' || lpad(to_hex(n), 12, '0'))::uuid, 'Supplier ' || n, 24, 1,
		now(), $2::text::uuid from generate_series(1, 10000) n`

func TestTenThousandRowsPageWithoutAGapOrADoubleWhileRowsAreAdded(t *testing.T) {
	t.Parallel()
	r := run(t)
	owner := r.organisation(t, "Fernhollow")
	c := r.signedIn(t, owner)
	exec(t, r, manySuppliers, owner.OrganisationID.String(), owner.PersonID.String())
	old := sql[[]string](t, r, `select array_agg(id::text order by id) from supplier`)
	require.Len(t, old, 10_000)

	stop, stopped := make(chan struct{}), make(chan int)
	go func() { // somebody else goes on working: before, amid and after the page being read
		added := 0
		for {
			select {
			case <-stop:
				stopped <- added
				return
			default:
			}
			first := []string{"00000000", "018f0000", "fff00000"}[added%3]
			id := fmt.Sprintf("%s-0000-7000-8001-%012x", first, added)
			if c.do(http.MethodPut, "/suppliers/"+id, object{"name": "Late " + id}).status != http.StatusCreated {
				stopped <- -1
				return
			}
			added++
		}
	}()
	read := everyPage(t, c, "/suppliers?limit=200")
	close(stop)
	added := <-stopped
	require.Positive(t, added, "rows were added meanwhile")
	require.True(t, slices.IsSorted(read))
	require.Len(t, slices.Compact(slices.Clone(read)), len(read), "no double")
	for _, id := range old {
		_, found := slices.BinarySearch(read, id)
		require.True(t, found, "a gap at %s", id)
	}
	t.Logf("%d rows were added while %d were read", added, len(read))
}

// everyPage follows a list to its end and gives the ids.
func everyPage(t *testing.T, c *caller, path string) []string {
	t.Helper()
	var ids []string
	for next := ""; ; {
		page := c.get(path + next)
		for _, x := range objects(t, page["items"]) {
			ids = append(ids, x["id"].(string))
		}
		token, more := page["next"].(string)
		if !more {
			return ids
		}
		require.NotEqual(t, next, "&after="+token, "the list goes on")
		next = "&after=" + token
	}
}

func TestPagesOfLooksAndPlacementsFollowOnEachOther(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fernhollow")
	want := []string{}
	for i := range 7 {
		block := c.new("blocks", object{"house_id": g.house, "name": fmt.Sprint("P", i), "position": 10 + i})
		c.new("movements", with(g.stick(), object{"to_block_id": block, "plants": 100}))
		want = append(want, c.new("looks", with(g.look(), object{"block_id": block})))
	}
	slices.Sort(want)
	for _, limit := range []int{1, 3, 7, 200} {
		require.Equal(t, want, everyPage(t, c, fmt.Sprintf("/looks?limit=%d&lot_id=%s", limit, g.lot)), limit)
		stood := 0
		for next := ""; ; {
			page := c.get(fmt.Sprintf("/placements?limit=%d%s", limit, next))
			stood += len(objects(t, page["items"]))
			require.LessOrEqual(t, len(objects(t, page["items"])), limit)
			token, more := page["next"].(string)
			if !more {
				break
			}
			next = "&after=" + token
		}
		require.Equal(t, 7, stood)
	}
	require.Empty(t, c.items("/looks?lot_id="+storetest.NewID(t).String()))
}
