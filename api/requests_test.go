package api

import (
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// request is one file of testdata/requests.
type request struct {
	Method  string `json:"method"`
	Path    string `json:"path"`
	IfMatch int    `json:"if_match"`
	Body    any    `json:"body"`
}

// filled gives the value with what only the server knows in its place.
func filled(value any, known map[string]string) any {
	switch v := value.(type) {
	case string:
		if id, ok := known[v]; ok {
			return id
		}
	case []any:
		for i := range v {
			v[i] = filled(v[i], known)
		}
	case object:
		for name := range v {
			v[name] = filled(v[name], known)
		}
	}
	return value
}

func TestWhatOlderVersionsSentIsStillTaken(t *testing.T) {
	t.Parallel()
	folders, err := filepath.Glob("../testdata/requests/[0-9]*")
	require.NoError(t, err)
	require.NotEmpty(t, folders)
	for _, folder := range folders {
		t.Run(filepath.Base(folder), func(t *testing.T) {
			t.Parallel()
			c := run(t).newOwner(t, "Fernhollow")
			known := map[string]string{"$person": c.person()}
			for _, x := range c.items("/organisms?limit=200") {
				if code, ok := x["eppo_code"].(string); ok {
					known["$organism "+code] = x["id"].(string)
				}
			}
			files, err := filepath.Glob(filepath.Join(folder, "*.json")) // in the order of their names
			require.NoError(t, err)
			require.NotEmpty(t, files)
			for _, file := range files {
				text, err := os.ReadFile(file)
				require.NoError(t, err)
				var x request
				require.NoError(t, json.Unmarshal(text, &x), file)
				requireTaken(t, c, file, x, filled(x.Body, known))
			}
		})
	}
}

func requireTaken(t *testing.T, c *caller, file string, x request, body any) {
	t.Helper()
	var header []string
	if x.IfMatch > 0 {
		header = []string{"If-Match", strconv.Itoa(x.IfMatch)}
	}
	answer := c.do(x.Method, x.Path, body, header...)
	taken := []int{http.StatusOK, http.StatusCreated}
	require.Contains(t, taken, answer.status, "%s: %s", file, answer.text)
	if x.Path != "/outbox" {
		return
	}
	answers := objects(t, answer.object(t)["answers"])
	require.Len(t, answers, len(body.(object)["records"].([]any)), file)
	for i, one := range answers {
		require.Contains(t, taken, int(one["status"].(float64)), "%s, record %d: %v", file, i, one)
		require.Nil(t, one["problem"], "%s, record %d", file, i)
	}
}
