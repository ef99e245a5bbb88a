package api

import (
	"encoding/base64"
	"encoding/csv"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// lookTable gives the rows of a table of looks, the heading first.
func lookTable(t *testing.T, c *caller, query string) (text string, rows [][]string) {
	t.Helper()
	answer := c.do(http.MethodGet, "/looks/csv"+query, nil)
	require.Equal(t, http.StatusOK, answer.status, answer.text)
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(answer.text, "\ufeff"))).ReadAll()
	require.NoError(t, err)
	return answer.text, rows
}

func TestRawLooksAreExportedAndCanBeImportedAgain(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	g := newGrounds(c, "Fern")
	c.new("movements", g.stick())
	other := organismByEPPO(c, "FRANOC")
	both := []object{
		{"organism_id": g.organism, "tally": object{"plants_looked_at": 60, "infested_plants": 12}},
		{"organism_id": other, "signs_looked_for": true, "tally": object{"plants_looked_at": 60, "infested_plants": 0}},
	}
	c.new("looks", with(g.look(), object{"note": "under the \"old\" leaves, =1+1", "seconds": 240, "hot_spot": "07-01", "crop_stage": "shoots"}))
	c.new("looks", with(g.look(), object{"looked_at": "2026-08-20T03:10:05Z", "targets": both, "purpose": "on_purpose"}))
	c.new("looks", with(g.look(), object{"looked_at": "2026-08-21T15:00:00Z", "lot_id": nil}))
	wrong := c.new("looks", with(g.look(), object{"looked_at": "2026-08-22T15:00:00Z"}))
	c.put("/looks/"+wrong, with(g.look(), object{"looked_at": "2026-08-22T15:00:00Z", "withdrawn_because": "wrong block"}), "If-Match", "1")

	text, rows := lookTable(t, c, "")
	require.Len(t, rows, 1+4, "a row per look and organism; what was withdrawn is left out")
	_, narrowed := lookTable(t, c, "?organism_id="+other)
	require.Len(t, narrowed, 2)
	require.Equal(t, `="07-01"`, rows[1][17], "a spreadsheet makes no date of it")

	before := c.items("/looks?limit=200")
	body := object{"site_id": g.site, "file_name": "looks.csv", "content": base64.StdEncoding.EncodeToString([]byte(text))}
	reading := c.do(http.MethodPost, "/import-readings", body).object(t)
	require.Empty(t, reading["faults"])
	id := c.new("imports", body)
	again := map[string]object{}
	for _, look := range c.items("/looks?limit=200") {
		if look["import_id"] == id {
			again[look["looked_at"].(string)] = look
		}
	}
	require.Len(t, again, 3)
	for _, look := range before {
		if look["withdrawn_because"] != nil {
			continue
		}
		copied := again[look["looked_at"].(string)]
		for _, member := range []string{"block_id", "lot_id", "observer_id", "purpose", "note", "seconds", "hot_spot", "crop_stage", "results", "looked_on"} {
			require.Equal(t, look[member], copied[member], member)
		}
	}

	c.put("/imports/"+id, object{"site_id": g.site, "file_name": "looks.csv", "withdrawn_because": "only tried"}, "If-Match", "1")
	after, _ := lookTable(t, c, "")
	require.Equal(t, text, after, "undo removes exactly what the import brought")
}
