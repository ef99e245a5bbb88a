package api

import (
	"compress/gzip"
	"encoding/json"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"
)

// A day's answers reach phones over slow networks.
func TestLongAnswersArePackedForThoseWhoCanUnpack(t *testing.T) {
	t.Parallel()
	r := run(t)
	c := r.newOwner(t, "Fernhollow")
	const long, short = "/organisms?limit=200", "/sites"
	ask := func(path, accepted string) *http.Response {
		request, err := http.NewRequestWithContext(t.Context(), http.MethodGet, c.url+base+path, nil)
		require.NoError(t, err)
		request.Header.Set("Accept-Encoding", accepted)
		request.AddCookie(&http.Cookie{Name: cookieName, Value: c.cookie})
		answer, err := http.DefaultClient.Do(request)
		require.NoError(t, err)
		t.Cleanup(func() { _ = answer.Body.Close() })
		require.Equal(t, http.StatusOK, answer.StatusCode)
		return answer
	}
	packed := ask(long, "gzip")
	require.Equal(t, "gzip", packed.Header.Get("Content-Encoding"))
	unpacked, err := gzip.NewReader(packed.Body)
	require.NoError(t, err)
	var list listOf[object]
	require.NoError(t, json.NewDecoder(unpacked).Decode(&list))
	require.Len(t, list.Items, len(c.items(long)))
	require.Empty(t, ask(long, "identity").Header.Get("Content-Encoding"))
	require.Empty(t, ask(short, "gzip").Header.Get("Content-Encoding"))
}
