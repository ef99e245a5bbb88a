package api

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestSumsOfAnySizeAnswerAtOnce(t *testing.T) {
	t.Parallel()
	c := run(t).stranger(t)
	for _, path := range []string{
		"/sums/sample-size?lot_size=1000000000&detection_percent=5&confidence_percent=95",
		"/sums/sample-size?lot_size=1000000000&detection_percent=0.0000001&confidence_percent=99.999999",
		"/sums/sample-size?lot_size=1000000000&detection_percent=0.00001&confidence_percent=99&sensitivity_percent=1.5",
		"/sums/sample-size?lot_size=999999937&detection_percent=50&confidence_percent=0.000001&sensitivity_percent=33.3",
		"/sums/sample-size?lot_size=1000000000&detection_percent=100&confidence_percent=95&sensitivity_percent=1",
		"/sums/proportion?examined=1000000000&infested=500000000&confidence_percent=99.9999&method=clopper-pearson",
		"/sums/proportion?examined=1000000000&infested=1&method=clopper-pearson",
		"/sums/proportion?examined=1000000000&infested=0",
	} {
		begin := time.Now()
		answer := c.do(http.MethodGet, path, nil)
		took := time.Since(begin)
		require.Equal(t, http.StatusOK, answer.status, "%s: %s", path, answer.text)
		require.Less(t, took, 3*time.Second, "%s: seconds are for a machine at its limit", path)
		o := answer.object(t)
		require.NotEmpty(t, o["method"])
		require.NotEmpty(t, o["source"])
	}
}

func TestSumsNameWhatTheyCannotAnswer(t *testing.T) {
	t.Parallel()
	c := run(t).stranger(t)
	// Half a percent of 100 plants is no plant (ISPM 31 rounds down): there is no such sample.
	none := c.get("/sums/sample-size?lot_size=100&detection_percent=0.5&confidence_percent=95")
	require.Nil(t, none["plants"])
	require.NotEmpty(t, none["reason"])
	zero := c.get("/sums/proportion?examined=60&infested=0")
	// 1 − 0.05^(1/60), the exact one-sided limit: "fewer than 5 %", never "clean".
	require.InDelta(t, 4.87, zero["rules_out_percent"], 0.005)
	require.Positive(t, zero["upper_percent"])
}

func TestSixHundredSumsPassAndAFloodIsTurnedAway(t *testing.T) {
	t.Parallel()
	r := run(t)
	ask := func(address, forwarded string) *httptest.ResponseRecorder {
		request := httptest.NewRequestWithContext(t.Context(), http.MethodGet, base+"/sums/proportion?examined=18&infested=4", nil)
		request.RemoteAddr = address
		request.Header.Set("X-Forwarded-For", forwarded)
		answer := httptest.NewRecorder()
		r.handler.ServeHTTP(answer, request)
		return answer
	}
	for i := range 600 {
		require.Equal(t, http.StatusOK, ask("192.0.2.7:4711", "").Code, "sum %d of a minute", i+1)
	}
	var refused *httptest.ResponseRecorder
	require.Eventually(t, func() bool {
		for range 100 {
			// Another name in a header is no other address.
			if refused = ask("192.0.2.7:4712", "198.51.100.1"); refused.Code != http.StatusOK {
				return true
			}
		}
		return false
	}, 30*time.Second, time.Millisecond)
	out := outcome{refused.Code, refused.Header(), refused.Body.String()}
	requireRefused(t, out, http.StatusTooManyRequests, "too_often")
	require.NotEmpty(t, refused.Header().Get("Retry-After"))
	require.Equal(t, http.StatusOK, ask("192.0.2.8:4711", "").Code, "others are not kept waiting")
}

func TestSignInIsBoundedToo(t *testing.T) {
	t.Parallel()
	r := run(t)
	r.organisation(t, "Fernhollow")
	c := r.stranger(t)
	last := 0
	for range 400 {
		last = c.do(http.MethodPost, "/session", object{"email": "owner@fernhollow.test", "password": "wrong"}).status
		if last == http.StatusTooManyRequests {
			break
		}
	}
	require.Equal(t, http.StatusTooManyRequests, last)
}
